/**
 * A solver worker on its own: takes planning runs from the queue of the database that DATABASE_URL names. Any number of them
 * may run beside a server, on this machine or others. Applies no migrations: it waits until the server has.
 */
import process from "node:process";
import { readSettings, StartRefused } from "./settings.ts";
import { onStopSignal } from "./stop-signal.ts";

type RunningWorker = Readonly<{ stop(): Promise<void> }>;

const started = start().catch((error: unknown) => {
  console.error(error instanceof StartRefused ? error.message : error);
  process.exit(1);
});
onStopSignal(() => void started.then((worker) => worker.stop()).then(() => process.exit(0)));
await started;

async function start(): Promise<RunningWorker> {
  const { databaseUrl } = readSettings(process.env);
  if (databaseUrl === undefined) throw new StartRefused("A worker on its own needs DATABASE_URL: the database its server uses.");
  throw new StartRefused("Workers are not part of this version yet."); // replaced by the queue
}
