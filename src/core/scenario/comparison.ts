/**
 * Two plans of one problem side by side on the same measures: cost, conflicts, lateness and movement by order, load by machine and
 * week, night work, setups, and who has to be told anew. Judges nothing: which is better is the planner's to say. Differences are
 * second less first. O(size of the plans) and two checks.
 */
import { clip, normalise, totalMinutes } from "../calendar/intervals.ts";
import type { Interval, Minute } from "../calendar/minute.ts";
import { check } from "../check/checker.ts";
import { setupsOf } from "../check/setup-count.ts";
import type { Operation, OperationId } from "../orders/operation.ts";
import type { OrderId } from "../orders/order.ts";
import type { CrewId } from "../plant/crew.ts";
import type { MachineId } from "../plant/machine.ts";
import type { Cost } from "../problem/objective.ts";
import type { Plan, PlannedLot } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";

export type PlanMeasures = {
  readonly conflicts: number;
  /** Operations that should be in the plan and are not. */
  readonly notPlanned: number;
  readonly cost: Cost;
  /** Latest end of all planned work. */
  readonly end: Minute;
  readonly lateOrders: number;
  /** Minutes of lateness of all orders, unweighted. */
  readonly lateMinutes: Minute;
  /** Times a machine is set up anew, and the minutes of it. */
  readonly setups: number;
  readonly setupMinutes: Minute;
  readonly waitingMinutes: Minute;
  /** Person-minutes in shifts marked unsocial. */
  readonly unsocialPersonMinutes: number;
  /** Minutes in which machines work while nobody is on site. */
  readonly unattendedNightMinutes: Minute;
  readonly load: readonly MachineLoad[];
};

export type MachineLoad = {
  readonly machine: MachineId;
  /** Seven days each from the origin; the first is week 0. */
  readonly weeks: readonly { readonly week: number; readonly occupied: Minute; readonly open: Minute }[];
};

export type OrderDifference = {
  readonly order: OrderId;
  readonly due: Minute | null;
  readonly ends: readonly [first: Minute | null, second: Minute | null];
  readonly late: readonly [first: Minute, second: Minute];
  /** Minutes by which it ends later in the second (negative: earlier); null: it is missing in one. */
  readonly moved: Minute | null;
  readonly becomesLate: boolean;
  readonly becomesOnTime: boolean;
};

export type OperationDifference = {
  readonly operation: OperationId;
  /** Minutes by which its first lot starts later in the second; null: it is missing in one. */
  readonly moved: Minute | null;
  readonly otherMachine: boolean;
  readonly otherCrews: boolean;
  readonly lots: readonly [first: number, second: number];
};

export type Comparison = {
  readonly measures: readonly [first: PlanMeasures, second: PlanMeasures];
  /** Only orders that differ, those that suffer most first. */
  readonly orders: readonly OrderDifference[];
  /** Only operations that differ. */
  readonly operations: readonly OperationDifference[];
  /** Whose list of work changes: something comes, goes or moves. */
  readonly toldAnew: { readonly machines: readonly MachineId[]; readonly crews: readonly CrewId[] };
};

const WEEK: Minute = 7 * 1440;

export function comparePlans(problem: Problem, first: Plan, second: Plan): Comparison {
  const [before, after] = [lotsByOperation(first), lotsByOperation(second)];
  return {
    measures: [measuresOf(problem, first), measuresOf(problem, second)],
    orders: ordersThatDiffer(problem, before, after),
    operations: problem.operations.flatMap((operation) => differenceOf(operation, before, after)),
    toldAnew: toldAnew(problem, before, after),
  };
}

export type LotsByOperation = ReadonlyMap<OperationId, readonly PlannedLot[]>;

export const lotsByOperation = (plan: Plan): LotsByOperation =>
  new Map(plan.operations.map(({ operation, lots }) => [operation, lots]));

export function measuresOf(problem: Problem, plan: Plan): PlanMeasures {
  const { conflicts, cost } = check(problem, plan);
  const lots = lotsByOperation(plan);
  const ends = endsByOrder(problem, lots);
  const late = problem.orders.map((order) => lateness(order.due, ends.get(order.id) ?? null));
  return {
    ...{ conflicts: conflicts.length, cost },
    notPlanned: conflicts.filter(({ kind }) => kind === "notPlanned").length,
    end: plan.operations.flatMap((planned) => planned.lots).reduce((latest, { end }) => Math.max(latest, end), problem.now),
    lateOrders: late.filter((minutes) => minutes > 0).length,
    lateMinutes: late.reduce((sum, minutes) => sum + minutes, 0),
    setups: setupsOf(problem, plan).count,
    setupMinutes: cost.parts.setup,
    waitingMinutes: cost.parts.waiting,
    unsocialPersonMinutes: cost.parts.unsocial,
    unattendedNightMinutes: nightMinutes(problem, plan),
    load: loadOf(problem, plan),
  };
}

const lateness = (due: Minute | null, end: Minute | null): Minute => (due === null || end === null ? 0 : Math.max(0, end - due));

export function endsByOrder(problem: Problem, lots: LotsByOperation): ReadonlyMap<OrderId, Minute> {
  const ends = new Map<OrderId, Minute>();
  for (const { id, order, progress } of problem.operations)
    for (const { end } of [...progress.done, ...(lots.get(id) ?? [])]) ends.set(order, Math.max(ends.get(order) ?? end, end));
  return ends;
}

function ordersThatDiffer(problem: Problem, before: LotsByOperation, after: LotsByOperation): readonly OrderDifference[] {
  const [first, second] = [endsByOrder(problem, before), endsByOrder(problem, after)];
  return problem.orders
    .flatMap(({ id, due }): OrderDifference[] => {
      const ends = [first.get(id) ?? null, second.get(id) ?? null] as const;
      if (ends[0] === ends[1]) return [];
      const late = [lateness(due, ends[0]), lateness(due, ends[1])] as const;
      const moved = ends[0] === null || ends[1] === null ? null : ends[1] - ends[0];
      return [
        {
          order: id,
          due,
          ends,
          late,
          moved,
          becomesLate: late[0] === 0 && late[1] > 0,
          becomesOnTime: late[0] > 0 && late[1] === 0,
        },
      ];
    })
    .sort(
      (a, b) =>
        b.late[1] - b.late[0] - (a.late[1] - a.late[0]) || (b.moved ?? 0) - (a.moved ?? 0) || (a.order < b.order ? -1 : 1),
    );
}

function differenceOf(operation: Operation, before: LotsByOperation, after: LotsByOperation): OperationDifference[] {
  const [old, now] = [before.get(operation.id) ?? [], after.get(operation.id) ?? []];
  const [from, to] = [old[0], now[0]];
  const machines = (lots: readonly PlannedLot[]): string =>
    JSON.stringify([...new Set(lots.flatMap((lot) => machinesOf(operation, lot)))].sort());
  const crews = (lots: readonly PlannedLot[]): string => JSON.stringify([...new Set(lots.flatMap(crewsOf))].sort());
  const moved = from === undefined || to === undefined ? null : to.start - from.start;
  const otherMachine = machines(old) !== machines(now);
  const otherCrews = crews(old) !== crews(now);
  const places = (lots: readonly PlannedLot[]): string =>
    JSON.stringify(lots.map(({ start, end, pieces }) => [start, end, pieces]));
  if (!otherMachine && !otherCrews && places(old) === places(now)) return [];
  return [{ operation: operation.id, moved, otherMachine, otherCrews, lots: [old.length, now.length] }];
}

export const machinesOf = (operation: Operation, lot: PlannedLot): readonly MachineId[] =>
  operation.modes.find(({ id }) => id === lot.mode)?.machines ?? [];
const crewsOf = (lot: PlannedLot): readonly CrewId[] => lot.phases.flatMap(({ crews }) => crews);

/** What each machine and crew is told: which lots, from when to when. */
function toldAnew(problem: Problem, before: LotsByOperation, after: LotsByOperation): Comparison["toldAnew"] {
  const lists = (lots: LotsByOperation, whom: (operation: Operation, lot: PlannedLot) => readonly string[]) => {
    const told = new Map<string, string[]>();
    for (const operation of problem.operations)
      for (const lot of lots.get(operation.id) ?? [])
        for (const who of new Set(whom(operation, lot))) {
          const line = JSON.stringify([operation.id, lot.start, lot.end, lot.pieces]);
          told.set(who, [...(told.get(who) ?? []), line]);
        }
    return told;
  };
  const changed = (ids: readonly string[], whom: (operation: Operation, lot: PlannedLot) => readonly string[]): string[] => {
    const [old, now] = [lists(before, whom), lists(after, whom)];
    return ids.filter((id) => JSON.stringify(old.get(id)?.sort()) !== JSON.stringify(now.get(id)?.sort()));
  };
  return {
    machines: changed(
      problem.machines.map(({ id }) => id),
      machinesOf,
    ),
    crews: changed(
      problem.crews.map(({ id }) => id),
      (_, lot) => crewsOf(lot),
    ),
  };
}

function nightMinutes(problem: Problem, plan: Plan): Minute {
  if (problem.crews.length === 0) return 0;
  const onSite = normalise(problem.crews.flatMap(({ present }) => present));
  const operations = new Map(problem.operations.map((operation) => [operation.id, operation]));
  let minutes = 0;
  for (const { operation: id, lots } of plan.operations) {
    const operation = operations.get(id);
    if (operation === undefined) continue;
    for (const lot of lots) {
      if (machinesOf(operation, lot).length === 0) continue;
      for (const [start, end] of lot.phases.flatMap(({ work }) => work)) {
        const from = Math.max(start, problem.now);
        if (from < end) minutes += end - from - totalMinutes(clip(onSite, from, end));
      }
    }
  }
  return minutes;
}

function loadOf(problem: Problem, plan: Plan): readonly MachineLoad[] {
  const operations = new Map(problem.operations.map((operation) => [operation.id, operation]));
  const uses = new Map<MachineId, Interval[]>();
  for (const { operation: id, lots } of plan.operations) {
    const operation = operations.get(id);
    if (operation === undefined) continue;
    for (const lot of lots)
      for (const machine of machinesOf(operation, lot)) uses.set(machine, [...(uses.get(machine) ?? []), [lot.start, lot.end]]);
  }
  return problem.machines.map(({ id, open }) => {
    const held = normalise((uses.get(id) ?? []).map(([start, end]): Interval => [Math.max(start, problem.now), end]));
    const last = held.at(-1)?.[1] ?? problem.now;
    const weeks: { week: number; occupied: Minute; open: Minute }[] = [];
    for (let week = Math.floor(problem.now / WEEK); week * WEEK < last; week++) {
      const [from, until] = [Math.max(week * WEEK, problem.now), Math.min((week + 1) * WEEK, problem.horizon)];
      weeks.push({ week, occupied: totalMinutes(clip(held, from, until)), open: totalMinutes(clip(open, from, until)) });
    }
    return { machine: id, weeks };
  });
}
