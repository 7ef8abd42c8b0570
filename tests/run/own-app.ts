/**
 * The built application as a process of its own on a fresh database in a temporary folder, for pictures and benches.
 * Promises an address that answers, the log when it does not, and that `stop` leaves nothing.
 */
import { type ChildProcess, spawn } from "node:child_process";
import { once } from "node:events";
import fs from "node:fs/promises";
import os from "node:os";
import path from "node:path";
import process from "node:process";
import { ROOT_FOLDER } from "../../src/server/start/places.ts";

export type OwnApp = { readonly address: string; stop(): Promise<void> };

const START_MS = 90_000;

export async function startOwnApp(): Promise<OwnApp> {
  const data = await fs.mkdtemp(path.join(os.tmpdir(), "slotwright-own-"));
  const child = spawn(process.execPath, [path.join(ROOT_FOLDER, "dist/src/server/start/main.js")], {
    cwd: ROOT_FOLDER,
    env: { ...process.env, PORT: "0", DATA_DIR: data, DATABASE_URL: "" },
    stdio: ["ignore", "pipe", "pipe"],
  });
  let output = "";
  for (const stream of [child.stdout, child.stderr])
    stream.on("data", (chunk: Buffer) => {
      output += chunk.toString("utf8");
    });
  const until = performance.now() + START_MS;
  while (performance.now() < until && child.exitCode === null) {
    const found = /is ready: (http:\/\/\S+)/.exec(output)?.[1];
    if (found) return { address: found, stop: () => end(child, data) };
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
  await end(child, data);
  throw new Error(`The application did not start.\n${output}`);
}

async function end(child: ChildProcess, data: string): Promise<void> {
  if (child.exitCode === null) {
    child.kill("SIGTERM");
    await once(child, "exit");
  }
  await fs.rm(data, { recursive: true, force: true });
}
