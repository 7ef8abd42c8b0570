/**
 * The problem as of now, from what was reported and the plan in force. Between two reports running work goes on as published.
 * A site that follows its plan also takes what was published as begun and ended when its time has come, unless somebody
 * reported otherwise: people then report only what went differently. Nothing is taken as begun whose predecessor is not
 * done or whose machine is still held by late work, and nothing works on a machine that has been told to stand still. Pure; O(operations x links of each).
 */
import { type Intervals, normalise, subtract, totalMinutes } from "../../core/calendar/intervals.ts";
import type { Interval, Minute } from "../../core/calendar/minute.ts";
import {
  type DoneLot,
  hasBegun,
  NOTHING_BEGUN,
  type Operation,
  type OperationId,
  type Progress,
  type RunningLot,
} from "../../core/orders/operation.ts";
import type { Plan, PlannedLot } from "../../core/problem/plan.ts";
import type { Problem } from "../../core/problem/problem.ts";
import { carriedOn, workedWithin } from "./fit-plan.ts";
import { lotsAhead } from "./lots-ahead.ts";
import { runMinutesBetween } from "./run-minutes.ts";

/** Operations of which somebody reported something, and the minute at which it was so. */
export type Reports = ReadonlyMap<OperationId, Minute>;

export type AsOfNow = {
  readonly problem: Problem;
  /** Whose progress is taken from the plan and was not reported. */
  readonly assumed: ReadonlySet<OperationId>;
};

/** What worked on a machine since it was last counted, in the order in which it began. */
type Worked = {
  readonly start: Minute;
  readonly machines: readonly string[];
  readonly operation: OperationId;
  readonly runMinutes: number;
  readonly ended: boolean;
};

export function asOfNow(problem: Problem, published: Plan | null, reports: Reports, follows: boolean): AsOfNow {
  const { now } = problem;
  const lots = new Map(published?.operations.map((planned) => [planned.operation, planned.lots]));
  const progress = new Map<OperationId, Progress>(problem.operations.map((operation) => [operation.id, operation.progress]));
  const assumed = new Set<OperationId>();
  const worked: Worked[] = [];
  const ahead = problem.operations.map((operation) => ({ operation, ...lotsAhead(operation, lots.get(operation.id) ?? []) }));

  for (const { operation, running: places } of ahead) {
    const reported = reports.get(operation.id);
    if (reported === undefined) continue;
    const done = [...operation.progress.done];
    const running: RunningLot[] = [];
    operation.progress.running.forEach((lot, i) => {
      const place = places[i] ?? null;
      const mode = operation.modes.find((m) => m.id === lot.mode);
      const state = carriedOn(lot, reported, now, place, standstills(mode?.machines ?? []));
      const ended = follows && place !== null && ends(state, place, now);
      worked.push({
        start: lot.start,
        machines: mode?.machines ?? [],
        operation: operation.id,
        runMinutes: runMinutesBetween(mode, lot, ended ? null : state),
        ended,
      });
      if (ended) {
        assumed.add(operation.id);
        done.push(doneLot(lot, place.end));
      } else running.push(state.remaining === 0 && isLast(state, place) ? { ...state, remaining: 1, working: true } : state);
    });
    progress.set(operation.id, { done, running });
  }

  if (follows) {
    const begins = ahead.flatMap(({ operation, toBegin }) => {
      const withdrawn = reports.has(operation.id) && operation.progress.running.length === 0;
      return withdrawn ? [] : toBegin.filter((lot) => lot.start < now).map((lot) => ({ operation, lot }));
    });
    const held = new Set<OperationId>();
    for (const { operation, lot } of begins.sort((a, b) => a.lot.start - b.lot.start))
      if (held.has(operation.id) || !mayHaveBegun(operation, lot)) held.add(operation.id);
      else begin(operation, lot);
  }

  return {
    assumed,
    problem: {
      ...problem,
      operations: problem.operations.map((operation) => ({
        ...operation,
        progress: progress.get(operation.id) ?? operation.progress,
      })),
      runHourRules: problem.runHourRules.map((rule) => ({ ...rule, counter: counted(rule, worked) })),
    },
  };

  function begin(operation: Operation, lot: PlannedLot): void {
    const { done, running } = progress.get(operation.id) ?? operation.progress;
    const mode = operation.modes.find((m) => m.id === lot.mode);
    const begun = beginOf(lot);
    const stands = standstills(mode?.machines ?? []);
    const state = carriedOn(begun, lot.start, now, lot, stands);
    const ended = lot.end <= now && lot.phases.every(({ work }) => totalMinutes(subtract(work, stands)) === totalMinutes(work));
    assumed.add(operation.id);
    worked.push({
      start: lot.start,
      machines: mode?.machines ?? [],
      operation: operation.id,
      runMinutes: ended ? runMinutesOf(operation, lot, now) : runMinutesBetween(mode, begun, state),
      ended,
    });
    progress.set(
      operation.id,
      ended
        ? { done: [...done, doneLot(begun, lot.end)], running }
        : { done, running: [...running, state].sort((a, b) => a.start - b.start) },
    );
  }

  function mayHaveBegun(operation: Operation, lot: PlannedLot): boolean {
    const isDone = (id: OperationId): boolean => {
      const other = problem.operations.find((o) => o.id === id);
      return other === undefined || finished(other, progress.get(id) ?? other.progress);
    };
    const waits = problem.links.some(
      (link) =>
        link.to === operation.id &&
        ((link.kind === "lag" && !isDone(link.from)) ||
          (link.kind === "transfer" && !hasBegun(progress.get(link.from) ?? NOTHING_BEGUN))),
    );
    const machines = operation.modes.find((m) => m.id === lot.mode)?.machines ?? [];
    const held = problem.operations.some((other) =>
      progress
        .get(other.id)
        ?.running.some(({ mode }) =>
          other.modes.find((m) => m.id === mode)?.machines.some((machine) => machines.includes(machine)),
        ),
    );
    const stands = standstills(machines).some(([start, end]) => start <= lot.start && lot.start < end);
    return !waits && !held && !stands;
  }

  /** Closures of machines: what was published before one was told does not work in it. */
  function standstills(machines: readonly string[]): Intervals {
    return normalise(
      problem.machines.flatMap(({ id, closures }) =>
        machines.includes(id) ? closures.map(({ start, end }): Interval => [start, end]) : [],
      ),
    );
  }
}

const finished = ({ pieces }: Operation, { done, running }: Progress): boolean =>
  running.length === 0 && done.length > 0 && done.reduce((sum, lot) => sum + lot.pieces, 0) >= pieces;

const doneLot = ({ mode, pieces, start }: RunningLot, end: Minute): DoneLot => ({ mode, pieces, start, end });

const isLast = (state: RunningLot, lot: PlannedLot | null): boolean => state.phase === lot?.phases.at(-1)?.phase;

/** By its plan the lot is over, and nobody said that more is left than the plan knew. */
const ends = (state: RunningLot, lot: PlannedLot, now: Minute): boolean =>
  lot.end <= now && state.remaining === 0 && isLast(state, lot);

/** The lot in the minute of its planned start. */
function beginOf(lot: PlannedLot): RunningLot {
  const [first] = lot.phases;
  return {
    mode: lot.mode,
    pieces: lot.pieces,
    start: lot.start,
    phase: first?.phase ?? 0,
    crews: first?.crews ?? [],
    remaining: first ? workedWithin(first.work, Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY) : 0,
    working: true,
  };
}

/** Minutes that run phases of the lot have worked before `until`. */
function runMinutesOf(operation: Operation, lot: PlannedLot, until: Minute): number {
  const phases = operation.modes.find((mode) => mode.id === lot.mode)?.phases ?? [];
  return lot.phases.reduce(
    (sum, { phase, work }) => sum + (phases[phase]?.kind === "run" ? workedWithin(work, Number.NEGATIVE_INFINITY, until) : 0),
    0,
  );
}

/** The counter with everything that worked on its machine since; back to 0 at the end of each of its maintenance operations. */
function counted(rule: Problem["runHourRules"][number], worked: readonly Worked[]): Minute {
  let counter = rule.counter;
  for (const { machines, operation, runMinutes, ended } of [...worked].sort((a, b) => a.start - b.start)) {
    if (machines.includes(rule.machine)) counter += runMinutes;
    if (ended && rule.operations.includes(operation)) counter = 0;
  }
  return counter;
}
