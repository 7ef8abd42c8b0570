/**
 * Where a whole order would fit on each set of machines that can take all of it, without moving anybody: a campaign of several
 * sessions on this rig or that. The order is in the problem and not in the plan. Each place is a plan the checker has passed: it has
 * no conflict that the plan in hand had not. The sessions are placed one after another, each as early as it can end: exact for
 * one operation, good for a chain. Cost: machines sets x operations x gaps.
 */
import type { Minute } from "../calendar/minute.ts";
import { check } from "../check/checker.ts";
import { present } from "../ground/invariant.ts";
import type { OperationId } from "../orders/operation.ts";
import type { OrderId } from "../orders/order.ts";
import type { MachineId } from "../plant/machine.ts";
import type { Plan, PlannedLot } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import type { DenseOp } from "../solve/decode/model.ts";
import { fitAround } from "./fit-around.ts";
import { newConflicts } from "./new-conflicts.ts";
import { aloneMinutes, nightsOf } from "./night-hours.ts";
import { openPlan } from "./open-plan.ts";

export type OrderPlace = {
  readonly machines: readonly MachineId[];
  readonly start: Minute;
  readonly end: Minute;
  readonly lots: readonly { readonly operation: OperationId; readonly lot: PlannedLot }[];
  /** Nights (stretches with nobody on site) in which it works alone, and the minutes of that. */
  readonly nights: number;
  readonly nightMinutes: Minute;
  readonly plan: Plan;
};

export type OrderPlaces = {
  /** The earliest end first. */
  readonly places: readonly OrderPlace[];
  /** Sets of machines that can take all of it and have no room before the limit. */
  readonly full: readonly (readonly MachineId[])[];
};

/** Later beginnings tried where the checker finds something the placing did not see. */
const TRIES_MOST = 24;
const STEP_MINUTES = 60;

export function orderPlaces(
  problem: Problem,
  plan: Plan,
  order: OrderId,
  wish: { readonly earliest?: Minute | undefined; readonly before?: Minute | undefined } = {},
  shouldStop: () => boolean = () => false,
): OrderPlaces {
  const own = problem.operations.filter((operation) => operation.order === order);
  const out = new Set(own.map(({ id }) => id));
  const before = check(problem, plan).conflicts;
  const nights = nightsOf(problem, problem.now, problem.horizon);
  const open = openPlan(problem, plan, out);
  const ops = own.map(({ id }) => open.opOf(id));
  const places: OrderPlace[] = [];
  const full: (readonly MachineId[])[] = [];
  for (const [key, machines] of setsOf(ops)) {
    if (shouldStop()) break;
    const found = placeOn(key, machines);
    if (found === null) full.push(machines);
    else places.push(found);
  }
  return { places: places.sort((a, b) => a.end - b.end || a.start - b.start), full };

  function placeOn(key: string, machines: readonly MachineId[]): OrderPlace | null {
    let from = Math.max(problem.now, wish.earliest ?? problem.now);
    for (let tries = 0; tries < TRIES_MOST; tries++) {
      const mark = open.state.mark();
      const fits = fitAround(open.state, ops, { notBefore: from, modes: (mode) => setKey(mode.machines) === key });
      const written = open.write();
      open.state.undoTo(mark);
      if (!fits) return null;
      const lots = written.operations.flatMap(({ operation, lots: placed }) =>
        out.has(operation) ? placed.map((lot) => ({ operation, lot })) : [],
      );
      const start = Math.min(...lots.map(({ lot }) => lot.start));
      const end = Math.max(...lots.map(({ lot }) => lot.end));
      if (end > (wish.before ?? problem.horizon)) return null;
      if (newConflicts(before, check(problem, written).conflicts).length === 0)
        return { machines, start, end, lots, ...nightWork(lots), plan: written };
      from = start + STEP_MINUTES;
    }
    return null;
  }

  function nightWork(lots: OrderPlace["lots"]): { nights: number; nightMinutes: Minute } {
    const used = nights.filter((night) =>
      lots.some(({ operation, lot }) => aloneMinutes(sourceOf(operation), lot, [night]) > 0),
    ).length;
    return {
      nights: used,
      nightMinutes: lots.reduce((sum, { operation, lot }) => sum + aloneMinutes(sourceOf(operation), lot, nights), 0),
    };
  }

  function sourceOf(id: OperationId): Problem["operations"][number] {
    return present(
      own.find((operation) => operation.id === id),
      "operation of the order",
    );
  }

  /** Machine sets on which every operation has a way. */
  function setsOf(all: readonly DenseOp[]): ReadonlyMap<string, readonly MachineId[]> {
    const sets = new Map<string, readonly MachineId[]>();
    const [first] = all;
    for (const mode of first?.modes ?? []) {
      const key = setKey(mode.machines);
      if (all.every((op) => op.modes.some((other) => setKey(other.machines) === key)))
        sets.set(
          key,
          mode.machines.map((machine) => present(open.model.machines[machine], "machine").id),
        );
    }
    return sets;
  }
}

const setKey = (machines: readonly number[]): string => machines.toSorted((a, b) => a - b).join("+");
