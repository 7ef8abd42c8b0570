/** Small marks of orders: their state in a frame, the chevrons of a rush. Shape and word carry the meaning, not the hue. */
import type { OrderSummary } from "../../../src/contract/api/order.ts";
import { words } from "../../words/words.ts";

const CLASS: Readonly<Record<OrderSummary["state"], string>> = {
  late: "tag tag-late",
  unplanned: "tag tag-unplanned",
  running: "tag tag-running",
  planned: "tag",
  done: "tag tag-done",
};

export function StateTag({ state }: { readonly state: OrderSummary["state"] }) {
  return (
    <span className={CLASS[state]} title={words.orders.stateHelp[state]}>
      {words.orders.states[state]}
    </span>
  );
}

export function RushMark() {
  return (
    <svg className="rush-mark" viewBox="0 0 16 14" role="img" aria-label={words.orders.rush}>
      <rect width="16" height="14" fill="var(--rush)" />
      <path d="M3 2.5 7 7l-4 4.5M8.5 2.5 12.5 7l-4 4.5" fill="none" stroke="var(--on-rush)" strokeWidth="2" />
    </svg>
  );
}
