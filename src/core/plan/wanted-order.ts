/**
 * An order that somebody wants in the plan: one the problem already has, or a new one with its operations and links. Joins a new
 * one to the problem; which of its operations are still to be placed, and which stay because they are begun or frozen.
 */
import { frozenWork } from "../check/frozen.ts";
import { err, type Fault, ok, type Result } from "../ground/result.ts";
import type { KitSpan, Link } from "../orders/link.ts";
import { type Operation, type OperationId, piecesBegun } from "../orders/operation.ts";
import type { Order, OrderId } from "../orders/order.ts";
import type { Problem } from "../problem/problem.ts";

export type NewOrder = {
  readonly order: Order;
  readonly operations: readonly Operation[];
  readonly links: readonly Link[];
  readonly kitSpans: readonly KitSpan[];
};

/** The id of an order of the problem, or a new order. */
export type WantedOrder = OrderId | NewOrder;

export type Wanted = {
  /** With the new order in it. */
  readonly problem: Problem;
  readonly order: Order;
  /** Operations to be placed anew. */
  readonly operations: ReadonlySet<OperationId>;
};

export function wantedOrder(problem: Problem, wanted: WantedOrder): Result<Wanted, Fault> {
  const joined = typeof wanted === "string" ? problem : join(problem, wanted);
  const id = typeof wanted === "string" ? wanted : wanted.order.id;
  if (typeof wanted !== "string") {
    if (problem.orders.some((order) => order.id === id))
      return err({ at: "order", message: `order ${id} is in the problem already; ask for it by its id` });
    const taken = wanted.operations.find((operation) => problem.operations.some(({ id }) => id === operation.id));
    if (taken !== undefined)
      return err({
        at: "order.operations",
        message: `operation ${taken.id} is in the problem already; operation ids are unique`,
      });
  }
  const order = joined.orders.find((candidate) => candidate.id === id);
  if (order === undefined) return err({ at: "order", message: `there is no order ${id} in the problem` });
  const frozen = new Set<OperationId>(frozenWork(joined).kept.map(({ operation }) => operation));
  const operations = new Set(
    joined.operations
      .filter((operation) => operation.order === id && !frozen.has(operation.id) && freePieces(operation) > 0)
      .map((operation) => operation.id),
  );
  if (operations.size === 0)
    return err({ at: "order", message: `nothing of order ${id} is left to plan: it is done, running or frozen` });
  return ok({ problem: joined, order, operations });
}

function freePieces({ pieces, progress }: Operation): number {
  return pieces - piecesBegun(progress);
}

const join = (problem: Problem, wanted: NewOrder): Problem => ({
  ...problem,
  orders: [...problem.orders, wanted.order],
  operations: [...problem.operations, ...wanted.operations],
  links: [...problem.links, ...wanted.links],
  kitSpans: [...problem.kitSpans, ...wanted.kitSpans],
});
