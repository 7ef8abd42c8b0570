/**
 * The plan as the rules read it: one Lot for each done, running or planned lot, and one PhaseOfLot for each phase that
 * the plan should hold from now on, with the minutes it should work and where it does. Judges nothing.
 * Setup minutes are not known here (setup.ts); `ownMinutes` leaves them out. O(size of problem + plan, log for sorting).
 */
import { type Intervals, normalise, totalMinutes } from "../calendar/intervals.ts";
import type { Interval, Minute } from "../calendar/minute.ts";
import { type Mode, type Operation, type Phase, type RunningLot, workMinutes } from "../orders/operation.ts";
import type { CrewId } from "../plant/crew.ts";
import type { Plan, PlannedLot, PlannedPhase } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";

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
  readonly needsOfCrews: ReadonlyMap<CrewId, number>;
};

export type Lot = {
  readonly operation: Operation;
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
};

export type LotsOfPlan = {
  /** Every lot of every operation that is done, running or planned. */
  readonly all: readonly Lot[];
  readonly ofOperation: ReadonlyMap<string, readonly Lot[]>;
  /** Operations that the plan leaves out though it may not: nothing else is said about them. */
  readonly notPlanned: readonly Operation[];
  /** Not planned, whether it may be or not. */
  readonly isLeftOut: (operation: string) => boolean;
};

export function lotsOfPlan(problem: Problem, plan: Plan): LotsOfPlan {
  const planned = new Map<string, PlannedLot[]>();
  for (const { operation, lots } of plan.operations) {
    const known = planned.get(operation);
    if (known) known.push(...lots);
    else planned.set(operation, [...lots]);
  }
  const leftOut = new Set<string>();
  for (const operation of problem.operations) {
    if (!isDone(operation) && (planned.get(operation.id)?.length ?? 0) === 0) leftOut.add(operation.id);
  }
  const mayBe = mayStayUnplanned(problem, leftOut);
  const ofOperation = new Map<string, readonly Lot[]>();
  for (const operation of problem.operations)
    ofOperation.set(operation.id, lotsOf(problem, operation, planned.get(operation.id) ?? []));
  return {
    all: [...ofOperation.values()].flat(),
    ofOperation,
    notPlanned: problem.operations.filter(({ id }) => leftOut.has(id) && !mayBe.has(id)),
    isLeftOut: (operation) => leftOut.has(operation),
  };
}

/** All its pieces are in done lots and nothing runs. */
export const isDone = (operation: Operation): boolean =>
  operation.progress.running === null && donePieces(operation) >= operation.pieces && operation.progress.done.length > 0;

const donePieces = (operation: Operation): number => operation.progress.done.reduce((sum, { pieces }) => sum + pieces, 0);

export const isBegun = ({ progress }: Operation): boolean => progress.running !== null || progress.done.length > 0;

/** Earlier, where starts are equal, is by operation id, then lot. */
export const byStart = (a: Lot, b: Lot): number =>
  a.start - b.start || (a.operation.id < b.operation.id ? -1 : a.operation.id > b.operation.id ? 1 : a.number - b.number);

/** The tail of each run-hour rule's list that is neither begun nor planned. */
function mayStayUnplanned(problem: Problem, leftOut: ReadonlySet<string>): ReadonlySet<string> {
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

function lotsOf(problem: Problem, operation: Operation, planned: readonly PlannedLot[]): readonly Lot[] {
  const modes = new Map(operation.modes.map((mode) => [mode.id, mode]));
  const lots: Lot[] = [];
  let piecesBefore = 0;
  for (const { mode, pieces, start, end } of operation.progress.done) {
    lots.push({
      ...{ operation, number: lots.length, state: "done", mode: modes.get(mode) ?? null, pieces, piecesBefore, start, end },
      ...{ planned: null, running: null, phases: [] },
    });
    piecesBefore += pieces;
  }
  planned.forEach((entry, i) => {
    const running = i === 0 ? operation.progress.running : null;
    const mode = modes.get(entry.mode) ?? null;
    const { pieces, start, end } = entry;
    const lot: Lot = {
      ...{ operation, number: lots.length, state: running === null ? "open" : "running", mode, pieces, piecesBefore, start, end },
      ...{ planned: entry, running, phases: [] },
    };
    if (mode !== null) lot.phases.push(...phasesOf(problem, lot, mode, entry.phases));
    lots.push(lot);
    piecesBefore += pieces;
  });
  return lots;
}

/** The phases from now on, whether the plan works them or not. */
function phasesOf(problem: Problem, lot: Lot, mode: Mode, planned: readonly PlannedPhase[]): PhaseOfLot[] {
  return mode.phases.flatMap((phase, index): PhaseOfLot[] => {
    if (lot.running !== null && index < lot.running.phase) return [];
    const current = lot.running?.phase === index;
    const entries = planned.filter((entry) => entry.phase === index);
    const work = entries.length === 1 ? tidy(entries[0]?.work ?? []) : normalise(entries.flatMap((entry) => entry.work));
    const crews = entries[0]?.crews ?? [];
    const first = work[0];
    const last = work.at(-1);
    return [
      {
        ...{ lot, mode, index, phase, current, work, crews },
        ownMinutes:
          lot.running !== null && current ? leftOfCurrent(lot.running, phase, lot.pieces) : workMinutes(phase.work, lot.pieces),
        worked: totalMinutes(work),
        ahead:
          first === undefined || first[0] >= problem.now
            ? work
            : work.map(([a, b]): Interval => [Math.max(a, problem.now), b]).filter(([a, b]) => a < b),
        span: first === undefined || last === undefined ? null : [first[0], last[1]],
        needsOfCrews: needsOfCrews(phase, crews),
      },
    ];
  });
}

/** Piece ends count back from the end; a batch cut earlier leaves out the pieces after the cut. */
function leftOfCurrent(running: RunningLot, phase: Phase, pieces: number): Minute {
  const dropped = workMinutes(phase.work, running.pieces) - workMinutes(phase.work, Math.min(pieces, running.pieces));
  return Math.max(0, running.remaining - dropped);
}

function needsOfCrews(phase: Phase, crews: readonly CrewId[]): ReadonlyMap<CrewId, number> {
  const sums = new Map<CrewId, number>();
  phase.needs.forEach(({ amount }, i) => {
    const crew = crews[i];
    if (crew !== undefined) sums.set(crew, (sums.get(crew) ?? 0) + amount);
  });
  return sums;
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

/** End of the phase before this one, as the plan works them; null: it is the first. */
export type PhaseBefore = { readonly end: Minute; readonly exact: boolean } | null;

/**
 * What comes before each phase. A current phase of which nothing is left ended before now, nobody knows when:
 * its end counts as now, but not as exactly now.
 */
export function phaseBefore(now: Minute, lot: Lot, upTo: PhaseOfLot): PhaseBefore {
  let before: PhaseBefore = lot.state === "running" ? { end: now, exact: false } : null;
  for (const phase of lot.phases) {
    if (phase === upTo) break;
    if (phase.span !== null) before = { end: phase.span[1], exact: true };
  }
  return before;
}
