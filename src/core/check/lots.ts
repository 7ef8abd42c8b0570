/**
 * The plan as the rules read it: one Lot for each done, running or planned lot, and one PhaseOfLot for each phase that
 * the plan should hold from now on, with the minutes it should work and where it does. Judges nothing.
 * Setup minutes are not known here (setup.ts); `ownMinutes` leaves them out. O(size of problem + plan, log for sorting).
 */
import { clip, type Intervals, normalise } from "../calendar/intervals.ts";
import type { Interval, Minute } from "../calendar/minute.ts";
import { hasBegun, type Mode, type Operation, type Phase, type RunningLot, workMinutes } from "../orders/operation.ts";
import type { CrewId } from "../plant/crew.ts";
import type { Plan, PlannedLot, PlannedPhase } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import type { LookUp, Served } from "./look-up.ts";
import { inOrderOf } from "./order-of.ts";

export type PhaseOfLot = {
  readonly lot: Lot;
  readonly mode: Mode;
  /** Place in the mode. */
  readonly index: number;
  readonly phase: Phase;
  /** The phase that a running lot is in: its remaining minutes replace its work. */
  readonly current: boolean;
  /** Minutes it should work, setup left out; of a running lot's current phase all that is left, setup within. */
  readonly ownMinutes: Minute;
  readonly work: Intervals;
  readonly worked: Minute;
  /** Worked minutes from now on: what was worked before is never a conflict. */
  readonly ahead: Intervals;
  /** First worked minute and the minute after the last; null when the plan works it nowhere. */
  readonly span: Interval | null;
  readonly crews: readonly CrewId[];
  /** What each crew must have for this phase alone. */
  readonly served: readonly Served[];
  /** End of the phase before it, as the plan works them; null: nothing comes before it. */
  readonly endBefore: Minute | null;
  /** Whether that end is known exactly: a current phase of which nothing is left ended before now, nobody knows when. */
  readonly endBeforeExact: boolean;
};

export type Lot = {
  readonly operation: Operation;
  /** Place of the operation in the problem's list. */
  readonly place: number;
  /** 0-based through the operation's lots, done ones first. */
  readonly number: number;
  readonly state: "done" | "running" | "open";
  /** null: the mode named is not offered. */
  readonly mode: Mode | null;
  readonly pieces: number;
  /** Pieces in the lots before it. */
  readonly piecesBefore: number;
  readonly start: Minute;
  readonly end: Minute;
  /** What the plan says; null for done lots. */
  readonly planned: PlannedLot | null;
  /** What the shop reports about a running lot. */
  readonly running: RunningLot | null;
  readonly phases: PhaseOfLot[];
  /** Setup minutes with which the rules about a lot by itself have found nothing wrong (rules.ts); -1: not yet. */
  soundWith: number;
};

export type LotsOfPlan = {
  /** Every lot of every operation that is done, running or planned. */
  readonly all: readonly Lot[];
  /** Place of a lot in that list. */
  readonly rowOf: (lot: Lot) => number;
  /** Those of them that the plan itself places: running and open ones. */
  readonly planned: readonly Lot[];
  readonly ofOperation: (operation: string) => readonly Lot[];
  /** The same by the operation's place in the problem's list. */
  readonly at: readonly (readonly Lot[])[];
  /** Lots by the machines of their modes, in the order of their starts (`byStart`). */
  readonly onMachine: ReadonlyMap<string, readonly Lot[]>;
  /** Operations that the plan leaves out though it may not: nothing else is said about them. */
  readonly notPlanned: readonly Operation[];
  readonly anyLeftOut: boolean;
  /** Not planned, whether it may be or not. */
  readonly isLeftOut: (operation: string) => boolean;
};

const NOTHING: readonly never[] = [];

/** Operations read between two calls of `breathe`. */
const BREATH = 64;

export function lotsOfPlan(look: LookUp, plan: Plan, breathe?: () => void): LotsOfPlan {
  const { problem, indexOf, remembered } = look;
  const { operations } = problem;
  const given = new Array<readonly PlannedLot[] | undefined>(operations.length);
  for (const { operation, lots } of plan.operations) {
    const place = indexOf.get(operation);
    if (place === undefined) continue;
    const known = given[place];
    given[place] = known === undefined ? lots : [...known, ...lots];
  }
  const leftOut = new Set<string>();
  const at: (readonly Lot[])[] = [];
  const all: Lot[] = [];
  const planned: Lot[] = [];
  const firstRow = new Int32Array(operations.length);
  for (let place = 0; place < operations.length; place++) {
    if (place % BREATH === 0) breathe?.();
    const operation = operations[place] as Operation;
    const lots = given[place] ?? NOTHING;
    if (lots.length === 0 && !isDone(operation)) leftOut.add(operation.id);
    const known = remembered[place];
    const made = known !== undefined && holdsSame(known, lots) ? known : lotsOf(look, operation, place, lots);
    firstRow[place] = all.length;
    at.push(made);
    for (const lot of made) {
      all.push(lot);
      if (lot.planned !== null) planned.push(lot);
    }
  }
  look.remembered = at;
  const mayBe = mayStayUnplanned(problem, leftOut);
  return {
    all,
    rowOf: ({ place, number }) => (firstRow[place] as number) + number,
    planned,
    ofOperation: (operation) => at[indexOf.get(operation) ?? -1] ?? NOTHING,
    at,
    onMachine: byMachine(all),
    notPlanned: leftOut.size === 0 ? NOTHING : operations.filter(({ id }) => leftOut.has(id) && !mayBe.has(id)),
    anyLeftOut: leftOut.size > 0,
    isLeftOut: (operation) => leftOut.has(operation),
  };
}

/** Whether the lots are those of the operation that were read from the very same objects, which never change. */
function holdsSame(known: readonly Lot[], planned: readonly PlannedLot[]): boolean {
  const done = known.length - planned.length;
  if (done < 0 || (done > 0 && known[done - 1]?.planned !== null)) return false;
  for (let i = 0; i < planned.length; i++) if (known[done + i]?.planned !== planned[i]) return false;
  return true;
}

function byMachine(all: readonly Lot[]): ReadonlyMap<string, readonly Lot[]> {
  const lots = new Map<string, Lot[]>();
  for (const lot of all) {
    if (lot.mode === null) continue;
    const { machines } = lot.mode;
    for (let i = 0; i < machines.length; i++) {
      const machine = machines[i] as string;
      if (i > 0 && machines.indexOf(machine) < i) continue; // named twice, used once
      const list = lots.get(machine);
      if (list) list.push(lot);
      else lots.set(machine, [lot]);
    }
  }
  for (const list of lots.values()) sortByStart(list);
  return lots;
}

/** All its pieces are in done lots and nothing runs. */
export const isDone = (operation: Operation): boolean =>
  operation.progress.running.length === 0 && donePieces(operation) >= operation.pieces && operation.progress.done.length > 0;

function donePieces({ progress: { done } }: Operation): number {
  let sum = 0;
  for (const { pieces } of done) sum += pieces;
  return sum;
}

export const isBegun = ({ progress }: Operation): boolean => hasBegun(progress);

/** Earlier, where starts are equal, is by operation id, then lot. */
export const byStart = (a: Lot, b: Lot): number =>
  a.start - b.start || (a.operation.id < b.operation.id ? -1 : a.operation.id > b.operation.id ? 1 : a.number - b.number);

function sortByStart(lots: Lot[]): void {
  const order = inOrderOf(lots.map(({ start }) => start));
  const sorted = Array.from(order, (i) => lots[i] as Lot);
  let tied = false;
  for (let i = 0; i < sorted.length; i++) {
    lots[i] = sorted[i] as Lot;
    if (i > 0 && (sorted[i] as Lot).start === (sorted[i - 1] as Lot).start) tied = true;
  }
  if (tied) lots.sort(byStart);
}

/** The tail of each run-hour rule's list that is neither begun nor planned. */
function mayStayUnplanned(problem: Problem, leftOut: ReadonlySet<string>): ReadonlySet<string> {
  if (leftOut.size === 0) return leftOut;
  const begun = new Set(problem.operations.filter(isBegun).map(({ id }) => id));
  const out = new Set<string>();
  for (const { operations } of problem.runHourRules) {
    for (let i = operations.length - 1; i >= 0; i--) {
      const id = operations[i] as string;
      if (!leftOut.has(id) || begun.has(id)) break;
      out.add(id);
    }
  }
  return out;
}

function modeOf({ modes }: Operation, id: string): Mode | null {
  for (const mode of modes) if (mode.id === id) return mode;
  return null;
}

function lotsOf(look: LookUp, operation: Operation, place: number, planned: readonly PlannedLot[]): readonly Lot[] {
  const lots: Lot[] = [];
  let piecesBefore = 0;
  for (const { mode: named, pieces, start, end } of operation.progress.done) {
    const number = lots.length;
    const mode = modeOf(operation, named);
    lots.push({
      operation,
      place,
      number,
      state: "done",
      mode,
      pieces,
      piecesBefore,
      start,
      end,
      planned: null,
      running: null,
      phases: [],
      soundWith: -1,
    });
    piecesBefore += pieces;
  }
  for (let i = 0; i < planned.length; i++) {
    const entry = planned[i] as PlannedLot;
    const number = lots.length;
    const running = operation.progress.running[i] ?? null;
    const state = running === null ? "open" : "running";
    const mode = modeOf(operation, entry.mode);
    const { pieces, start, end } = entry;
    const lot: Lot = {
      operation,
      place,
      number,
      state,
      mode,
      pieces,
      piecesBefore,
      start,
      end,
      planned: entry,
      running,
      phases: [],
      soundWith: -1,
    };
    if (mode !== null) addPhases(look, lot, mode, entry.phases);
    lots.push(lot);
    piecesBefore += pieces;
  }
  return lots;
}

/** The phases from now on, whether the plan works them or not. */
function addPhases(look: LookUp, lot: Lot, mode: Mode, planned: readonly PlannedPhase[]): void {
  const { now } = look.problem;
  const { running } = lot;
  let endBefore: Minute | null = running === null ? null : now;
  let endBeforeExact = false;
  for (let index = running?.phase ?? 0; index < mode.phases.length; index++) {
    const phase = mode.phases[index] as Phase;
    const current = running?.phase === index;
    const ownMinutes =
      running !== null && current ? leftOfCurrent(running, phase, lot.pieces) : workMinutes(phase.work, lot.pieces);
    const entry = entryOf(planned, index);
    const work = entry === undefined ? NOTHING : entry.again ? allWork(planned, index) : tidy(entry.first.work);
    let worked = 0;
    for (let i = 0; i < work.length; i++) worked += (work[i] as Interval)[1] - (work[i] as Interval)[0];
    const first = work[0];
    const ahead = first === undefined || first[0] >= now ? work : clip(work, now, Number.MAX_SAFE_INTEGER);
    const span: Interval | null =
      first === undefined ? null : work.length === 1 ? first : [first[0], (work[work.length - 1] as Interval)[1]];
    const crews = entry?.first.crews ?? NOTHING;
    const served = look.servedBy(phase, crews);
    lot.phases.push({
      lot,
      mode,
      index,
      phase,
      current,
      ownMinutes,
      work,
      worked,
      ahead,
      span,
      crews,
      served,
      endBefore,
      endBeforeExact,
    });
    if (span !== null) {
      endBefore = span[1];
      endBeforeExact = true;
    }
  }
}

/** The plan's first entry for the phase, and whether it lists the phase again. */
function entryOf(
  planned: readonly PlannedPhase[],
  index: number,
): { readonly first: PlannedPhase; readonly again: boolean } | undefined {
  let first: PlannedPhase | undefined;
  for (let i = 0; i < planned.length; i++) {
    const entry = planned[i] as PlannedPhase;
    if (entry.phase !== index) continue;
    if (first !== undefined) return { first, again: true };
    first = entry;
  }
  return first === undefined ? undefined : { first, again: false };
}

/** All that the plan works in a phase that it lists more than once. */
const allWork = (planned: readonly PlannedPhase[], index: number): Intervals =>
  normalise(planned.flatMap((entry) => (entry.phase === index ? entry.work : [])));

/** Piece ends count back from the end; a batch cut earlier leaves out the pieces after the cut. */
function leftOfCurrent(running: RunningLot, phase: Phase, pieces: number): Minute {
  const dropped = workMinutes(phase.work, running.pieces) - workMinutes(phase.work, Math.min(pieces, running.pieces));
  return Math.max(0, running.remaining - dropped);
}

/** Plans are stored tidy; only a broken one costs a sort. */
function tidy(work: Intervals): Intervals {
  for (let i = 0; i < work.length; i++) {
    const [start, end] = work[i] as Interval;
    if (start >= end || (i > 0 && start <= (work[i - 1] as Interval)[1])) return normalise(work);
  }
  return work;
}

/**
 * The minute that release and links bind: the start, or under `prepareEarly` the first phase after prepare
 * (the end, when there is none). null: that minute has passed, so nothing can bind it any more.
 */
export function boundMinute(lot: Lot): Minute | null {
  if (lot.state === "done") return null;
  if (!lot.operation.prepareEarly || lot.mode === null) return lot.state === "running" ? null : lot.start;
  if (lot.running !== null && lot.mode.phases[lot.running.phase]?.kind !== "prepare") return null;
  const next = lot.phases.find(({ phase, span }) => phase.kind !== "prepare" && span !== null);
  return next?.span?.[0] ?? lot.end;
}
