/**
 * A solver worker on its own: takes planning runs from the queue of the database that DATABASE_URL names. Any number of them
 * may run beside a server, on this machine or others. Applies no migrations: it waits until the server has.
 */
import { readdir } from "node:fs/promises";
import process from "node:process";
import { openHoldClock } from "../queue/hold-clock.ts";
import { openQuestionWorker } from "../queue/question-worker.ts";
import { openRunQueue } from "../queue/run-queue.ts";
import { openRunWorker } from "../queue/run-worker.ts";
import { openUpkeepClock } from "../queue/upkeep-clock.ts";
import { openStore, type StoreConnection } from "../store/store.ts";
import { openLog } from "./log.ts";
import { MIGRATIONS_FOLDER } from "./places.ts";
import { readServiceSettings } from "./service-settings.ts";
import { readSettings, StartRefused } from "./settings.ts";
import { onStopSignal } from "./stop-signal.ts";

type RunningWorker = Readonly<{ stop(): Promise<void> }>;

/** How long it waits for the server to have migrated the database. */
const PATIENCE_MS = 120_000;
const ASK_EVERY_MS = 1_000;

const started = start().catch((error: unknown) => {
  console.error(error instanceof StartRefused ? error.message : error);
  process.exit(1);
});
onStopSignal(() => void started.then((worker) => worker.stop()).then(() => process.exit(0)));
await started;

async function start(): Promise<RunningWorker> {
  const { databaseUrl } = readSettings(process.env);
  if (databaseUrl === undefined) throw new StartRefused("A worker on its own needs DATABASE_URL: the database its server uses.");
  const settings = readServiceSettings(process.env);
  const { clock } = settings;
  const log = openLog(settings.logLevel, null);
  const store = openStore(databaseUrl, (error) => log.warn({ error }, "database connection lost"));
  await migrated(store);
  const queue = await openRunQueue(databaseUrl, (error) => log.warn({ error }, "queue"));
  const worker = await openRunWorker(store, queue, { log, clock, threads: settings.solverThreads });
  const answering = await openQuestionWorker(store, queue, { log, clock });
  const holds = await openHoldClock(store, queue, { log, clock });
  const upkeep = await openUpkeepClock(store, queue, { log, clock });
  console.log("The worker is waiting for runs.");
  return {
    stop: async () => {
      await upkeep.close();
      await holds.close();
      await answering.close();
      await worker.close();
      await queue.close(1_000);
      await store.close();
    },
  };
}

async function migrated(store: StoreConnection): Promise<void> {
  const wanted = (await readdir(MIGRATIONS_FOLDER, { withFileTypes: true })).filter((entry) => entry.isDirectory()).length;
  for (let waited = 0; ; waited += ASK_EVERY_MS) {
    const done = await store.pool
      .query<{ count: string }>(
        "SELECT count(*) FROM _prisma_migrations WHERE finished_at IS NOT NULL AND rolled_back_at IS NULL",
      )
      .then(
        ({ rows }) => Number(rows[0]?.count ?? 0),
        () => 0,
      );
    if (done >= wanted) return;
    if (waited >= PATIENCE_MS)
      throw new StartRefused("The database was not migrated in two minutes; start the server first, it does that.");
    await new Promise((resolve) => setTimeout(resolve, ASK_EVERY_MS));
  }
}
