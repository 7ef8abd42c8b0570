/** Searching, filtering, sorting and paging the order book on screen. Pure. */
import type { OrderSummary } from "../../../src/contract/api/order.ts";

export type OrderSort =
  | "id"
  | "name"
  | "kind"
  | "requester"
  | "quantity"
  | "operations"
  | "release"
  | "due"
  | "completion"
  | "late"
  | "state";

export type OrderFilter = {
  readonly search: string;
  /** open: not done yet. */
  readonly state: OrderSummary["state"] | "open" | "";
  readonly kind: OrderSummary["kind"] | "";
  readonly sort: OrderSort;
  readonly descending: boolean;
};

/** What wants attention first. */
const STATE_RANK: Readonly<Record<OrderSummary["state"], number>> = { late: 0, unplanned: 1, running: 2, planned: 3, done: 4 };

const EMPTY_LAST = Number.POSITIVE_INFINITY;

function compare(a: OrderSummary, b: OrderSummary, sort: OrderSort, sign: 1 | -1): number {
  switch (sort) {
    case "id":
    case "name":
    case "kind":
    case "requester":
      return sign * (a[sort] ?? "").localeCompare(b[sort] ?? "", undefined, { numeric: true });
    case "quantity":
    case "operations":
    case "release":
    case "late":
      return sign * (a[sort] - b[sort]);
    case "due":
    case "completion": {
      // What has no date stays at the end either way.
      const left = a[sort];
      const right = b[sort];
      if (left === right) return 0;
      if (left === null || right === null) return (left ?? EMPTY_LAST) > (right ?? EMPTY_LAST) ? 1 : -1;
      return sign * (left - right);
    }
    case "state":
      return sign * (STATE_RANK[a.state] - STATE_RANK[b.state]);
  }
}

export function filterOrders(all: readonly OrderSummary[], filter: OrderFilter): readonly OrderSummary[] {
  const parts = filter.search
    .toLowerCase()
    .split(/\s+/)
    .filter((part) => part !== "");
  const fits = (order: OrderSummary): boolean => {
    if (
      filter.state === "open"
        ? order.state === "done"
        : filter.state === "late"
          ? order.late === 0
          : filter.state === "running"
            ? !order.running
            : filter.state !== "" && order.state !== filter.state
    )
      return false;
    if (filter.kind !== "" && order.kind !== filter.kind) return false;
    const text = `${order.id} ${order.name} ${order.requester ?? ""}`.toLowerCase();
    return parts.every((part) => text.includes(part));
  };
  const sign = filter.descending ? -1 : 1;
  return all
    .filter(fits)
    .sort((a, b) => compare(a, b, filter.sort, sign) || a.id.localeCompare(b.id, undefined, { numeric: true }));
}

export const ORDERS_PER_PAGE = 50;

/** One page (from 1), and how many there are; a page beyond the last is the last. */
export function pageOfOrders<T>(
  list: readonly T[],
  page: number,
): { readonly shown: readonly T[]; readonly page: number; readonly pages: number } {
  const pages = Math.max(1, Math.ceil(list.length / ORDERS_PER_PAGE));
  const at = Math.min(Math.max(1, page), pages);
  return { shown: list.slice((at - 1) * ORDERS_PER_PAGE, at * ORDERS_PER_PAGE), page: at, pages };
}
