/**
 * How many good pieces an order can still give after the pieces reported bad. A piece lost at one operation is missing at all that
 * follow; where parts come together, the branch that lost most decides, because sound parts of one go with sound parts of the other.
 * Counted in pieces of the order: of an operation with twelve parts to a piece, one to twelve bad parts spoil one. Pure.
 */
import { ceilDivide } from "../ground/rounding.ts";
import type { Link } from "../orders/link.ts";
import type { Operation, OperationId } from "../orders/operation.ts";
import { type Order, piecesToStart } from "../orders/order.ts";

export type GoodPieces = {
  /** Pieces started, those for the expected scrap included. */
  readonly started: number;
  /** Of them, lost so far. */
  readonly lost: number;
  /** Good ones that can remain if nothing more goes wrong. */
  readonly good: number;
  /** Ordered pieces that cannot come from what was started. */
  readonly short: number;
};

/** `operations` and `links`: those of the order; links to or from others are passed over. */
export function goodPieces(
  order: Pick<Order, "quantity" | "scrapPerMille">,
  operations: readonly Pick<Operation, "id" | "piecesPerUnit" | "progress">[],
  links: readonly Link[],
): GoodPieces {
  const own = new Map(operations.map((operation) => [operation.id, operation]));
  const before = new Map<OperationId, OperationId[]>();
  for (const link of links)
    if (link.kind !== "sameMachine" && own.has(link.from) && own.has(link.to)) {
      const list = before.get(link.to);
      if (list) list.push(link.from);
      else before.set(link.to, [link.from]);
    }
  const known = new Map<OperationId, number>();
  const lostUpTo = (id: OperationId): number => {
    const seen = known.get(id);
    if (seen !== undefined) return seen;
    known.set(id, 0); // links that go round are refused elsewhere; here they must only end
    const operation = own.get(id);
    const bad = operation?.progress.done.reduce((sum, { scrap = 0 }) => sum + scrap, 0) ?? 0;
    const here = operation ? ceilDivide(bad, operation.piecesPerUnit) : 0;
    const lost = here + Math.max(0, ...(before.get(id) ?? []).map(lostUpTo));
    known.set(id, lost);
    return lost;
  };
  const started = piecesToStart(order.quantity, order.scrapPerMille);
  const lost = Math.min(started, Math.max(0, ...operations.map(({ id }) => lostUpTo(id))));
  const good = started - lost;
  return { started, lost, good, short: Math.max(0, order.quantity - good) };
}
