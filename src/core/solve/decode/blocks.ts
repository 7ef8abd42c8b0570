/**
 * Order of links, and blocks: operations tied so closely (a longest lag, a kit held from one to the other) that they are
 * taken off and put back together. A block holds everything on the way between two such operations.
 */
import type { DenseLink, DenseSpan } from "./model.ts";

/** Operations so that every link leads forward; what lies on a cycle comes last, in the order of the rows. */
export function topologicalOrder(count: number, links: readonly DenseLink[]): number[] {
  const waiting = new Int32Array(count);
  const after: number[][] = Array.from({ length: count }, () => []);
  for (const link of links) {
    if (link.kind === "sameMachine") continue;
    after[link.from]!.push(link.to);
    waiting[link.to] = waiting[link.to]! + 1;
  }
  const order: number[] = [];
  for (let op = 0; op < count; op++) if (waiting[op] === 0) order.push(op);
  for (let i = 0; i < order.length; i++) {
    for (const next of after[order[i]!]!) {
      waiting[next] = waiting[next]! - 1;
      if (waiting[next] === 0) order.push(next);
    }
  }
  if (order.length < count) {
    const seen = new Set(order);
    for (let op = 0; op < count; op++) if (!seen.has(op)) order.push(op);
  }
  return order;
}

export function findBlocks(
  count: number,
  links: readonly DenseLink[],
  spans: readonly DenseSpan[],
  topological: readonly number[],
): (readonly number[])[] {
  const parent = Int32Array.from({ length: count }, (_, index) => index);
  const root = (op: number): number => {
    let at = op;
    while (parent[at] !== at) {
      parent[at] = parent[parent[at]!]!;
      at = parent[at]!;
    }
    return at;
  };
  const join = (a: number, b: number): void => {
    parent[root(a)] = root(b);
  };
  const after: number[][] = Array.from({ length: count }, () => []);
  for (const link of links) if (link.kind !== "sameMachine") after[link.from]!.push(link.to);
  const ties = [...links.filter((link) => link.kind === "lag" && link.maxLag < 0x3fffffff), ...spans];
  for (const tie of ties) {
    join(tie.from, tie.to);
    for (const op of between(after, count, tie.from, tie.to)) join(op, tie.from);
  }
  const members = new Map<number, number[]>();
  for (const op of topological) {
    const key = root(op);
    const list = members.get(key);
    if (list) list.push(op);
    else members.set(key, [op]);
  }
  return Array.from({ length: count }, (_, op) => {
    const list = members.get(root(op))!;
    return list.length > 1 ? list : [];
  });
}

/** Operations on a path of links from one to the other, ends excluded. */
function between(after: readonly (readonly number[])[], count: number, from: number, to: number): number[] {
  const reaches = new Int8Array(count); // 0 unknown, 1 yes, 2 no, 3 being looked at
  const found: number[] = [];
  const visit = (op: number): boolean => {
    if (op === to) return true;
    if (reaches[op] !== 0) return reaches[op] === 1;
    reaches[op] = 3;
    let leads = false;
    for (const next of after[op]!) if (visit(next)) leads = true;
    reaches[op] = leads ? 1 : 2;
    if (leads && op !== from) found.push(op);
    return leads;
  };
  visit(from);
  return found;
}
