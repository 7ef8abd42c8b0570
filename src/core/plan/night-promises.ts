/**
 * What filling a night may cost others: nothing that was promised becomes late or later than it is, and what was promised to nobody
 * ends a day later at most. Pure; O(orders).
 */
import type { Minute } from "../calendar/minute.ts";
import type { OrderId } from "../orders/order.ts";
import type { Problem } from "../problem/problem.ts";

export type Completions = ReadonlyMap<OrderId, Minute | null>;

/** What was promised to nobody may end so much later. */
export const UNDUE_MOST = 1440;

/** The latest end of an order that is planned; null: it is not, and may end anywhere. */
export function latestEnd(due: Minute | null, old: Minute | null): Minute | null {
  if (due !== null) return Math.max(due, old ?? due);
  return old === null ? null : old + UNDUE_MOST;
}

export function keepsPromises(problem: Problem, before: Completions, after: Completions): boolean {
  return problem.orders.every(({ id, due }) => {
    const old = before.get(id) ?? null;
    const end = after.get(id) ?? null;
    if (end === null) return old === null;
    const latest = latestEnd(due, old);
    return latest === null || end <= latest;
  });
}
