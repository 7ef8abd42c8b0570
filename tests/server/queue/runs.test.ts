/** Runs of the engine from the request to the new draft, watched, called off, and taken up again after their worker was killed. */
import { type ChildProcess, spawn } from "node:child_process";
import { once } from "node:events";
import path from "node:path";
import process from "node:process";
import { afterAll, afterEach, beforeAll, expect, test } from "vitest";
import type { PlanView } from "../../../src/contract/api/plan.ts";
import type { RunView } from "../../../src/contract/api/run.ts";
import { type EventStream, eventStream } from "../support/event-stream.ts";
import { type ShopServer, shopServer } from "../support/shop-server.ts";
import { smallWorkshop } from "../support/small-workshop.ts";

const ROOT = path.resolve(import.meta.dirname, "../../..");
/** Longer than any of these tests: only a cancel ends such a run. */
const ENDLESS = { seconds: 600 };

let server: ShopServer;
let events: EventStream;
const workers = new Set<ChildProcess>();

beforeAll(async () => {
  server = await shopServer();
  expect((await server.ask("PUT", "/shop", { body: smallWorkshop() })).status).toBe(200);
  events = await eventStream(server.address());
});
afterEach(async () => {
  for (const worker of workers) await kill(worker);
});
afterAll(async () => {
  events.close();
  await server.close();
});

/** A worker of its own, as docker-compose starts them. */
async function startWorker(): Promise<ChildProcess> {
  const worker = spawn(process.execPath, ["--import", "tsx", "src/server/start/worker.ts"], {
    cwd: ROOT,
    env: { ...process.env, DATABASE_URL: server.databaseUrl, LOG_LEVEL: "silent" },
    stdio: ["ignore", "pipe", "inherit"],
  });
  workers.add(worker);
  if (worker.stdout) await once(worker.stdout, "data"); // it says when it waits for runs
  return worker;
}

async function kill(worker: ChildProcess): Promise<void> {
  workers.delete(worker);
  if (worker.exitCode !== null || worker.signalCode !== null) return;
  const gone = once(worker, "exit");
  worker.kill("SIGKILL");
  await gone;
}

const request = async (body: object): Promise<string> => {
  const { status, body: answer } = await server.ask<{ id: string }>("POST", "/runs", { body });
  expect(status).toBe(202);
  return answer.id;
};
const run = async (id: string): Promise<RunView> => (await server.ask<RunView>("GET", `/runs/${id}`)).body;
const reached = (id: string, state: RunView["state"]) =>
  events.wait((event) => event.type === "run" && event.id === id && event.state === state);
/** A stop that comes before the first plan keeps nothing. */
const hasPlan = (id: string) => expect.poll(async () => (await run(id)).progress?.conflicts).toBe(0);
const look = async (): Promise<PlanView> => (await server.ask<PlanView>("GET", "/plan")).body;

test("queued, taken, finished: a new draft that one undo takes back, and screens hear of it", async () => {
  const before = await look();
  const id = await request({ iterations: 200, seed: 5 });
  expect((await run(id)).state).toBe("queued");
  await startWorker();
  await reached(id, "finished");
  const done = await run(id);
  expect(done).toMatchObject({ state: "finished", attempts: 1, error: null, outcome: { conflicts: 0, seed: 5, threads: 1 } });
  const after = await look();
  expect(after.draft.revision).toBe(done.revision);
  expect(after.draft.plan.operations).toHaveLength(4);
  expect(after.check).toMatchObject({ conflicts: [], cost: { total: done.outcome?.cost.total } });
  await events.wait((event) => event.type === "draft" && event.revision === done.revision);
  expect(events.comments).toContain(": connected");
  expect((await server.ask<{ draft: { revision: number } }>("POST", "/plan/draft/undo")).body.draft.revision).toBe(
    before.draft.revision,
  );

  const again = await request({ iterations: 200, seed: 5 }); // same problem, plan, seed and steps: the same plan
  await reached(again, "finished");
  expect((await look()).draft.plan).toEqual(after.draft.plan);
});

test("called off while it waits; called off while it runs, keeping the best so far", async () => {
  const waiting = await request(ENDLESS);
  expect((await server.ask<RunView>("DELETE", `/runs/${waiting}`)).body).toMatchObject({ state: "cancelled", revision: null });
  await startWorker();
  const running = await request(ENDLESS);
  await hasPlan(running);
  await server.ask("DELETE", `/runs/${running}`);
  await reached(running, "cancelled");
  const stopped = await run(running);
  expect(stopped.revision).toBe((await look()).draft.revision);
  expect(stopped.outcome?.conflicts).toBe(0);
  expect((await server.ask<RunView>("DELETE", `/runs/${running}`)).body.state).toBe("cancelled"); // once more changes nothing
  expect(await run(waiting)).toMatchObject({ state: "cancelled", attempts: 0 }); // the worker did not take it
});

test("its worker killed in the middle, a run is taken up by another one", async () => {
  const first = await startWorker();
  const id = await request(ENDLESS);
  await reached(id, "running");
  await kill(first);
  await startWorker();
  await expect.poll(async () => (await run(id)).attempts, { timeout: 45_000, interval: 500 }).toBe(2);
  await hasPlan(id);
  await server.ask("DELETE", `/runs/${id}`);
  await reached(id, "cancelled");
  expect(await run(id)).toMatchObject({ attempts: 2, error: null, outcome: { conflicts: 0 } });
});

test("stopped in an orderly way, a worker gives its run back", async () => {
  const first = await startWorker();
  const id = await request(ENDLESS);
  await reached(id, "running");
  const gone = once(first, "exit");
  first.kill("SIGTERM");
  await gone;
  expect(await run(id)).toMatchObject({ state: "queued", error: null });
  await server.ask("DELETE", `/runs/${id}`);
});

test("a run whose options make no sense is not queued", async () => {
  expect((await server.ask("POST", "/runs", { body: { seconds: -1 } })).status).toBe(422);
  expect((await server.ask("POST", "/runs", { body: { mode: "guess" } })).status).toBe(422);
});
