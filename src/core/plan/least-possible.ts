/**
 * What no plan that completes an order sooner than the plan in hand can be below, measure by measure of rush-choice.ts. Promises bounds: the
 * finish that soonest.ts gives; no lateness and no cut; one order moved by one minute where the order, with all others exactly where they
 * lie, completes no sooner; the machines and crews of the work that ends last today, which must change; no hours alone at all. An
 * answer that is at all of them leaves room for no other; in a measure in which it is at its bound nothing is better.
 */
import type { Minute } from "../calendar/minute.ts";
import { frozenWork } from "../check/frozen.ts";
import { runningWork } from "../check/running-work.ts";
import { hasBegun } from "../orders/operation.ts";
import type { Plan, PlannedOperation } from "../problem/plan.ts";
import { earliestEnds, toTheEnd } from "./earliest-ends.ts";
import { thinned } from "./easy-shop.ts";
import { leastSetups } from "./least-setup.ts";
import type { Measures } from "./rush-choice.ts";
import { brokenWork, fixedWork } from "./soonest.ts";
import type { Wanted } from "./wanted-order.ts";

export type InHand = {
  readonly plan: Plan;
  /** When it completes the order. */
  readonly finish: Minute;
  /** Minutes of all work with nobody on site. */
  readonly alone: Minute;
};

export function leastPossible(wanted: Pick<Wanted, "problem" | "order">, inHand: InHand, soonest: Minute | null): Measures {
  const gives = stillSoonest(wanted, inHand.plan) >= inHand.finish ? 1 : 0;
  return {
    finish: soonest ?? wanted.problem.horizon,
    ...{ lateness: 0, movement: gives, ordersMoved: gives, cuts: 0 },
    told: endsLast(wanted, inHand),
    nightMinutesChange: -inHand.alone,
  };
}

/** Before which minute the order is not complete while every other work lies exactly where it does. */
function stillSoonest(wanted: Pick<Wanted, "problem" | "order">, plan: Plan): Minute {
  const { problem, order } = wanted;
  const broken = brokenWork(problem, plan);
  const isFixed = fixedWork(problem);
  const setups = leastSetups(problem, [], (operation) => isFixed(operation) || broken.has(operation.id));
  const own = new Set(problem.operations.filter((operation) => operation.order === order.id).map(({ id }) => id));
  const others = plan.operations.filter(({ operation }) => !own.has(operation));
  const easy = thinned(wanted, isFixed, setups, true);
  return earliestEnds(wanted, easy, {
    standing: (shop): readonly PlannedOperation[] => [
      ...others,
      ...runningWork(shop)
        .filter(({ operation }) => own.has(operation))
        .map((planned) => toTheEnd(shop, planned)),
      ...frozenWork(problem).kept.filter(({ operation }) => own.has(operation)),
    ],
    isFixed: (operation) => !own.has(operation.id) || isFixed(operation),
    broken,
  }).last;
}

/** Machines and crews of the order's work that ends with it today: that work must change, and they must hear of it. */
function endsLast({ problem, order }: Pick<Wanted, "problem" | "order">, { plan, finish }: InHand): number {
  const lots = new Map(plan.operations.map((planned) => [planned.operation, planned.lots]));
  const told = new Set<string>();
  for (const { id, order: of, modes, progress } of problem.operations) {
    const own = lots.get(id) ?? [];
    if (of !== order.id || (hasBegun(progress) && own.length === 0) || !own.some(({ end }) => end >= finish)) continue;
    for (const { mode, phases } of own) {
      for (const machine of modes.find((one) => one.id === mode)?.machines ?? []) told.add(`machine ${machine}`);
      for (const { crews } of phases) for (const crew of crews) told.add(`crew ${crew}`);
    }
  }
  return told.size;
}
