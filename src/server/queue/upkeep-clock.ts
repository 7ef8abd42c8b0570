/**
 * Makes the orders that upkeep rules ask for, once a day by the queue's own schedule (one worker of all takes each turn).
 * Doing it twice makes nothing twice. It adds orders to the book and plans none of them.
 */

import { emptyMemory, type Office } from "../actions/planning-state.ts";
import { raiseUpkeep, UPKEEP_ACTOR } from "../actions/raise-upkeep.ts";
import { ensureSite } from "../store/site-store.ts";
import type { StoreConnection } from "../store/store.ts";
import type { RunQueue } from "./run-queue.ts";
import type { WorkerSettings } from "./run-worker.ts";

const UPKEEP_QUEUE = "upkeep";
/** Before the first shift comes, by the site's clock. */
const EVERY_NIGHT = "20 4 * * *";
const EXPIRE_SECONDS = 600;

export type UpkeepClock = { close(): Promise<void> };

export async function openUpkeepClock(
  store: StoreConnection,
  { boss }: RunQueue,
  { log, clock }: Pick<WorkerSettings, "log" | "clock">,
): Promise<UpkeepClock> {
  const office: Office = { store, clock, memory: emptyMemory() };
  const { zone } = await ensureSite(store, office.clock());
  await boss.createQueue(UPKEEP_QUEUE, { policy: "short", retryLimit: 2, retryDelay: 60, expireInSeconds: EXPIRE_SECONDS });
  await boss.schedule(UPKEEP_QUEUE, EVERY_NIGHT, {}, { tz: zone });
  await boss.work(UPKEEP_QUEUE, { batchSize: 1, pollingIntervalSeconds: 30 }, async () => {
    const { made, failed } = await raiseUpkeep(office, UPKEEP_ACTOR, { rule: null, again: false });
    if (made.length > 0) log.info({ made }, "upkeep orders made");
    for (const one of failed) log.error(one, "an upkeep rule could not be followed");
  });
  return { close: () => boss.offWork(UPKEEP_QUEUE) };
}
