/**
 * Late orders from one place, so that counter, list and dimension lines agree. An order is complete when its last operation ends;
 * one with unplanned work has no completion yet and is late only if what is planned already ends after its due minute.
 */
import type { Operation, OperationId } from "../../src/core/orders/operation.ts";
import type { Order, OrderId } from "../../src/core/orders/order.ts";
import type { PlannedOperation } from "../../src/core/problem/plan.ts";

export type LateOrder = {
  readonly order: Order;
  readonly due: number;
  readonly end: number;
  readonly late: number;
  /** The operation that ends it. */
  readonly last: OperationId;
  /** Everything of it has its place; if not, it becomes later still. */
  readonly whole: boolean;
};

export type Completion = { readonly end: number; readonly last: OperationId; readonly whole: boolean };

const piecesDone = (operation: Operation): number => operation.progress.done.reduce((sum, { pieces }) => sum + pieces, 0);

/** Completion of every order with at least one placed operation. */
export function completions(
  operations: readonly Operation[],
  plan: ReadonlyMap<OperationId, PlannedOperation>,
): ReadonlyMap<OrderId, Completion> {
  const out = new Map<OrderId, Completion>();
  const unplaced = new Set<OrderId>();
  for (const operation of operations) {
    let end = Number.NEGATIVE_INFINITY;
    for (const lot of operation.progress.done) end = Math.max(end, lot.end);
    const lots = plan.get(operation.id)?.lots ?? [];
    for (const lot of lots) end = Math.max(end, lot.end);
    if (lots.length === 0 && piecesDone(operation) < operation.pieces) unplaced.add(operation.order);
    const known = out.get(operation.order);
    if (end > Number.NEGATIVE_INFINITY && (!known || end > known.end))
      out.set(operation.order, { end, last: operation.id, whole: true });
  }
  for (const order of unplaced) {
    const known = out.get(order);
    if (known) out.set(order, { ...known, whole: false });
  }
  return out;
}

/** Latest first; orders already complete by now stay out. */
export function lateOrders(
  orders: readonly Order[],
  completion: ReadonlyMap<OrderId, Completion>,
  now: number,
): readonly LateOrder[] {
  const out: LateOrder[] = [];
  for (const order of orders) {
    const done = completion.get(order.id);
    if (order.due === null || !done || done.end <= order.due || (done.whole && done.end <= now)) continue;
    out.push({ order, due: order.due, end: done.end, late: done.end - order.due, last: done.last, whole: done.whole });
  }
  return out.sort((a, b) => b.late - a.late || a.order.id.localeCompare(b.order.id));
}
