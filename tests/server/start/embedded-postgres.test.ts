/**
 * The embedded server through the lives a data folder really has: cold and warm starts, killed processes, killed servers,
 * a process number that now belongs to another program, two users of one folder. Each step reads back what was written.
 */
import { spawn } from "node:child_process";
import { once } from "node:events";
import fs from "node:fs/promises";
import os from "node:os";
import path from "node:path";
import process from "node:process";
import pg from "pg";
import { afterAll, beforeAll, expect, test } from "vitest";
import { type EmbeddedPostgres, startEmbeddedPostgres } from "../../../src/server/start/embedded-postgres.ts";
import { commandOf } from "../../../src/server/start/process-command.ts";

let folder: string;
beforeAll(async () => {
  folder = await fs.mkdtemp(path.join(os.tmpdir(), "slotwright-embedded-"));
});
afterAll(async () => {
  const last = await startEmbeddedPostgres({ folder, throwaway: true });
  await last.stop();
});

async function sql(url: string, text: string): Promise<unknown[]> {
  const client = new pg.Client({ connectionString: url });
  client.on("error", () => undefined);
  await client.connect();
  try {
    return (await client.query({ text, rowMode: "array" })).rows.flat();
  } finally {
    await client.end();
  }
}

async function serverPid(postgres: EmbeddedPostgres): Promise<number> {
  return Number((await fs.readFile(path.join(postgres.folder, "cluster", "postmaster.pid"), "utf8")).split("\n")[0]);
}

/** A node process that starts the server, reports, and is then killed the hard way. */
async function startAndKillProcess(): Promise<void> {
  const code = `
    const { startEmbeddedPostgres } = await import(${JSON.stringify(new URL("../../../src/server/start/embedded-postgres.ts", import.meta.url).href)});
    await startEmbeddedPostgres({ folder: ${JSON.stringify(folder)} });
    console.log("up");
    setInterval(() => {}, 1000);`;
  const child = spawn(process.execPath, ["--import", "tsx", "--input-type=module", "-e", code], {
    stdio: ["ignore", "pipe", "inherit"],
  });
  await once(child.stdout, "data");
  child.kill("SIGKILL");
  await once(child, "exit");
}

test("what was written is there after every kind of stop", async () => {
  const cold = await startEmbeddedPostgres({ folder });
  expect(cold.startedHere).toBe(true);
  await sql(cold.url, "CREATE TABLE kept (n INT)");
  await sql(cold.url, "INSERT INTO kept VALUES (1)");
  await cold.stop();
  await expect(sql(cold.url, "SELECT 1")).rejects.toThrow(/ECONNREFUSED/);

  await startAndKillProcess();
  const takenOver = await startEmbeddedPostgres({ folder });
  expect(takenOver.startedHere).toBe(false);
  await sql(takenOver.url, "INSERT INTO kept VALUES (2)");

  process.kill(await serverPid(takenOver), "SIGKILL");
  const recovered = await startEmbeddedPostgres({ folder });
  expect(await sql(recovered.url, "SELECT n FROM kept ORDER BY n")).toEqual([1, 2]);

  // A stale file whose number another live program (this one) has by now.
  const pidFile = path.join(recovered.folder, "cluster", "postmaster.pid");
  const lines = await fs.readFile(pidFile, "utf8");
  await recovered.stop();
  await fs.writeFile(pidFile, lines.replace(/^\d+/, String(process.ppid)));
  const restarted = await startEmbeddedPostgres({ folder });
  expect(restarted.startedHere).toBe(true);
  expect(await sql(restarted.url, "SELECT n FROM kept ORDER BY n")).toEqual([1, 2]);
  await restarted.stop();
});

test("only this machine can reach it, with a password that is not guessable", async () => {
  const postgres = await startEmbeddedPostgres({ folder });
  try {
    expect(await sql(postgres.url, "SHOW listen_addresses")).toEqual(["127.0.0.1"]);
    expect(await sql(postgres.url, "SHOW unix_socket_directories")).toEqual([""]);
    const url = new URL(postgres.url);
    expect(url.password.length).toBeGreaterThanOrEqual(32);
    url.password = "postgres";
    await expect(sql(url.href, "SELECT 1")).rejects.toThrow(/password authentication failed/);
    const { mode } = await fs.stat(path.join(postgres.folder, "cluster", "app.password"));
    expect(mode & 0o077).toBe(0);
  } finally {
    await postgres.stop();
  }
});

test("two processes share one folder, and the first to stop leaves the server to the other", async () => {
  const neighbour = spawn("sleep", ["60"]);
  const postgres = await startEmbeddedPostgres({ folder });
  const pid = String(neighbour.pid);
  await fs.writeFile(path.join(postgres.folder, "users", pid), await commandOf(Number(pid)));
  await postgres.stop();
  expect(await sql(postgres.url, "SELECT 1")).toEqual([1]);
  neighbour.kill("SIGKILL");
  await once(neighbour, "exit");
  const last = await startEmbeddedPostgres({ folder });
  expect(last.startedHere).toBe(false);
  await last.stop();
  await expect(sql(last.url, "SELECT 1")).rejects.toThrow(/ECONNREFUSED/);
});
