/**
 * The whole application in one process tree: database, server with its screens, solver workers. What `npm start` runs.
 * Promises that Ctrl-C or SIGTERM first drains the server and then stops the database it started, that a second signal ends
 * at once, and that what can be put right by the reader is said in a sentence instead of a stack.
 */
import net from "node:net";
import process from "node:process";
import { openDatabase, type RunningDatabase } from "./database.ts";
import { type RunningServer, startServer } from "./server.ts";
import { readSettings, type Settings, StartRefused } from "./settings.ts";
import { onStopSignal } from "./stop-signal.ts";

let database: RunningDatabase | undefined;
let server: RunningServer | undefined;
let stopping = false;

// Installed before the database starts: a signal during a slow first start must not leave it running.
onStopSignal(() => void stop());

const started = start().catch(async (error: unknown) => {
  console.error(error instanceof StartRefused ? `\n${error.message}` : error);
  await shutDown();
  process.exit(1);
});
await started;

async function start(): Promise<void> {
  const settings = readSettings(process.env);
  if (settings.port !== 0 && !(await isFree(settings))) throw portTaken(settings.port);
  database = await openDatabase(settings);
  if (stopping) return;
  const migrated = database.applied.length > 0 ? `; migrations applied: ${database.applied.length}` : "";
  console.log(`Database: ${database.description}${migrated}`);
  server = await startServer({
    databaseUrl: database.url,
    port: settings.port,
    host: settings.host,
    dataFolder: settings.dataFolder,
    solverWorkers: settings.solverWorkers,
  });
  if (!stopping) console.log(`\nSlotwright is ready: ${server.address}\nStop it with Ctrl-C.`);
}

async function stop(): Promise<void> {
  stopping = true;
  console.log("\nStopping: finishing what is under way, then the database ...");
  await started;
  await shutDown();
  process.exit(0);
}

async function shutDown(): Promise<void> {
  try {
    await server?.stop();
  } finally {
    await database?.stop();
  }
}

function isFree({ port, host }: Settings): Promise<boolean> {
  return new Promise((resolve) => {
    const probe = net.createServer();
    probe.once("error", (error: NodeJS.ErrnoException) => resolve(error.code !== "EADDRINUSE"));
    probe.listen(port, host, () => probe.close(() => resolve(true)));
  });
}

function portTaken(port: number): StartRefused {
  return new StartRefused(
    `Port ${port} is in use, perhaps by a Slotwright that is already running (see http://localhost:${port}). ` +
      `Stop that program, or choose another port: PORT=${port === 4400 ? 4500 : 4400} npm start`,
  );
}
