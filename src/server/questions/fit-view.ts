/** An answer of the core as the API carries it: its plan as what it changes in the draft, so that five answers stay small. */
import type { FitAnswer } from "../../contract/api/questions/fit-answer.ts";
import type { RushAnswer } from "../../core/plan/rush.ts";
import type { Plan } from "../../core/problem/plan.ts";

type Lots = FitAnswer["changes"];

export function fitView(draft: Plan, answer: RushAnswer): FitAnswer {
  const { plan, difference, conflicts, labels, operations, ordersLate, ...measures } = answer;
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
    conflicts: conflicts.length,
    // Plain data on both sides; only the contract's lists may be written to.
    changes: changes as unknown as Lots,
    removed: draft.operations.flatMap(({ operation }) => (after.has(operation) ? [] : [operation])),
  };
}
