/**
 * The server on a migrated database: everything that answers on the port.
 * Promises to answer before it resolves, and that `stop` lets requests under way finish.
 */
import { readFile } from "node:fs/promises";
import http from "node:http";
import { createRequire } from "node:module";
import type { AddressInfo } from "node:net";
import path from "node:path";
import process from "node:process";
import { firstAdministratorLink } from "../access/first-administrator.ts";
import { openGate } from "../access/gate.ts";
import { openSignIn } from "../access/sign-in.ts";
import { emptyMemory } from "../actions/planning-state.ts";
import { createApp } from "../api/app.ts";
import type { Server } from "../api/route.ts";
import { loadDemo } from "../exchange/load-demo.ts";
import { openLiveEvents } from "../live/events.ts";
import { openHoldClock } from "../queue/hold-clock.ts";
import { openQuestionWorker } from "../queue/question-worker.ts";
import { openRunQueue } from "../queue/run-queue.ts";
import { openRunWorker } from "../queue/run-worker.ts";
import { openUpkeepClock } from "../queue/upkeep-clock.ts";
import { openStore } from "../store/store.ts";
import { openLog } from "./log.ts";
import { CONTRACT_FILE, ROOT_FOLDER, WEB_FOLDER } from "./places.ts";
import { readServiceSettings } from "./service-settings.ts";

export type ServerOptions = Readonly<{
  databaseUrl: string;
  /** 0 takes any free port. */
  port: number;
  host: string;
  /** Where files that are not in the database may be kept. */
  dataFolder: string;
  /** "inside": start solver workers beside the server; "elsewhere": other processes take the jobs. */
  solverWorkers: "inside" | "elsewhere";
}>;

export type RunningServer = Readonly<{ address: string; stop(): Promise<void> }>;

/** Requests under way get so long to finish. */
const DRAIN_MS = 5_000;
const QUEUE_PATIENCE_MS = 3_000;

export async function startServer(options: ServerOptions): Promise<RunningServer> {
  const settings = readServiceSettings(process.env);
  const { clock } = settings;
  const log = openLog(settings.logLevel, options.dataFolder);
  const opened: (() => Promise<unknown>)[] = []; // closed in reverse, also when the start fails half-way
  const close = async (): Promise<void> => {
    for (const shut of opened.reverse()) await shut().catch((error: unknown) => log.error({ error }, "closing failed"));
    opened.length = 0;
  };
  try {
    const store = openStore(options.databaseUrl, (error) => log.warn({ error }, "database connection lost"));
    opened.push(() => store.close());
    if (settings.demo && (await loadDemo(store, settings.clock())) === "loaded") console.log("The demo shop is loaded.");
    const live = openLiveEvents(options.databaseUrl);
    opened.push(() => live.close());
    const queue = await openRunQueue(options.databaseUrl, (error) => log.warn({ error }, "queue"));
    opened.push(() => queue.close(QUEUE_PATIENCE_MS));
    if (options.solverWorkers === "inside") {
      const worker = await openRunWorker(store, queue, { log, clock, threads: settings.solverThreads });
      opened.push(() => worker.close());
      const answering = await openQuestionWorker(store, queue, { log, clock });
      opened.push(() => answering.close());
      const holds = await openHoldClock(store, queue, { log, clock });
      opened.push(() => holds.close());
      const upkeep = await openUpkeepClock(store, queue, { log, clock });
      opened.push(() => upkeep.close());
    }
    const listening = http.createServer();
    await new Promise<void>((resolve, reject) => {
      listening.once("error", reject);
      listening.listen(options.port, options.host, () => resolve());
    });
    opened.push(() => drained(listening));
    opened.push(() => live.close()); // before draining: open screens would hold it up
    const address = `http://localhost:${(listening.address() as AddressInfo).port}`;
    const signIn = await openSignIn(store, settings.publicUrl ?? address);
    const server: Server = {
      office: { store, clock, memory: emptyMemory() },
      store,
      gate: openGate(store, signIn),
      signIn,
      queue,
      live,
    };
    const { version } = createRequire(import.meta.url)(path.join(ROOT_FOLDER, "package.json")) as { version: string };
    const https = settings.publicUrl?.startsWith("https:") ?? false;
    const contract = await readFile(CONTRACT_FILE, "utf8").catch(() => undefined);
    const { proxies } = settings;
    listening.on("request", createApp(server, { version, webFolder: WEB_FOLDER, log, https, proxies, contract }));
    await live.ready;
    const link = await firstAdministratorLink(store);
    if (link !== null) {
      console.log(
        `\nNo administrator exists yet: whoever opens the page on this machine plans in demo mode.\n` +
          `Make the first administrator with this link (good once, until the next start):\n  ${settings.publicUrl ?? address}${link}`,
      );
    }
    return { address, stop: close };
  } catch (error) {
    await close();
    throw error;
  }
}

/** Takes no more requests, lets the ones under way finish, then cuts what is left (open screens). */
async function drained(listening: http.Server): Promise<void> {
  const done = new Promise<void>((resolve) => listening.close(() => resolve()));
  listening.closeIdleConnections();
  const timer = setTimeout(() => listening.closeAllConnections(), DRAIN_MS);
  await done;
  clearTimeout(timer);
}
