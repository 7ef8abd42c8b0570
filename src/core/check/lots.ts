/**
 * The plan as the rules read it: one Lot for each done, running or planned lot, and one PhaseOfLot for each phase that
 * the plan should hold from now on, with the minutes it should work and where it does. Judges nothing.
 * Setup minutes are not known here (setup.ts); `ownMinutes` leaves them out. O(size of problem + plan, log for sorting).
 */
import { clip, type Intervals, normalise, totalMinutes } from "../calendar/intervals.ts";
import type { Interval, Minute } from "../calendar/minute.ts";
import { hasBegun, type Mode, type Operation, type Phase, type RunningLot, workMinutes } from "../orders/operation.ts";
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
  /** Those of them that the plan itself places: running and open ones. */
  readonly planned: readonly Lot[];
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
  const all = [...ofOperation.values()].flat();
  return {
    all,
    planned: all.filter((lot) => lot.planned !== null),
    ofOperation,
    notPlanned: problem.operations.filter(({ id }) => leftOut.has(id) && !mayBe.has(id)),
    isLeftOut: (operation) => leftOut.has(operation),
  };
}

/** All its pieces are in done lots and nothing runs. */
export const isDone = (operation: Operation): boolean =>
  operation.progress.running.length === 0 && donePieces(operation) >= operation.pieces && operation.progress.done.length > 0;

const donePieces = (operation: Operation): number => operation.progress.done.reduce((sum, { pieces }) => sum + pieces, 0);

export const isBegun = ({ progress }: Operation): boolean => hasBegun(progress);

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
  const modeOf = (id: string): Mode | null => operation.modes.find((mode) => mode.id === id) ?? null;
  const lots: Lot[] = [];
  let piecesBefore = 0;
  for (const { mode: named, pieces, start, end } of operation.progress.done) {
    const number = lots.length;
    const mode = modeOf(named);
    lots.push({
      operation,
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
    });
    piecesBefore += pieces;
  }
  planned.forEach((entry, i) => {
    const number = lots.length;
    const running = operation.progress.running[i] ?? null;
    const state = running === null ? "open" : "running";
    const mode = modeOf(entry.mode);
    const { pieces, start, end } = entry;
    const lot: Lot = { operation, number, state, mode, pieces, piecesBefore, start, end, planned: entry, running, phases: [] };
    if (mode !== null) addPhases(problem, lot, mode, entry.phases);
    lots.push(lot);
    piecesBefore += pieces;
  });
  return lots;
}

/** The phases from now on, whether the plan works them or not. */
function addPhases({ now }: Problem, lot: Lot, mode: Mode, planned: readonly PlannedPhase[]): void {
  const { running } = lot;
  mode.phases.forEach((phase, index) => {
    if (running !== null && index < running.phase) return;
    const current = running?.phase === index;
    const ownMinutes =
      running !== null && current ? leftOfCurrent(running, phase, lot.pieces) : workMinutes(phase.work, lot.pieces);
    const work = workOf(planned, index);
    const worked = totalMinutes(work);
    const first = work[0];
    const last = work.at(-1);
    const ahead = first === undefined || first[0] >= now ? work : clip(work, now, Number.MAX_SAFE_INTEGER);
    const span: Interval | null = first === undefined || last === undefined ? null : [first[0], last[1]];
    const crews = planned.find((entry) => entry.phase === index)?.crews ?? [];
    const needsOfCrews = sumByCrew(phase, crews);
    lot.phases.push({ lot, mode, index, phase, current, ownMinutes, work, worked, ahead, span, crews, needsOfCrews });
  });
}

/** All that the plan works in one phase; a phase listed twice is read together. */
function workOf(planned: readonly PlannedPhase[], index: number): Intervals {
  const entries = planned.filter((entry) => entry.phase === index);
  return entries.length === 1 ? tidy(entries[0]?.work ?? []) : normalise(entries.flatMap((entry) => entry.work));
}

/** Piece ends count back from the end; a batch cut earlier leaves out the pieces after the cut. */
function leftOfCurrent(running: RunningLot, phase: Phase, pieces: number): Minute {
  const dropped = workMinutes(phase.work, running.pieces) - workMinutes(phase.work, Math.min(pieces, running.pieces));
  return Math.max(0, running.remaining - dropped);
}

const NOBODY: ReadonlyMap<CrewId, number> = new Map();

function sumByCrew(phase: Phase, crews: readonly CrewId[]): ReadonlyMap<CrewId, number> {
  if (phase.needs.length === 0) return NOBODY;
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
