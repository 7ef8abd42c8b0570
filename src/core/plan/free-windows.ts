/**
 * Free windows: where on each machine a piece of work of a given length could be booked in the plan as it is, by every rule the
 * checker has - opening, people, supplies, who starts it, unattended windows, setups of others, calibrations, run hours. A window
 * offered can be booked without a conflict and without moving anybody; none of that length ends earlier on that machine. Where
 * the wish allows rests, it is pausable work: it goes over breaks of its people, the machine stays occupied, and the rests are told.
 * Beside them: what would have to move for an earlier one. The windows of one machine do not overlap each other.
 */
import { type Intervals, normalise, subtract, totalMinutes, union } from "../calendar/intervals.ts";
import type { Minute } from "../calendar/minute.ts";
import { sumOfSteps } from "../calendar/step-function.ts";
import { check } from "../check/checker.ts";
import { present } from "../ground/invariant.ts";
import { err, type Fault, ok, type Result } from "../ground/result.ts";
import { NOTHING_BEGUN, type Operation, type OperationId, type Phase } from "../orders/operation.ts";
import type { Order } from "../orders/order.ts";
import type { Skill } from "../plant/crew.ts";
import type { Machine, MachineId } from "../plant/machine.ts";
import type { SupplyId } from "../plant/supply.ts";
import type { Plan, PlannedLot } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { type DenseMode, type DenseOp, FAR } from "../solve/decode/model.ts";
import type { Placement } from "../solve/decode/placement.ts";
import type { State } from "../solve/decode/state.ts";
import { lotOf } from "../solve/decode/write-plan.ts";
import { fitInMode, leavesOtherSetup } from "./fit-around.ts";
import { newConflicts } from "./new-conflicts.ts";
import { aloneMinutes, nightsOf } from "./night-hours.ts";
import { type OpenPlan, openPlan } from "./open-plan.ts";

export type WindowWish = {
  readonly minutes: Minute;
  /** It may run while nobody is on site, where the machine's rule lets it; false: somebody is on site (or the skill is there) throughout. */
  readonly unattended: boolean;
  /** A person of this skill for the whole time; null: nobody's time is taken. */
  readonly operatorSkill?: Skill | null | undefined;
  /** Hundredths of a person; default 100. */
  readonly operatorAmount?: number | undefined;
  /** Amounts drawn for the whole time. */
  readonly supplies?: readonly { readonly supply: SupplyId; readonly amount: number }[] | undefined;
  /** Calibrations that must hold to its end. */
  readonly needsCalibrations?: readonly string[] | undefined;
  readonly machines?: readonly MachineId[] | undefined;
  readonly kind?: Machine["kind"] | undefined;
  readonly group?: string | undefined;
  readonly earliest?: Minute | undefined;
  /** It ends at or before this minute. */
  readonly before?: Minute | undefined;
  /** It may rest for so many minutes in all, where nobody or nothing lets it work (breaks of its people); default 0, without a break. */
  readonly restMost?: Minute | undefined;
  /** Windows listed for each machine; default 3. */
  readonly windowsMost?: number | undefined;
};

export type FreeWindow = {
  readonly machine: MachineId;
  /** What would be booked. */
  readonly start: Minute;
  readonly end: Minute;
  /** The machine is free from `freeFrom` to `freeUntil`; the horizon when nothing follows. */
  readonly freeFrom: Minute;
  readonly freeUntil: Minute;
  /** Minutes of it worked while nobody is on site. */
  readonly nightMinutes: Minute;
  /** Between its begin and its end, where it does not work. */
  readonly rests: Intervals;
  /** The lot as it would stand in the plan. */
  readonly lot: PlannedLot;
};

/** An earlier window that exists once one operation is moved. */
export type BetterWindow = {
  readonly machine: MachineId;
  readonly start: Minute;
  readonly end: Minute;
  readonly moves: OperationId;
  /** Where that operation would go, and whether its order would then be late (or later); null: no place for it without moving more. */
  readonly movesTo: { readonly machines: readonly MachineId[]; readonly start: Minute; readonly makesLate: boolean } | null;
};

export type FreeWindows = {
  /** By their ends. */
  readonly windows: readonly FreeWindow[];
  /** Machines asked about that have no such window. */
  readonly without: readonly MachineId[];
  /** Over sooner than the first window of all; those that hurt nobody first. */
  readonly better: readonly BetterWindow[];
};

const WINDOWS_DEFAULT = 3;
const BETTER_MOST = 5;
const PROBE_ORDER = "window asked for";
const PROBE_OPERATION = "window asked for";

/** `shouldStop`: called off, it answers with the windows found so far. */
export function freeWindows(
  problem: Problem,
  plan: Plan,
  wish: WindowWish,
  shouldStop: () => boolean = () => false,
): Result<FreeWindows, Fault> {
  const machines = problem.machines.filter(
    (machine) =>
      (wish.machines === undefined || wish.machines.includes(machine.id)) &&
      (wish.kind === undefined || machine.kind === wish.kind) &&
      (wish.group === undefined || machine.group === wish.group),
  );
  const fault = faultOf(problem, wish, machines);
  if (fault !== null) return err(fault);
  const asked = withProbe(problem, probeOperation(wish, machines), wish);
  return ok(windowsOf(asked, plan, PROBE_OPERATION, wish, shouldStop));
}

/** The same for an operation of the problem that is not in the plan, mode by mode: where a session of a campaign would fit. */
export function windowsOf(
  problem: Problem,
  plan: Plan,
  operation: OperationId,
  wish: Pick<WindowWish, "earliest" | "before" | "windowsMost" | "restMost">,
  shouldStop: () => boolean = () => false,
): FreeWindows {
  const open = openPlan(problem, plan, new Set([operation]));
  const op = open.opOf(operation);
  const item = present(op.items[0], "lot of the window");
  const latestEnd = Math.min(wish.before ?? FAR, problem.horizon);
  const earliest = Math.max(problem.now, wish.earliest ?? problem.now);
  const before = check(problem, plan).conflicts;
  const rest: Rest = { most: wish.restMost, begins: wish.restMost === undefined ? [] : beginsOf(open), shouldStop };
  const windows: FreeWindow[] = [];
  const without: MachineId[] = [];
  const nights = nightsOf(problem, problem.now, problem.horizon);
  for (const mode of op.modes) {
    let from = earliest;
    let found = 0;
    while (found < (wish.windowsMost ?? WINDOWS_DEFAULT) && !shouldStop()) {
      const lot = firstFit(open.state, op, item, mode, from, latestEnd, rest);
      if (lot === null) break;
      from = Math.max(lot.end, lot.start + 1);
      if (!isBookable(open, lot, before)) {
        from = lot.start + 1;
        continue;
      }
      found++;
      windows.push(windowOf(open, op, mode, lot, nights));
    }
    if (found === 0) without.push(machineOf(open, op, mode));
  }
  windows.sort((a, b) => a.end - b.end || a.start - b.start || (a.machine < b.machine ? -1 : 1));
  const first = windows[0];
  const better = betterWindows(open, op, item, {
    earliest,
    latestEnd: first === undefined ? latestEnd : Math.min(latestEnd, first.end - 1),
    rest,
  });
  return { windows, without, better };
}

type Rest = {
  readonly most: Minute | undefined;
  /** Minutes from which a begin may rest less than one before it. */
  readonly begins: readonly Minute[];
  readonly shouldStop: () => boolean;
};

/** The earliest place that does not rest for longer in all. */
function firstFit(
  state: State,
  op: DenseOp,
  item: number,
  mode: DenseMode,
  notBefore: Minute,
  latestEnd: Minute,
  { most, begins, shouldStop }: Rest,
): Placement | null {
  let from = notBefore;
  while (!shouldStop()) {
    const lot = fitInMode(state, op, item, mode, from, latestEnd);
    if (lot === null || most === undefined) return lot;
    if (lot.end - lot.start - totalMinutes(workOf(lotOf(state, lot))) <= most) return lot;
    const next = begins.find((minute) => minute > lot.start);
    if (next === undefined) return null;
    from = next;
  }
  return null;
}

/**
 * Where people, supplies, openings or other work change. Between two of them beginning later is never better: whoever could begin
 * at a minute and at the one before it ends sooner by beginning before, and rests no longer.
 */
function beginsOf({ problem, plan }: OpenPlan): readonly Minute[] {
  const edges = (intervals: Intervals): Minute[] => intervals.flat();
  const all = [
    ...problem.crews.flatMap(({ headcount, present }) => [...headcount.at, ...edges(present)]),
    ...problem.supplies.flatMap(({ amount }) => amount.at),
    ...problem.machines.flatMap(({ open, unattended }) => [
      ...edges(open),
      ...(unattended.kind === "allowed" && unattended.windows !== null ? edges(unattended.windows) : []),
    ]),
    ...plan.operations.flatMap(({ lots }) =>
      lots.flatMap(({ start, end, phases }) => [start, end, ...phases.flatMap(({ work }) => edges(work))]),
    ),
  ];
  return [...new Set(all)].filter((minute) => minute >= problem.now && minute < problem.horizon).sort((a, b) => a - b);
}

const workOf = (lot: PlannedLot): Intervals => normalise(lot.phases.flatMap(({ work }) => work));

/** The checker has the last word on every window offered. */
function isBookable(open: OpenPlan, lot: Placement, before: ReturnType<typeof check>["conflicts"]): boolean {
  return newConflicts(before, check(open.problem, withLot(open, lot)).conflicts).length === 0;
}

function withLot(open: OpenPlan, lot: Placement): Plan {
  const mark = open.state.mark();
  open.state.insert(lot);
  const plan = open.write();
  open.state.undoTo(mark);
  return plan;
}

function windowOf(open: OpenPlan, op: DenseOp, mode: DenseMode, lot: Placement, nights: Intervals): FreeWindow {
  let freeFrom: Minute = open.problem.now;
  let freeUntil: Minute = open.problem.horizon;
  for (const machine of mode.machines) {
    for (const other of open.state.lists[machine] ?? []) {
      if (other.end <= lot.start) freeFrom = Math.max(freeFrom, other.end);
      else if (other.start >= lot.end) freeUntil = Math.min(freeUntil, other.start);
    }
  }
  const planned = lotOf(open.state, lot);
  return {
    machine: machineOf(open, op, mode),
    start: lot.start,
    end: lot.end,
    freeFrom,
    freeUntil,
    nightMinutes: aloneMinutes(op.source, planned, nights),
    rests: subtract([[lot.start, lot.end]], workOf(planned)),
    lot: planned,
  };
}

const machineOf = (open: OpenPlan, op: DenseOp, mode: DenseMode): MachineId =>
  op.source.modes[mode.index - present(op.modes[0], "mode").index]?.machines.join(" + ") ??
  present(open.model.machines[mode.machines[0] ?? 0], "machine").id;

/** One operation at a time is taken off: those that lie before the latest end on the machine, or hold people or supplies then. */
function betterWindows(
  open: OpenPlan,
  op: DenseOp,
  item: number,
  range: {
    readonly earliest: Minute;
    readonly latestEnd: Minute;
    readonly rest: Rest;
  },
): readonly BetterWindow[] {
  const { state, model } = open;
  const found: BetterWindow[] = [];
  const machines = new Set(op.modes.flatMap((mode) => mode.machines));
  const wantsMore = op.modes.some((mode) =>
    mode.phases.some((phase) => phase.supplies.length + (phase.choices[0]?.crews.length ?? 0) > 0),
  );
  for (const other of model.ops) {
    if (range.rest.shouldStop()) break;
    if (!open.isMovable(other) || other.block.length > 0) continue;
    const lots = other.items.flatMap((row) => state.placed[row] ?? []);
    if (lots.length === 0 || lots.every((lot) => lot.start >= range.latestEnd || lot.end <= range.earliest)) continue;
    const its = new Set(lots.flatMap((lot) => lot.mode.machines));
    if (!wantsMore && ![...its].some((machine) => machines.has(machine))) continue;
    const mark = state.mark();
    for (const lot of lots) state.remove(lot);
    if (!leavesOtherSetup(state, lots)) {
      for (const mode of op.modes) {
        if (!wantsMore && !mode.machines.some((machine) => its.has(machine))) continue;
        const lot = firstFit(state, op, item, mode, range.earliest, range.latestEnd, range.rest);
        if (lot === null) continue;
        found.push({
          machine: machineOf(open, op, mode),
          start: lot.start,
          end: lot.end,
          moves: other.id,
          movesTo: newPlace(open, other, lot, lots),
        });
      }
    }
    state.undoTo(mark);
  }
  const best = new Map<string, BetterWindow>();
  for (const window of found.sort(rankBetter)) {
    const key = `${window.machine} ${window.start}`;
    if (!best.has(key)) best.set(key, window);
  }
  return [...best.values()].slice(0, BETTER_MOST);
}

/** Those that hurt nobody first, then the earliest. */
const rankBetter = (a: BetterWindow, b: BetterWindow): number => harm(a) - harm(b) || a.start - b.start;
const harm = ({ movesTo }: BetterWindow): number => (movesTo === null ? 2 : movesTo.makesLate ? 1 : 0);

function newPlace(open: OpenPlan, other: DenseOp, lot: Placement, old: readonly Placement[]): BetterWindow["movesTo"] {
  const { state, model } = open;
  const order = present(model.orders[other.order], "order");
  const before = Math.max(order.due, ...old.map(({ end }) => end));
  const mark = state.mark();
  state.insert(lot);
  const from = old.reduce((least, { start }) => Math.min(least, start), FAR);
  let start: Minute | null = null;
  let end: Minute = 0;
  const machines = new Set<MachineId>();
  for (const item of other.items) {
    if ((state.pieces[item] ?? 0) === 0) continue;
    let best: Placement | null = null;
    for (const mode of other.modes) {
      const place = fitInMode(state, other, item, mode, from, best === null ? FAR : best.end - 1);
      if (place !== null) best = place;
    }
    if (best === null) {
      state.undoTo(mark);
      return null;
    }
    state.insert(best);
    for (const machine of best.mode.machines) machines.add(present(model.machines[machine], "machine").id);
    start = Math.min(start ?? best.start, best.start);
    end = Math.max(end, best.end);
  }
  state.undoTo(mark);
  return start === null ? null : { machines: [...machines], start, makesLate: order.due < FAR && end > before };
}

/** A supply that is there while somebody is on site: what attended work draws that takes nobody's time. */
const ON_SITE = "somebody on site";

/** One operation, one mode for each machine. */
function probeOperation(wish: WindowWish, machines: readonly Machine[]): Operation {
  const skill = wish.operatorSkill;
  const attended = !wish.unattended && !skill;
  const phase: Phase = {
    kind: "run",
    flow: wish.restMost ? "pausable" : "solid",
    work: { kind: "fixed", minutes: wish.minutes },
    needs: skill ? [{ skill, amount: wish.operatorAmount ?? 100 }] : [],
    draws: [...(wish.supplies ?? []), ...(attended ? [{ supply: ON_SITE, amount: 1 }] : [])],
    maxWait: null,
  };
  return {
    id: PROBE_OPERATION,
    order: PROBE_ORDER,
    name: PROBE_OPERATION,
    piecesPerUnit: 1,
    pieces: 1,
    window: { start: null, end: wish.before ?? null },
    modes: machines.map(({ id }) => ({ id: `on ${id}`, machines: [id], families: [null], calendar: null, phases: [phase] })),
    startSkill: null,
    selfStart: false,
    prepareEarly: false,
    split: null,
    needsCalibrations: wish.needsCalibrations ?? [],
    calibrates: [],
    kits: [],
    pin: null,
    progress: NOTHING_BEGUN,
  };
}

/** The problem with the operation asked for in it, and with the supply of people on site. */
function withProbe(problem: Problem, operation: Operation, wish: WindowWish): Problem {
  const order: Order = {
    id: PROBE_ORDER,
    name: PROBE_ORDER,
    kind: "campaign",
    quantity: 1,
    scrapPerMille: 0,
    release: Math.max(problem.now, wish.earliest ?? problem.now),
    due: null,
    deadline: null,
    weight: 0,
    requester: null,
  };
  const always: Intervals = [[problem.now, problem.horizon]];
  const present = problem.crews.length === 0 ? always : union(...problem.crews.map((crew) => crew.present));
  const amount = sumOfSteps(present.map((interval) => ({ interval, amount: 1 })));
  return {
    ...problem,
    supplies: [...problem.supplies, { id: ON_SITE, name: ON_SITE, unit: "", amount }],
    orders: [...problem.orders, order],
    operations: [...problem.operations, operation],
  };
}

function faultOf(problem: Problem, wish: WindowWish, machines: readonly Machine[]): Fault | null {
  const unknown = wish.machines?.find((id) => !problem.machines.some((machine) => machine.id === id));
  if (unknown !== undefined) return { at: "machines", message: `there is no machine ${unknown}` };
  if (machines.length === 0) return { at: "machines", message: "no machine is of that kind and group" };
  if (!Number.isInteger(wish.minutes) || wish.minutes < 1)
    return { at: "minutes", message: `${wish.minutes} minutes; expected a whole number from 1` };
  const supply = wish.supplies?.find(({ supply }) => !problem.supplies.some(({ id }) => id === supply));
  if (supply !== undefined) return { at: "supplies", message: `there is no supply ${supply.supply}` };
  const skill = wish.operatorSkill;
  if (skill && !problem.crews.some(({ skills }) => skills.includes(skill)))
    return { at: "operatorSkill", message: `no crew has the skill ${skill}` };
  return null;
}
