/**
 * The problem as of now, from what was reported and the plan in force. Between two reports running work goes on as published.
 * A site that follows its plan also takes what was published as begun and ended when its time has come, unless somebody
 * reported otherwise: people then report only what went differently. Nothing is taken as begun whose predecessor is not
 * done or whose machine is still held by late work. Pure; O(operations x links of each).
 */
import type { Minute } from "../../core/calendar/minute.ts";
import type { DoneLot, Operation, OperationId, Progress, RunningLot } from "../../core/orders/operation.ts";
import type { Plan, PlannedLot } from "../../core/problem/plan.ts";
import type { Problem } from "../../core/problem/problem.ts";
import { carriedOn, lotsAhead, workedWithin } from "./fit-plan.ts";
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
  const ahead = (operation: Operation): readonly PlannedLot[] =>
    lotsAhead(operation, progress.get(operation.id)?.done ?? [], lots.get(operation.id) ?? []);

  for (const operation of problem.operations) {
    const { done, running } = operation.progress;
    const reported = reports.get(operation.id);
    if (running === null || reported === undefined) continue;
    const lot = ahead(operation)[0] ?? null;
    const state = carriedOn(running, reported, now, lot);
    const mode = operation.modes.find((m) => m.id === running.mode);
    const ended = follows && lot !== null && ends(state, lot, now);
    worked.push({
      start: running.start,
      machines: mode?.machines ?? [],
      operation: operation.id,
      runMinutes: runMinutesBetween(mode, running, ended ? null : state),
      ended,
    });
    if (ended) {
      assumed.add(operation.id);
      progress.set(operation.id, { done: [...done, doneLot(running, lot.end)], running: null });
    } else
      progress.set(operation.id, {
        done,
        running: state.remaining === 0 && isLast(state, lot) ? { ...state, remaining: 1, working: true } : state,
      });
  }

  if (follows) {
    const first = (operation: Operation): Minute => ahead(operation)[0]?.start ?? now;
    for (const operation of [...problem.operations].filter((o) => first(o) < now).sort((a, b) => first(a) - first(b)))
      follow(operation);
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

  function follow(operation: Operation): void {
    const withdrawn = reports.has(operation.id) && operation.progress.running === null;
    if (withdrawn) return;
    for (const lot of ahead(operation)) {
      const { done, running } = progress.get(operation.id) ?? operation.progress;
      if (running !== null || lot.start >= now || !mayHaveBegun(operation, lot)) return;
      const mode = operation.modes.find((m) => m.id === lot.mode);
      const begun = beginOf(lot);
      const state = carriedOn(begun, lot.start, now, lot);
      const ended = lot.end <= now;
      assumed.add(operation.id);
      worked.push({
        start: lot.start,
        machines: mode?.machines ?? [],
        operation: operation.id,
        runMinutes: runMinutesOf(operation, lot, now),
        ended,
      });
      progress.set(operation.id, ended ? { done: [...done, doneLot(begun, lot.end)], running: null } : { done, running: state });
    }
  }

  function mayHaveBegun(operation: Operation, lot: PlannedLot): boolean {
    const isDone = (id: OperationId): boolean => {
      const other = problem.operations.find((o) => o.id === id);
      return other === undefined || finished(other, progress.get(id) ?? other.progress);
    };
    const hasBegun = (id: OperationId): boolean => {
      const { done, running } = progress.get(id) ?? { done: [], running: null };
      return running !== null || done.length > 0;
    };
    const waits = problem.links.some(
      (link) =>
        link.to === operation.id &&
        ((link.kind === "lag" && !isDone(link.from)) || (link.kind === "transfer" && !hasBegun(link.from))),
    );
    const machines = operation.modes.find((m) => m.id === lot.mode)?.machines ?? [];
    const held = problem.operations.some((other) => {
      const running = progress.get(other.id)?.running;
      if (other.id === operation.id || !running) return false;
      return other.modes.find((m) => m.id === running.mode)?.machines.some((machine) => machines.includes(machine)) ?? false;
    });
    return !waits && !held;
  }
}

const finished = ({ pieces }: Operation, { done, running }: Progress): boolean =>
  running === null && done.length > 0 && done.reduce((sum, lot) => sum + lot.pieces, 0) >= pieces;

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
