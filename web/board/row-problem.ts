/**
 * A small problem around one operation, for a verdict in the same frame: the work on its machines and its neighbours by link.
 * The checker judges it like any other. What it finds is true of the whole plan too, except that people and supplies used elsewhere
 * are not counted: the shop-wide verdict follows from a worker. Pure.
 */
import type { OperationId } from "../../src/core/orders/operation.ts";
import type { Plan } from "../../src/core/problem/plan.ts";
import type { Problem } from "../../src/core/problem/problem.ts";

/** Below so many operations the whole shop is judged in the frame. */
export const WHOLE_SHOP_MAX = 60;

export function neighbourhood(problem: Problem, plan: Plan, operation: OperationId): ReadonlySet<OperationId> {
  const near = new Set<OperationId>([operation]);
  for (const link of problem.links) {
    if (link.from === operation) near.add(link.to);
    if (link.to === operation) near.add(link.from);
  }
  for (const span of problem.kitSpans) {
    if (span.from === operation) near.add(span.to);
    if (span.to === operation) near.add(span.from);
  }
  const mine = problem.operations.find(({ id }) => id === operation);
  const machines = new Set(mine?.modes.flatMap((mode) => mode.machines));
  const offered = new Map(problem.operations.map((each) => [each.id, each]));
  for (const { operation: id, lots } of plan.operations) {
    const modes = offered.get(id)?.modes ?? [];
    if (lots.some((lot) => modes.find((mode) => mode.id === lot.mode)?.machines.some((machine) => machines.has(machine))))
      near.add(id);
  }
  for (const { id, progress, modes } of problem.operations) {
    const lots = [...progress.done, ...progress.running];
    if (lots.some((lot) => modes.find((mode) => mode.id === lot.mode)?.machines.some((machine) => machines.has(machine))))
      near.add(id);
  }
  return near;
}

export function restricted(problem: Problem, near: ReadonlySet<OperationId>): Problem {
  const orders = new Set(problem.operations.filter(({ id }) => near.has(id)).map(({ order }) => order));
  return {
    ...problem,
    orders: problem.orders.filter(({ id }) => orders.has(id)),
    operations: problem.operations.filter(({ id }) => near.has(id)),
    links: problem.links.filter(({ from, to }) => near.has(from) && near.has(to)),
    kitSpans: problem.kitSpans.filter(({ from, to }) => near.has(from) && near.has(to)),
    runHourRules: [],
    published: problem.published ? restrictedPlan(problem.published, near) : null,
  };
}

export const restrictedPlan = (plan: Plan, near: ReadonlySet<OperationId>): Plan => ({
  operations: plan.operations.filter(({ operation }) => near.has(operation)),
});
