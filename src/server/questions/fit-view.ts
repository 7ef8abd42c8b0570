/** An answer of the core as the API carries it: its plan as what it changes in the draft, so that five answers stay small. */
import type { FitAnswer } from "../../contract/api/questions/fit-answer.ts";
import type { RushAnswer } from "../../core/plan/rush.ts";
import type { Plan } from "../../core/problem/plan.ts";
import type { Problem } from "../../core/problem/problem.ts";
import { hasRates, moneyDifference, moneyOf, type Rates } from "../../core/scenario/money.ts";

type Lots = FitAnswer["changes"];

/** What an answer costs more than the draft; null without rates. */
export type Price = (plan: Plan) => FitAnswer["money"];

/** `joined` is the problem with the order in it. */
export function priceOf(rates: Rates | undefined, problem: Problem, joined: Problem, draft: Plan): Price {
  if (rates === undefined || !hasRates(rates)) return () => null;
  const before = moneyOf(rates, problem, joined, draft);
  return (plan) => {
    const { total, items } = moneyDifference(before, moneyOf(rates, problem, joined, plan));
    return { currency: rates.currency, total, items };
  };
}

export function fitView(draft: Plan, answer: RushAnswer, price: Price): FitAnswer {
  const { plan, difference, conflicts, labels, operations, ordersLate, cuts: _count, ...measures } = answer;
  const before = new Map(draft.operations.map((planned) => [planned.operation, planned]));
  const after = new Set(plan.operations.map(({ operation }) => operation));
  const changes = plan.operations.filter((planned) => {
    const old = before.get(planned.operation);
    return old !== planned && JSON.stringify(old) !== JSON.stringify(planned);
  });
  return {
    ...measures,
    labels: [...labels],
    operations: operations.map((lot) => ({ ...lot, machines: [...lot.machines] })),
    moved: difference.moved.map(({ movement: _movement, ...moved }) => ({
      ...moved,
      machinesBefore: [...moved.machinesBefore],
      machinesAfter: [...moved.machinesAfter],
      newCrews: [...moved.newCrews],
    })),
    orders: [...difference.orders],
    ordersLate: [...ordersLate],
    machines: [...difference.machines],
    crews: [...difference.crews],
    cuts: difference.cuts.map((cut) => ({ ...cut, lots: [...cut.lots] })),
    money: price(plan),
    conflicts: conflicts.length,
    // Plain data on both sides; only the contract's lists may be written to.
    changes: changes as unknown as Lots,
    removed: draft.operations.flatMap(({ operation }) => (after.has(operation) ? [] : [operation])),
  };
}
