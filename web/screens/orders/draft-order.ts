/** Hands a copied order over to the page for new orders. Lives as long as the page is open; taken once. */
import type { OrderBody } from "../../../src/contract/api/order.ts";

let kept: OrderBody | null = null;

export function keepDraftOrder(order: OrderBody): void {
  kept = order;
}

export function takeDraftOrder(): OrderBody | null {
  const order = kept;
  kept = null;
  return order;
}
