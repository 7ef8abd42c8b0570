/**
 * Night fill: work that could start before people leave, so that machines which may work alone do. Looks, night by night, at each
 * machine that stands idle there, for work not yet planned, or planned later, whose unattended part would then run into the night;
 * takes the one that gains most night minutes on balance, everything else lying still; where nothing fits so, it tries again with
 * other work making room (night-room.ts). Every proposal has passed the checker and makes no order late or later than it is.
 * Greedy: it promises no fullest nights. Whether a machine may be left alone is for local rules and the people responsible to
 * decide; the plan only knows what the shop has entered.
 */
import { clip, type Intervals, totalMinutes } from "../calendar/intervals.ts";
import type { Interval, Minute } from "../calendar/minute.ts";
import { check } from "../check/checker.ts";
import { present } from "../ground/invariant.ts";
import type { ModeId, OperationId } from "../orders/operation.ts";
import type { MachineId } from "../plant/machine.ts";
import type { Plan, PlannedOperation } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { sameLots } from "../problem/same-plan.ts";
import { type DenseMode, type DenseOp, FAR } from "../solve/decode/model.ts";
import type { Placement } from "../solve/decode/placement.ts";
import { lotOf } from "../solve/decode/write-plan.ts";
import { fitInMode, leavesOtherSetup } from "./fit-around.ts";
import { newConflicts } from "./new-conflicts.ts";
import { hasAlone, LEAVING, minutesBeforeAlone } from "./night-candidates.ts";
import { aloneMinutes, type NightUse, nightsOf, nightUse, possibleAlone } from "./night-hours.ts";
import { withRoom } from "./night-room.ts";
import { type OpenPlan, openPlan } from "./open-plan.ts";

export type NightProposal = {
  readonly operation: OperationId;
  readonly machine: MachineId;
  readonly mode: ModeId;
  /** The night it runs into: from the last minute on site to the next. */
  readonly night: Interval;
  readonly start: Minute;
  readonly end: Minute;
  /** Where it stands in the plan in hand; null: not planned. */
  readonly plannedStart: Minute | null;
  /** Minutes worked alone in that night, and how many more night minutes the whole operation then works than before. */
  readonly nightMinutes: Minute;
  readonly gain: Minute;
  /** Every operation that lies elsewhere than before this proposal, as it then lies: to take it alone. */
  readonly changes: readonly PlannedOperation[];
  /** Other operations that make room for it: where they start now, and then. Empty: everything else lies still. */
  readonly moved: readonly { readonly operation: OperationId; readonly from: Minute | null; readonly to: Minute | null }[];
};

export type NightFill = {
  /** In the order of the nights; all of them together stand in `plan`. */
  readonly proposals: readonly NightProposal[];
  readonly plan: Plan;
  /** Over the nights looked at, by machine and calendar week. */
  readonly before: readonly NightUse[];
  readonly after: readonly NightUse[];
};

export type NightFillOptions = {
  readonly from?: Minute;
  /** Nights that begin before this minute; default: a week from `from`. */
  readonly until?: Minute;
  readonly machines?: readonly MachineId[];
  /** Less than so many night minutes are not worth a change; default 60. */
  readonly gainLeast?: Minute;
  readonly proposalsMost?: number;
  /** Whether other work may make room; default yes. */
  readonly moves?: boolean;
  readonly shouldStop?: () => boolean;
  /** Nights of machines looked at, of how many. */
  readonly onProgress?: (done: number, total: number) => void;
};

const GAIN_DEFAULT = 60;
const PROPOSALS_DEFAULT = 20;
const WEEK = 10_080;
/** Best trials of a night and machine that the checker is asked about. */
const CHECKS_MOST = 4;

export function nightFill(problem: Problem, plan: Plan, options: NightFillOptions = {}): NightFill {
  const from = Math.max(problem.now, options.from ?? problem.now);
  const until = Math.min(problem.horizon, options.until ?? from + WEEK);
  const nights = nightsOf(problem, problem.now, problem.horizon);
  const proposals: NightProposal[] = [];
  const conflicts = check(problem, plan).conflicts;
  const most = options.proposalsMost ?? PROPOSALS_DEFAULT;
  let current = plan;
  let open = openPlan(problem, current);
  const least = options.gainLeast ?? GAIN_DEFAULT;
  const able = problem.machines.filter(
    ({ id, unattended }) => unattended.kind === "allowed" && options.machines?.includes(id) !== false,
  );
  const ahead = nights.filter(([start]) => start >= from && start < until);
  for (const [n, night] of ahead.entries()) {
    for (const [m, machine] of able.entries()) {
      if (proposals.length >= most || options.shouldStop?.()) break;
      options.onProgress?.(n * able.length + m, ahead.length * able.length);
      const possible = clip(possibleAlone(problem, machine, nights), night[0], night[1]);
      if (totalMinutes(possible) - usedAlone(open, machine.id, night) < least) continue;
      const trials = trialsFor(open, machine.id, night, nights, least).slice(0, CHECKS_MOST);
      const found =
        firstOf(trials, (trial): Found | null => {
          const next = applied(open, trial);
          if (newConflicts(conflicts, check(problem, next).conflicts).length > 0) return null;
          return { plan: next, proposal: proposalOf(open, machine.id, night, trial) };
        }) ?? (options.moves === false ? null : withRoom(open, conflicts, { machine: machine.id, night, nights, least }));
      if (found === null) continue;
      proposals.push({ ...found.proposal, changes: changedBetween(current, found.plan) });
      current = found.plan;
      open = openPlan(problem, current);
    }
  }
  const end = Math.max(from, ...nights.filter(([start]) => start < until).map(([, stop]) => stop));
  return {
    proposals,
    plan: current,
    before: nightUse(problem, plan, from, end),
    after: nightUse(problem, current, from, end),
  };
}

export type Found = { readonly plan: Plan; readonly proposal: Omit<NightProposal, "changes"> };

function changedBetween(before: Plan, after: Plan): readonly PlannedOperation[] {
  const old = new Map(before.operations.map(({ operation, lots }) => [operation, lots]));
  return after.operations.filter(({ operation, lots }) => {
    const known = old.get(operation);
    return known === undefined || !sameLots(known, lots);
  });
}

function firstOf<T, R>(list: readonly T[], attempt: (one: T) => R | null): R | null {
  for (const one of list) {
    const found = attempt(one);
    if (found !== null) return found;
  }
  return null;
}

/** Minutes that planned work already runs alone on the machine in that night. */
function usedAlone({ state, model }: OpenPlan, id: MachineId, night: Interval): Minute {
  const machine = model.machines.findIndex((candidate) => candidate.id === id);
  let sum = 0;
  for (const lot of state.lists[machine] ?? [])
    if (lot.start < night[1] && lot.end > night[0])
      sum += aloneMinutes(present(model.ops[lot.op], "operation").source, lotOf(state, lot), [night]);
  return sum;
}

type Trial = {
  readonly op: DenseOp;
  readonly mode: DenseMode;
  readonly lot: Placement;
  readonly inNight: Minute;
  readonly gain: Minute;
};

/** What could run into the night on the machine, the largest gain first. */
function trialsFor(open: OpenPlan, id: MachineId, night: Interval, nights: Intervals, least: Minute): readonly Trial[] {
  const { state, model } = open;
  const machine = model.machines.findIndex((candidate) => candidate.id === id);
  const trials: Trial[] = [];
  for (const op of model.ops) {
    if (!open.isMovable(op) || op.block.length > 0) continue;
    const items = op.items.filter((item) => (state.pieces[item] ?? 0) > 0);
    const [item] = items;
    if (item === undefined || items.length > 1) continue;
    const old = state.placed[item] ?? null;
    if (old !== null && (old.start < night[0] || old.end <= night[1])) continue; // it runs then, or earlier, already
    const modes = op.modes.filter((mode) => mode.machines.includes(machine) && hasAlone(mode, op, state.pieces[item] ?? 0));
    if (modes.length === 0) continue;
    const before = old === null ? 0 : aloneMinutes(op.source, lotOf(state, old), nights);
    const mark = state.mark();
    if (old !== null) state.remove(old);
    if (old === null || !leavesOtherSetup(state, [old])) {
      for (const mode of modes) {
        const attended = minutesBeforeAlone(mode, state.pieces[item] ?? 0);
        for (const leaving of LEAVING) {
          const notBefore = Math.max(model.now, night[0] - leaving - attended);
          const lot = fitInMode(state, op, item, mode, notBefore, old === null ? FAR : old.end - 1);
          if (lot === null || lot.start >= night[0]) continue;
          const planned = lotOf(state, lot);
          const inNight = aloneMinutes(op.source, planned, [night]);
          const gain = aloneMinutes(op.source, planned, nights) - before;
          if (inNight >= least && gain >= least) trials.push({ op, mode, lot, inNight, gain });
        }
      }
    }
    state.undoTo(mark);
  }
  return trials.sort((a, b) => b.gain - a.gain || a.lot.start - b.lot.start || a.op.index - b.op.index);
}

function applied(open: OpenPlan, { op, lot }: Trial): Plan {
  const { state } = open;
  const mark = state.mark();
  const old = op.items.flatMap((item) => state.placed[item] ?? []);
  for (const placed of old) state.remove(placed);
  state.insert(lot);
  const plan = open.write();
  state.undoTo(mark);
  return plan;
}

function proposalOf(
  open: OpenPlan,
  machine: MachineId,
  night: Interval,
  { op, mode, lot, inNight, gain }: Trial,
): Found["proposal"] {
  const old = op.items.flatMap((item) => open.state.placed[item] ?? [])[0];
  return {
    operation: op.id,
    machine,
    mode: present(op.source.modes[mode.index - present(op.modes[0], "mode").index], "mode").id,
    night,
    start: lot.start,
    end: lot.end,
    plannedStart: old?.start ?? null,
    nightMinutes: inNight,
    gain,
    moved: [],
  };
}
