/**
 * Frees held slots whose time has come: once a minute by the queue's own schedule (one worker of all takes each turn), at the
 * start, and at once when the shop's clock was set. Doing it twice does nothing twice.
 */
import { expireHolds } from "../actions/hold-slot.ts";
import { emptyMemory, type Office } from "../actions/planning-state.ts";
import { listen } from "../live/listen.ts";
import { LIVE_CHANNEL } from "../store/notice.ts";
import type { StoreConnection } from "../store/store.ts";
import type { RunQueue } from "./run-queue.ts";
import type { WorkerSettings } from "./run-worker.ts";

const HOLD_QUEUE = "holds";
const EVERY_MINUTE = "* * * * *";

export type HoldClock = { close(): Promise<void> };

export async function openHoldClock(
  store: StoreConnection,
  { boss }: RunQueue,
  { log, clock }: Pick<WorkerSettings, "log" | "clock">,
): Promise<HoldClock> {
  const office: Office = { store, clock, memory: emptyMemory() };
  const look = async (): Promise<void> => {
    const freed = await expireHolds(office, (error) => log.error({ error }, "freeing a held slot failed"));
    if (freed.length > 0) log.info({ orders: freed }, "held slots freed");
  };
  // One after the other in this process; over all processes the database lets one end each hold.
  let last: Promise<void> = Promise.resolve();
  const soon = (): Promise<void> => {
    last = last.then(look).catch((error: unknown) => log.error({ error }, "looking for held slots failed"));
    return last;
  };
  await boss.createQueue(HOLD_QUEUE, { policy: "short", retryLimit: 0, expireInSeconds: 60 });
  await boss.schedule(HOLD_QUEUE, EVERY_MINUTE);
  await boss.work(HOLD_QUEUE, { batchSize: 1, pollingIntervalSeconds: 5 }, soon);
  const listener = listen(store.url, { [LIVE_CHANNEL]: (event) => void (event.includes('"shop"') && soon()) }, () => void soon());
  await listener.ready;
  await soon();
  return {
    async close() {
      await boss.offWork(HOLD_QUEUE);
      await listener.close();
      await last;
    },
  };
}
