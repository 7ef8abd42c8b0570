/** Notices from process to process: NOTIFY on one channel, sent when the transaction commits. Payloads stay far below PostgreSQL's 8,000 bytes. */
import type { LiveEvent } from "../../contract/api/event.ts";
import type { Store } from "./store.ts";

export const LIVE_CHANNEL = "slotwright_live";
export const CANCEL_CHANNEL = "slotwright_cancel";

export async function announce(store: Store, event: LiveEvent): Promise<void> {
  await store.db.$executeRaw`SELECT pg_notify(${LIVE_CHANNEL}, ${JSON.stringify(event)})`;
}

/** Tells the worker that holds the run to stop at once. */
export async function announceCancel(store: Store, run: string): Promise<void> {
  await store.db.$executeRaw`SELECT pg_notify(${CANCEL_CHANNEL}, ${run})`;
}
