/**
 * Due list: what lapses when on which machine, which task covers it, and which planned work stands or falls with it. A
 * calibration lapses at its due minute as renewed so far; a run-hour counter where the planned runs take it past the limit,
 * without any maintenance yet to come (where they do not, no minute is known). Everything is read from the problem and the
 * plan; nothing is moved. O(operations x calibrations + runs).
 */
import type { Interval, Minute } from "../calendar/minute.ts";
import type { Mode, Operation, OperationId } from "../orders/operation.ts";
import { piecesBegun } from "../orders/operation.ts";
import type { Machine, MachineId } from "../plant/machine.ts";
import type { Plan, PlannedLot } from "../problem/plan.ts";
import type { Problem, RunHourRule } from "../problem/problem.ts";

/**
 * lapsed: it counts no more. none: no task is there. unplanned: one is, without a place in the plan. late: its place is after
 * the lapse and work in between depends on it. covered: planned in time, or nothing depends on it before.
 */
export type DueState = "lapsed" | "none" | "unplanned" | "late" | "covered";

export type DueItem = {
  readonly kind: "calibration" | "runHours";
  /** Unique in a list. */
  readonly key: string;
  readonly machine: MachineId;
  /** Of the calibration, or of the run-hour rule. */
  readonly name: string;
  /** null: the plan does not run it that far. */
  readonly lapses: Minute | null;
  /** Counter and limit of a run-hour rule. */
  readonly run: { readonly counter: Minute; readonly limit: Minute; readonly planned: Minute } | null;
  readonly state: DueState;
  /** The task that renews it: the first one planned, else the first one not planned. */
  readonly task: { readonly operation: OperationId; readonly start: Minute | null; readonly end: Minute | null } | null;
  /** Planned work on the machine that could not be done as planned if nothing renewed it, the first one first. */
  readonly blocked: readonly { readonly operation: OperationId; readonly start: Minute; readonly end: Minute }[];
};

type Work = { readonly operation: Operation; readonly mode: Mode; readonly lot: PlannedLot };

export function dueList(problem: Problem, plan: Plan): readonly DueItem[] {
  const work = plannedWork(problem, plan);
  const items = [
    ...problem.machines.flatMap((machine) =>
      machine.calibrations.map(({ name }) => calibrationItem(problem, work, machine, name)),
    ),
    ...problem.runHourRules.map((rule) => runHourItem(problem, work, rule)),
  ];
  const when = ({ lapses }: DueItem): number => lapses ?? Number.POSITIVE_INFINITY;
  return items.toSorted((a, b) => when(a) - when(b) || a.key.localeCompare(b.key));
}

/** A calibration's due minute as renewed by what is done. */
export function renewedDue(problem: Problem, machine: Machine, name: string): Minute {
  const calibration = machine.calibrations.find((candidate) => candidate.name === name);
  if (!calibration) return Number.NEGATIVE_INFINITY;
  const ends = problem.operations
    .filter((operation) => operation.calibrates.includes(name))
    .flatMap(({ modes, progress }) =>
      progress.done.flatMap(({ mode, end }) => (usesMachine(modes, mode, machine.id) ? [end] : [])),
    );
  return ends.length === 0 ? calibration.due : Math.max(...ends) + calibration.interval;
}

/** Tasks not yet done that could renew the calibration on the machine. */
export const calibrationTasks = (problem: Problem, machine: MachineId, name: string): readonly Operation[] =>
  problem.operations.filter(
    (operation) =>
      operation.calibrates.includes(name) &&
      !isDone(operation) &&
      operation.modes.some((mode) => mode.machines.includes(machine)),
  );

export const isDone = (operation: Operation): boolean =>
  operation.progress.running.length === 0 &&
  operation.progress.done.length > 0 &&
  piecesBegun(operation.progress) >= operation.pieces;

const usesMachine = (modes: readonly Mode[], id: string, machine: MachineId): boolean =>
  modes.find((mode) => mode.id === id)?.machines.includes(machine) ?? false;

function plannedWork(problem: Problem, plan: Plan): readonly Work[] {
  const operations = new Map(problem.operations.map((operation) => [operation.id, operation]));
  return plan.operations.flatMap(({ operation: id, lots }) => {
    const operation = operations.get(id);
    if (!operation) return [];
    return lots.flatMap((lot) => {
      const mode = operation.modes.find((candidate) => candidate.id === lot.mode);
      return mode ? [{ operation, mode, lot }] : [];
    });
  });
}

const byStart = (a: { start: Minute; operation: string }, b: { start: Minute; operation: string }): number =>
  a.start - b.start || a.operation.localeCompare(b.operation);

const placeOf = ({ operation, lot }: Work) => ({ operation: operation.id, start: lot.start, end: lot.end });

function calibrationItem(problem: Problem, work: readonly Work[], machine: Machine, name: string): DueItem {
  const lapses = renewedDue(problem, machine, name);
  const here = work.filter(({ mode }) => mode.machines.includes(machine.id));
  const blocked = here
    .filter(({ operation, lot }) => operation.needsCalibrations.includes(name) && lot.end > lapses)
    .map(placeOf)
    .sort(byStart);
  const planned = here
    .filter(({ operation }) => operation.calibrates.includes(name))
    .map(placeOf)
    .sort((a, b) => a.end - b.end);
  const waiting = calibrationTasks(problem, machine.id, name)[0] ?? null;
  const first = planned[0] ?? null;
  const inTime = first !== null && blocked.every(({ start }) => start >= first.end);
  return {
    kind: "calibration",
    key: `calibration ${machine.id} ${name}`,
    machine: machine.id,
    name,
    lapses,
    run: null,
    state: stateOf({ lapsed: lapses <= problem.now, planned: first !== null, waiting: waiting !== null, inTime }),
    task: first ?? (waiting && { operation: waiting.id, start: null, end: null }),
    blocked,
  };
}

function runHourItem(problem: Problem, work: readonly Work[], rule: RunHourRule): DueItem {
  const here = work.filter(({ mode }) => mode.machines.includes(rule.machine));
  const runs = here
    .flatMap((one) => {
      const worked = one.lot.phases
        .filter(({ phase }) => one.mode.phases[phase]?.kind === "run")
        .flatMap(({ work: intervals }) => intervals)
        .map(([start, end]): Interval => [Math.max(start, problem.now), end])
        .filter(([start, end]) => start < end);
      return worked.map((interval) => ({ one, interval }));
    })
    .sort((a, b) => a.interval[0] - b.interval[0]);
  let counter = rule.counter;
  let lapses: Minute | null = counter > rule.limit ? problem.now : null;
  const blocked = new Map<OperationId, ReturnType<typeof placeOf>>();
  for (const { one, interval } of runs) {
    const [start, end] = interval;
    if (lapses === null && counter + end - start > rule.limit) lapses = start + Math.max(0, rule.limit - counter);
    counter += end - start;
    if (lapses !== null && !rule.operations.includes(one.operation.id)) blocked.set(one.operation.id, placeOf(one));
  }
  const tasks = here
    .filter(({ operation }) => rule.operations.includes(operation.id))
    .map(placeOf)
    .sort((a, b) => a.end - b.end);
  const waiting = problem.operations.find((operation) => rule.operations.includes(operation.id) && !isDone(operation)) ?? null;
  const first = tasks[0] ?? null;
  return {
    kind: "runHours",
    key: `runHours ${rule.id}`,
    machine: rule.machine,
    name: rule.id,
    lapses,
    run: { counter: rule.counter, limit: rule.limit, planned: counter - rule.counter },
    state: stateOf({
      lapsed: lapses !== null && lapses <= problem.now,
      planned: first !== null,
      waiting: waiting !== null,
      inTime: first !== null && (lapses === null || first.end <= lapses),
      needed: lapses !== null,
    }),
    task: first ?? (waiting && { operation: waiting.id, start: null, end: null }),
    blocked: [...blocked.values()].sort(byStart),
  };
}

function stateOf(known: { lapsed: boolean; planned: boolean; waiting: boolean; inTime: boolean; needed?: boolean }): DueState {
  if (known.lapsed && !known.planned) return "lapsed";
  if (known.planned) return known.inTime ? "covered" : "late";
  if (known.waiting) return known.needed === false ? "covered" : "unplanned";
  return "none";
}
