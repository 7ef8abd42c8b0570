/** Two lots of one batch run side by side: a shop that follows such a plan stays without conflicts, and reports say which lot they mean. */
import { afterAll, beforeAll, expect, test } from "vitest";
import type { PlanView } from "../../../src/contract/api/plan.ts";
import type { ProblemDetails } from "../../../src/contract/api/problem-details.ts";
import { type ShopServer, shopServer } from "../support/shop-server.ts";
import { jobOrder, smallWorkshop } from "../support/small-workshop.ts";

let server: ShopServer;
beforeAll(async () => {
  server = await shopServer();
});
afterAll(() => server.close());

/** Seven pieces of an hour each, in at most three lots, on either mill. */
const batch = () => {
  const order = jobOrder("B");
  return {
    ...order,
    quantity: 7,
    operations: order.operations.map((operation) => ({
      ...operation,
      split: { lots: 3, minPieces: 1 },
      modes: operation.modes.map((mode) => ({
        ...mode,
        phases: mode.phases.map((phase) => ({ ...phase, work: { kind: "perPiece" as const, seconds: 3_600 } })),
      })),
    })),
  };
};
const lot = (mode: "mill-a" | "mill-b", pieces: number, start: number) => {
  const end = start + 60 * pieces;
  return { mode, pieces, start, end, phases: [{ phase: 0, work: [[start, end]], crews: ["millers"] }] };
};
const plan = { operations: [{ operation: "B/1", lots: [lot("mill-a", 4, 420), lot("mill-b", 2, 420), lot("mill-b", 1, 540)] }] };

const look = async (): Promise<PlanView> => (await server.ask<PlanView>("GET", "/plan")).body;
const stands = async () => {
  const { problem, check } = await look();
  const { done = [], running = [] } = problem.operations[0]?.progress ?? {};
  return {
    done: done.map(({ pieces, end }) => `${pieces} by ${end}`),
    running: running.map(({ mode, remaining }) => `${mode} ${remaining}`),
    conflicts: check.conflicts.map(({ sentence }) => sentence),
  };
};
const report = <T = unknown>(body: object) => server.ask<T>("POST", "/plan/progress", { body: { operation: "B/1", ...body } });

async function site(change: object): Promise<void> {
  const { body, etag } = await server.ask<Record<string, unknown>>("GET", "/site");
  const { now: _now, origin: _origin, ...rest } = body;
  expect((await server.ask("PUT", "/site", { body: { ...rest, ...change }, ifMatch: etag })).status).toBe(200);
}

async function publish(): Promise<void> {
  const shop = { ...smallWorkshop(), orders: [batch()], links: [] };
  expect((await server.ask("PUT", "/shop?replace=true", { body: shop })).status).toBe(200);
  const { etag } = await server.ask("GET", "/plan");
  expect((await server.ask("PUT", "/plan/draft", { body: { plan, note: "by hand" }, ifMatch: etag })).status).toBe(200);
  const offered = await server.ask("POST", "/plan/publish", {
    body: { note: "" },
    ifMatch: (await server.ask("GET", "/plan")).etag,
  });
  expect(offered.status).toBe(201);
}

test("a site that follows its plan", async () => {
  await publish();
  await site({ followsPlan: true });
  for (const [clock, done, running] of [
    [430, [], ["mill-a 230", "mill-b 110"]],
    [540, ["2 by 540"], ["mill-a 120"]],
    [560, ["2 by 540"], ["mill-a 100", "mill-b 40"]],
    [620, ["2 by 540", "1 by 600"], ["mill-a 40"]],
    [660, ["4 by 660", "2 by 540", "1 by 600"], []],
  ] as const) {
    await site({ clock });
    expect(await stands(), `at ${clock}`).toEqual({ done, running, conflicts: [] });
  }
});

test("a site that counts only reports: each says which lot it means, and the others go on", async () => {
  await publish();
  await site({ followsPlan: false });
  expect((await report({ kind: "started", mode: "mill-a" })).status).toBe(200);
  expect((await report({ kind: "started", mode: "mill-b" })).status).toBe(200);
  expect(await stands()).toEqual({ done: [], running: ["mill-a 240", "mill-b 120"], conflicts: [] });

  await site({ clock: 440 });
  const which = await report<ProblemDetails>({ kind: "remaining", remaining: 10 });
  expect(which.status).toBe(422);
  expect(which.body.faults).toEqual([{ pointer: "/lot", message: expect.stringMatching(/0 \(mill-a.*1 \(mill-b/) }]);
  expect(await stands()).toMatchObject({ running: ["mill-a 220", "mill-b 100"] });
  expect((await report({ kind: "remaining", lot: 1, remaining: 90 })).status).toBe(200);
  expect(await stands()).toMatchObject({ running: ["mill-a 220", "mill-b 90"] });

  await site({ clock: 540 });
  expect((await report({ kind: "done", lot: 1, end: 535 })).status).toBe(200);
  expect(await stands()).toEqual({ done: ["2 by 535"], running: ["mill-a 120"], conflicts: [] });
  expect((await report({ kind: "started" })).status).toBe(200);
  expect(await stands()).toEqual({ done: ["2 by 535"], running: ["mill-a 120", "mill-b 60"], conflicts: [] });
  expect((await report({ kind: "started" })).status).toBe(409);
  expect((await report({ kind: "withdrawn" })).status).toBe(200);
  expect(await stands()).toMatchObject({ running: ["mill-a 120"] });
});

test("a row written when only one lot could run is still read", async () => {
  await publish();
  await site({ followsPlan: false });
  const running = { mode: "mill-a", pieces: 4, start: 420, phase: 0, crews: ["millers"], remaining: 240, working: true };
  await server.store.db.operation.update({
    where: { id: "B/1" },
    data: { progress: { done: [], running }, reportedMinute: 420 },
  });
  await site({ clock: 450 });
  expect(await stands()).toMatchObject({ running: ["mill-a 210"] });
  await server.store.db.operation.update({
    where: { id: "B/1" },
    data: { progress: { done: [{ mode: "mill-b", pieces: 2, start: 420, end: 440 }], running: null }, reportedMinute: null },
  });
  await site({ clock: 460 });
  expect(await stands()).toMatchObject({ done: ["2 by 440"], running: [] });
});
