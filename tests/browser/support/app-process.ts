/**
 * The whole built application as a process of its own with its own port, as `npm start` runs it.
 * Promises an address that answers `/healthz`, the log so far when it does not, and that `stop` leaves nothing.
 */
import { type ChildProcess, spawn } from "node:child_process";
import { once } from "node:events";
import { existsSync } from "node:fs";
import fs from "node:fs/promises";
import os from "node:os";
import path from "node:path";
import process from "node:process";
import { ROOT_FOLDER } from "../../../src/server/start/places.ts";
import type { FreshDatabase } from "../../server/support/database-copy.ts";

export type RunningApp = Readonly<{
  /** Such as http://localhost:41234, without a slash at the end. */
  address: string;
  databaseUrl: string;
  log(): string;
  /** Resolves to the exit code: 0 after an orderly stop. */
  stop(): Promise<number | null>;
}>;

const START_MS = 110_000;
const STOP_MS = 20_000;

/** The application on this database, which is dropped when it stops. */
export async function runApp(database: FreshDatabase, environment: Readonly<Record<string, string>>): Promise<RunningApp> {
  const main = path.join(ROOT_FOLDER, "dist/src/server/start/main.js");
  if (!existsSync(main)) throw new Error("The application is not built; run `npm run build` before browser tests.");
  const dataFolder = await fs.mkdtemp(path.join(os.tmpdir(), "slotwright-app-"));
  let output = "";
  const child = spawn(process.execPath, [main], {
    cwd: ROOT_FOLDER,
    env: { ...process.env, PORT: "0", DATA_DIR: dataFolder, DATABASE_URL: database.url, NODE_ENV: "test", ...environment },
    stdio: ["ignore", "pipe", "pipe"],
  });
  const collect = (chunk: Buffer): void => {
    output += chunk.toString("utf8");
  };
  child.stdout.on("data", collect);
  child.stderr.on("data", collect);

  const cleanUp = async (): Promise<void> => {
    await database.drop();
    await fs.rm(dataFolder, { recursive: true, force: true });
  };
  try {
    const address = await readyAddress(child, () => output);
    return {
      address,
      databaseUrl: database.url,
      log: () => output,
      async stop() {
        const code = await end(child);
        await cleanUp();
        return code;
      },
    };
  } catch (error) {
    await end(child);
    await cleanUp();
    throw error;
  }
}

async function readyAddress(child: ChildProcess, output: () => string): Promise<string> {
  const until = performance.now() + START_MS;
  while (performance.now() < until && child.exitCode === null) {
    const address = /is ready: (http:\/\/\S+)/.exec(output())?.[1];
    if (address !== undefined && (await fetch(`${address}/healthz`).catch(() => undefined))?.ok) return address;
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
  const what = child.exitCode === null ? `was not ready after ${START_MS / 1000} s` : `ended with code ${child.exitCode}`;
  throw new Error(`The application ${what}. Its log:\n${output()}`);
}

async function end(child: ChildProcess): Promise<number | null> {
  if (child.exitCode !== null) return child.exitCode;
  const ended = once(child, "exit");
  child.kill("SIGTERM");
  const timer = setTimeout(() => child.kill("SIGKILL"), STOP_MS);
  await ended;
  clearTimeout(timer);
  return child.exitCode;
}
