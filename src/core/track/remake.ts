/**
 * Pieces scrapped: an order of their own that makes them again, from the operation named to the one where they were lost. Where work
 * that follows has not begun, it waits for them (a link); where it has begun, the new pieces go through it themselves too. The old
 * order keeps its quantity and dates; the new one has the same dates and weight. Pure; invents no other route.
 */
import { err, type Fault, ok, type Result } from "../ground/result.ts";
import type { Link } from "../orders/link.ts";
import { hasBegun, NOTHING_BEGUN, type Operation, type OperationId } from "../orders/operation.ts";
import type { Order, OrderId } from "../orders/order.ts";
import type { NewOrder } from "../plan/wanted-order.ts";
import type { Problem } from "../problem/problem.ts";

export type Scrapped = {
  /** Where they were lost: they must pass it again. */
  readonly lostAt: OperationId;
  /** Where they must begin again; default: the first operations of the order that lead there. */
  readonly from?: OperationId;
  /** Good pieces missing, counted as pieces of the order. */
  readonly pieces: number;
};

export type Remake = {
  readonly problem: Problem;
  readonly added: NewOrder;
  /** Which operation each new one repeats. */
  readonly copies: ReadonlyMap<OperationId, OperationId>;
};

export function piecesScrapped(problem: Problem, { lostAt, from, pieces }: Scrapped): Result<Remake, Fault> {
  const lost = problem.operations.find(({ id }) => id === lostAt);
  if (lost === undefined) return err({ at: "lostAt", message: `there is no operation ${lostAt} in the problem` });
  const order = problem.orders.find(({ id }) => id === lost.order);
  if (order === undefined) return err({ at: "lostAt", message: `operation ${lostAt} has no order` });
  if (!Number.isInteger(pieces) || pieces < 1 || pieces > order.quantity)
    return err({
      at: "pieces",
      message: `${pieces}; expected a whole number from 1 to ${order.quantity}, the pieces of the order`,
    });
  const operations = new Map(problem.operations.filter((operation) => operation.order === order.id).map((o) => [o.id, o]));
  const inside = problem.links.filter((link) => operations.has(link.from) && operations.has(link.to));
  const before = reach(lostAt, inside, "back");
  const start = from ?? null;
  if (start !== null && !before.has(start)) return err({ at: "from", message: `operation ${start} does not lead to ${lostAt}` });
  const way = start === null ? before : intersect(before, reach(start, inside, "forth"));
  // what has begun after them cannot wait for them: they go through it by themselves
  const again = new Set(way);
  for (const id of reach(lostAt, inside, "forth")) if (wasBegun(operations.get(id))) again.add(id);

  const orderId = freeId(`${order.id} again`, (id) => problem.orders.some((candidate) => candidate.id === id));
  const idOf = new Map<OperationId, OperationId>();
  for (const id of again)
    idOf.set(
      id,
      freeId(`${id} again`, (candidate) => problem.operations.some((operation) => operation.id === candidate)),
    );
  const remade: Order = {
    ...order,
    id: orderId,
    name: `${order.name}, again`,
    quantity: pieces,
    scrapPerMille: 0,
    release: problem.now,
  };
  const copies = [...operations.values()]
    .filter(({ id }) => again.has(id))
    .map(
      (operation): Operation => ({
        ...operation,
        id: idOf.get(operation.id) ?? operation.id,
        order: orderId,
        pieces: pieces * operation.piecesPerUnit,
        split: operation.split !== null && operation.split.minPieces <= pieces * operation.piecesPerUnit ? operation.split : null,
        pin: null,
        progress: NOTHING_BEGUN,
      }),
    );
  const links = problem.links.flatMap((link, i): Link[] => {
    const fromCopy = idOf.get(link.from);
    if (fromCopy === undefined) return [];
    const id = freeId(`${link.id} again`, (candidate) => problem.links.some((other, k) => k !== i && other.id === candidate));
    const toCopy = idOf.get(link.to);
    if (toCopy !== undefined) return [{ ...link, id, from: fromCopy, to: toCopy }];
    // pieces that rejoin their batch: the rest of the order waits for the last of them
    if (link.kind === "sameMachine" || wasBegun(problem.operations.find((operation) => operation.id === link.to))) return [];
    const { from: _from, ...rest } = link;
    return link.kind === "lag"
      ? [{ ...link, id, from: fromCopy }]
      : [{ kind: "lag", id, from: fromCopy, to: rest.to, minLag: 0, maxLag: null }];
  });
  const kitSpans = problem.kitSpans.flatMap((span) => {
    const a = idOf.get(span.from);
    const b = idOf.get(span.to);
    return a === undefined || b === undefined ? [] : [{ ...span, id: `${span.id} again`, from: a, to: b }];
  });
  const added: NewOrder = { order: remade, operations: copies, links, kitSpans };
  return ok({
    problem: {
      ...problem,
      orders: [...problem.orders, remade],
      operations: [...problem.operations, ...copies],
      links: [...problem.links, ...links],
      kitSpans: [...problem.kitSpans, ...kitSpans],
    },
    added,
    copies: new Map([...idOf].map(([original, copy]) => [copy, original])),
  });
}

/** The operation and all that lead to it, or follow it, by links of time. */
function reach(id: OperationId, links: readonly Link[], way: "back" | "forth"): ReadonlySet<OperationId> {
  const seen = new Set<OperationId>([id]);
  const open = [id];
  for (let at = open.pop(); at !== undefined; at = open.pop()) {
    for (const link of links) {
      if (link.kind === "sameMachine") continue;
      const [here, next] = way === "back" ? [link.to, link.from] : [link.from, link.to];
      if (here !== at || seen.has(next)) continue;
      seen.add(next);
      open.push(next);
    }
  }
  return seen;
}

const intersect = <T>(a: ReadonlySet<T>, b: ReadonlySet<T>): ReadonlySet<T> => new Set([...a].filter((item) => b.has(item)));

const wasBegun = (operation: Operation | undefined): boolean => operation !== undefined && hasBegun(operation.progress);

function freeId(wish: OrderId, isTaken: (id: string) => boolean): string {
  let id: string = wish;
  for (let n = 2; isTaken(id); n++) id = `${wish} ${n}`;
  return id;
}
