/** The order book as a list: each order with what the draft plan makes of it. A read model; changes nothing. */
import type { OrderQuery, OrderSummary } from "../../contract/api/order.ts";
import type { Page } from "../../contract/api/shop.ts";
import type { Minute } from "../../core/calendar/minute.ts";
import { hasBegun, type Operation } from "../../core/orders/operation.ts";
import type { Plan } from "../../core/problem/plan.ts";
import type { Problem } from "../../core/problem/problem.ts";
import { orderRevisions } from "../store/order-store.ts";
import { type Office, planningState } from "./planning-state.ts";

export async function listOrderSummaries(office: Office, query: OrderQuery): Promise<Page<OrderSummary>> {
  const { problem, plan } = await planningState(office);
  const search = query.search?.trim().toLowerCase() ?? "";
  const found = summaries(problem, plan).filter(
    (order) =>
      (query.state === undefined || order.state === query.state) &&
      [order.id, order.name, order.requester ?? ""].some((text) => text.toLowerCase().includes(search)),
  );
  const items = found.slice((query.page - 1) * query.size, query.page * query.size);
  return {
    items,
    revisions: await orderRevisions(
      office.store,
      items.map((order) => order.id),
    ),
    page: query.page,
    size: query.size,
    total: found.length,
  };
}

/** Minute at which the plan completes each operation; absent: not wholly planned. */
export function operationEnds(problem: Problem, plan: Plan): ReadonlyMap<string, Minute> {
  const lots = new Map(plan.operations.map((planned) => [planned.operation, planned.lots]));
  return new Map(
    problem.operations.flatMap((operation) => {
      const { done } = operation.progress;
      const ahead = lots.get(operation.id);
      if (!ahead && !finished(operation)) return [];
      return [[operation.id, Math.max(...done.map((lot) => lot.end), ...(ahead ?? []).map((lot) => lot.end))] as const];
    }),
  );
}

const finished = ({ progress, pieces }: Operation): boolean =>
  progress.running.length === 0 && progress.done.length > 0 && progress.done.reduce((sum, lot) => sum + lot.pieces, 0) >= pieces;

/** Maintenance at the end of a run-hour rule may stay unplanned, so it does not hold its order back. */
export function summaries(problem: Problem, plan: Plan): OrderSummary[] {
  const ends = operationEnds(problem, plan);
  const maySkip = new Set(problem.runHourRules.flatMap((rule) => rule.operations));
  const byOrder = new Map<string, Operation[]>();
  for (const operation of problem.operations) byOrder.set(operation.order, [...(byOrder.get(operation.order) ?? []), operation]);
  return problem.orders.map((order) => {
    const operations = byOrder.get(order.id) ?? [];
    const wanted = operations.filter((operation) => ends.has(operation.id) || !maySkip.has(operation.id));
    const done = wanted.length > 0 && wanted.every(finished);
    const planned = wanted.every((operation) => ends.has(operation.id));
    const completion = planned && wanted.length > 0 ? Math.max(...wanted.map((operation) => ends.get(operation.id) ?? 0)) : null;
    const late = completion === null || order.due === null ? 0 : Math.max(0, completion - order.due);
    const begun = operations.some(({ progress }) => hasBegun(progress));
    return {
      id: order.id,
      name: order.name,
      kind: order.kind,
      requester: order.requester,
      quantity: order.quantity,
      weight: order.weight,
      release: order.release,
      due: order.due,
      deadline: order.deadline,
      operations: operations.length,
      state: done ? "done" : !planned ? "unplanned" : late > 0 ? "late" : begun ? "running" : "planned",
      running: begun && !done,
      completion,
      late,
    };
  });
}
