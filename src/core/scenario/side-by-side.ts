/**
 * Several shops and their plans side by side on the same measures: the draft first, each scenario against it. Every plan is measured
 * in the shop it was made for, so a due date that a scenario moves counts there as moved. Judges nothing beyond saying which value
 * of a measure is the smaller one; O(size of the plans) and two checks for each.
 */
import { clip, intersect, normalise, totalMinutes } from "../calendar/intervals.ts";
import type { Interval, Minute } from "../calendar/minute.ts";
import type { OperationId } from "../orders/operation.ts";
import type { OrderId } from "../orders/order.ts";
import type { MachineId } from "../plant/machine.ts";
import type { Plan, PlannedLot } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { endsByOrder, lotsByOperation, machinesOf, measuresOf, type PlanMeasures } from "./comparison.ts";
import { type Overtime, overtimeOf } from "./overtime.ts";

export type Side = { readonly problem: Problem; readonly plan: Plan };

export type OrderStanding = {
  readonly due: Minute | null;
  /** null: not planned, or not in this shop. */
  readonly end: Minute | null;
  readonly late: Minute;
};

export type Place = { readonly start: Minute; readonly end: Minute; readonly machines: readonly MachineId[] };

export type MovedPlace = {
  readonly operation: OperationId;
  readonly name: string;
  readonly order: OrderId;
  /** Where the first side has it; null: it is not there. */
  readonly from: Place | null;
  readonly to: Place | null;
};

export type Column = {
  readonly measures: PlanMeasures;
  readonly overtime: Overtime;
  /** By machine, from now to `until`. */
  readonly load: readonly { readonly machine: MachineId; readonly occupied: Minute; readonly open: Minute }[];
  /** Against the first side; by start. */
  readonly moved: readonly MovedPlace[];
};

export type SideBySide = {
  readonly columns: readonly Column[];
  /** Orders that are late on a side or end elsewhere on two of them; worst first. */
  readonly orders: readonly { readonly order: OrderId; readonly name: string; readonly sides: readonly OrderStanding[] }[];
};

export function sideBySide(first: Side, others: readonly Side[], until: Minute): SideBySide {
  const sides = [first, ...others];
  return {
    columns: sides.map(({ problem, plan }) => ({
      measures: measuresOf(problem, plan),
      overtime: overtimeOf(first.problem, problem, plan),
      load: loadUntil(problem, plan, until),
      moved: movedBetweenSides(first, { problem, plan }),
    })),
    orders: orderRows(sides),
  };
}

function orderRows(sides: readonly Side[]): SideBySide["orders"] {
  const ends = sides.map(({ problem, plan }) => endsByOrder(problem, lotsByOperation(plan)));
  const books = sides.map(({ problem }) => new Map(problem.orders.map((order) => [order.id, order])));
  const names = new Map(sides.flatMap(({ problem }) => problem.orders.map(({ id, name }) => [id, name] as const)));
  const worst = (standings: readonly OrderStanding[]): Minute => Math.max(...standings.map(({ late }) => late));
  return [...names]
    .map(([order, name]) => ({
      order,
      name,
      sides: sides.map((_, i): OrderStanding => {
        const due = books[i]?.get(order)?.due ?? null;
        const end = books[i]?.has(order) ? (ends[i]?.get(order) ?? null) : null;
        return { due, end, late: due === null || end === null ? 0 : Math.max(0, end - due) };
      }),
    }))
    .filter(({ sides: standings }) => worst(standings) > 0 || standings.some(({ end }) => end !== standings[0]?.end))
    .sort((a, b) => worst(b.sides) - worst(a.sides) || (a.order < b.order ? -1 : 1));
}

/** Operations whose lots start elsewhere or stand on other machines. */
function movedBetweenSides(first: Side, second: Side): readonly MovedPlace[] {
  const [before, after] = [placesOf(first), placesOf(second)];
  const known = new Map(
    [...first.problem.operations, ...second.problem.operations].map((operation) => [operation.id, operation]),
  );
  return [...known.values()]
    .flatMap(({ id, name, order }): MovedPlace[] => {
      const [from, to] = [before.get(id) ?? null, after.get(id) ?? null];
      if (JSON.stringify(from) === JSON.stringify(to)) return [];
      return [{ operation: id, name, order, from, to }];
    })
    .sort((a, b) => startOf(a) - startOf(b) || (a.operation < b.operation ? -1 : 1));
}

const startOf = ({ from, to }: MovedPlace): Minute =>
  Math.min(from?.start ?? Number.POSITIVE_INFINITY, to?.start ?? Number.POSITIVE_INFINITY);

function placesOf({ problem, plan }: Side): ReadonlyMap<OperationId, Place> {
  const operations = new Map(problem.operations.map((operation) => [operation.id, operation]));
  return new Map(
    plan.operations.flatMap(({ operation: id, lots }): [OperationId, Place][] => {
      const operation = operations.get(id);
      const [first] = lots;
      if (operation === undefined || first === undefined) return [];
      const machines = [...new Set(lots.flatMap((lot: PlannedLot) => machinesOf(operation, lot)))].sort();
      return [[id, { start: first.start, end: Math.max(...lots.map(({ end }) => end)), machines }]];
    }),
  );
}

/** Open minutes of each machine from `from` (now) to `until`, and those of them in which work holds it. */
export function loadUntil(problem: Problem, plan: Plan, until: Minute, from: Minute = problem.now): Column["load"] {
  const operations = new Map(problem.operations.map((operation) => [operation.id, operation]));
  const held = new Map<MachineId, Interval[]>();
  for (const { operation: id, lots } of plan.operations)
    for (const lot of lots) {
      const operation = operations.get(id);
      if (operation === undefined) continue;
      for (const machine of machinesOf(operation, lot)) {
        const list = held.get(machine) ?? [];
        list.push([lot.start, lot.end]);
        held.set(machine, list);
      }
    }
  return problem.machines.map(({ id, open }) => ({
    machine: id,
    occupied: totalMinutes(clip(intersect(normalise(held.get(id) ?? []), open), from, until)),
    open: totalMinutes(clip(open, from, until)),
  }));
}
