/** Upkeep over HTTP: orders made once for each occasion, not again after a person removed one, and by the worker's clock. */
import { afterAll, beforeAll, expect, test } from "vitest";
import type { PlanView } from "../../../src/contract/api/plan.ts";
import type { UpkeepMade, UpkeepView } from "../../../src/contract/api/upkeep.ts";
import { emptyMemory } from "../../../src/server/actions/planning-state.ts";
import { raiseUpkeep, UPKEEP_ACTOR } from "../../../src/server/actions/raise-upkeep.ts";
import { openRunQueue } from "../../../src/server/queue/run-queue.ts";
import { openUpkeepClock } from "../../../src/server/queue/upkeep-clock.ts";
import { type ShopServer, shopServer } from "../support/shop-server.ts";
import { at, goodPlan, jobOrder, smallWorkshop } from "../support/small-workshop.ts";

let server: ShopServer;
beforeAll(async () => {
  server = await shopServer();
  const workshop = smallWorkshop();
  const body = {
    ...workshop,
    machines: [
      { id: "mill-a", name: "Mill A", calendar: "days", calibrations: [{ name: "probe", due: "2026-06-15", interval: 100_000 }] },
      ...(workshop.machines ?? []).slice(1),
    ],
    orders: [...(workshop.orders ?? []), { ...jobOrder("S", null), kind: "maintenance" }],
    runHourRules: [{ id: "oil", machine: "mill-b", counter: 900, limit: 1_000, operations: ["S/1"] }],
  };
  expect((await server.ask("PUT", "/shop?replace=true", { body })).status).toBe(200);
});
afterAll(() => server.close());

const rule = (id: string, machine: string, trigger: object, more: object = {}) =>
  server.ask("PUT", `/upkeep-rules/${id}`, {
    body: { id, machine, trigger, task: { title: "Look after it", minutes: 30, skill: "mill" }, ...more },
  });
const raise = async (body: object = {}) => (await server.ask<UpkeepMade>("POST", "/upkeep/raise", { body })).body;
const view = async () => (await server.ask<UpkeepView>("GET", "/upkeep")).body.rules;

test("orders are made once, keep away from the plan, and stay away when a person removed one", async () => {
  expect((await rule("grease", "mill-a", { kind: "days", every: 7, first: "2026-06-12" }, { aheadDays: 10 })).status).toBe(201);
  expect((await rule("probe", "mill-a", { kind: "calibration", calibration: "probe" })).status).toBe(201);
  expect((await rule("bad", "lathe", { kind: "days", every: 7, first: "2026-06-12" })).status).toBe(409);
  expect((await rule("bad", "mill-a", { kind: "days", every: 7, first: "2026-02-30" })).body).toMatchObject({
    faults: [{ pointer: "/trigger/first" }],
  });
  expect((await view()).map(({ occasions }) => occasions.map(({ state, occasion }) => [occasion, state]))).toEqual([
    [["2026-06-12", "due"]],
    [["2026-06-15", "due"]],
  ]);
  const draft = (await server.ask<PlanView>("GET", "/plan")).body.draft;
  const { made, failed } = await raise();
  expect(failed).toEqual([]);
  expect(made.map(({ order }) => order)).toEqual(["grease-2026-06-12", "probe-2026-06-15"]);
  expect(await raise()).toEqual({ made: [], failed: [] });
  const after = (await server.ask<PlanView>("GET", "/plan")).body;
  expect(after.draft.revision).toBe(draft.revision);
  const operation = after.problem.operations.find(({ order }) => order === "probe-2026-06-15");
  expect(operation).toMatchObject({ calibrates: ["probe"], window: { start: 420, end: 8 * 1440 }, pin: null });

  const { etag } = await server.ask("GET", "/orders/grease-2026-06-12");
  expect((await server.ask("DELETE", "/orders/grease-2026-06-12", { ifMatch: etag })).status).toBe(204);
  expect((await raise()).made).toEqual([]);
  expect((await view())[0]?.occasions).toMatchObject([{ state: "removed" }]);
  expect((await raise({ rule: "grease", again: true })).made).toMatchObject([{ order: "grease-2026-06-12" }]);
  expect((await server.ask("POST", "/upkeep/raise", { body: { again: true } })).status).toBe(422);
});

test("run hours: as many tasks as the planned runs need are added to the counter's list, by two at once only once", async () => {
  expect((await rule("oil-change", "mill-b", { kind: "runHours", rule: "oil" })).status).toBe(201);
  expect((await raise()).made).toEqual([]); // one is open, and nothing is planned
  const plan = {
    operations: [...goodPlan().operations.filter(({ operation }) => operation !== "P/1"), at("P/1", "mill-b", 1860)],
  };
  const { etag } = await server.ask("GET", "/plan");
  expect((await server.ask("PUT", "/plan/draft", { body: { plan }, ifMatch: etag })).status).toBe(200);
  expect((await raise()).made).toEqual([]); // 900 + 180 passes 1,000 once
  const { etag: tag, body } = await server.ask<{ counter: number; limit: number }>("GET", "/run-hour-rules/oil");
  expect(
    (await server.ask("PUT", "/run-hour-rules/oil", { body: { ...body, counter: 90, limit: 100 }, ifMatch: tag })).status,
  ).toBe(200);
  const office = { store: server.store, clock: () => new Date(), memory: emptyMemory() };
  const wish = { rule: null, again: false };
  const twice = await Promise.all([
    raiseUpkeep({ ...office, memory: emptyMemory() }, UPKEEP_ACTOR, wish),
    raiseUpkeep(office, UPKEEP_ACTOR, wish),
  ]);
  expect(twice.flatMap(({ made }) => made.map(({ order }) => order))).toEqual(["oil-change-2"]);
  expect((await server.ask<{ operations: string[] }>("GET", "/run-hour-rules/oil")).body.operations).toEqual([
    "S/1",
    "oil-change-2/10",
  ]);
});

test("the worker's clock makes them once a night, by the site's time of day", async () => {
  expect((await rule("clean", "mill-b", { kind: "days", every: 30, first: "2026-06-09" }, { aheadDays: 2 })).status).toBe(201);
  const failed: unknown[] = [];
  const log = { info: () => {}, error: (fields: object) => failed.push(fields) };
  const queue = await openRunQueue(server.databaseUrl, (error) => failed.push(error));
  await queue.boss.createQueue("upkeep");
  await queue.boss.send("upkeep", {}); // as the schedule does when its minute comes
  const clock = await openUpkeepClock(server.store, queue, { log, clock: () => new Date() });
  try {
    // its own schedule, as the queue keeps it: every day at 04:20 in the zone of the site
    expect(await queue.boss.getSchedules("upkeep")).toMatchObject([{ cron: "20 4 * * *", timezone: "UTC" }]);
    const made = async () => (await view()).find((one) => one.rule === "clean")?.occasions.map(({ state }) => state);
    await expect.poll(made, { timeout: 60_000, interval: 500 }).toEqual(["made"]);
    expect(failed).toEqual([]);
  } finally {
    await clock.close();
    await queue.close(1_000);
  }
});

test("a rule that cannot be followed is named, the others go on", async () => {
  const task = { title: "Balance", minutes: 30, skill: "nobody has it" };
  expect((await rule("odd", "mill-a", { kind: "days", every: 5, first: "2026-06-08" }, { task, aheadDays: 1 })).status).toBe(201);
  expect((await rule("even", "mill-b", { kind: "days", every: 5, first: "2026-06-08" }, { aheadDays: 1 })).status).toBe(201);
  const { made, failed } = await raise();
  expect(made.map(({ rule: id }) => id)).toEqual(["even"]);
  expect(failed).toEqual([{ rule: "odd", occasion: "2026-06-08", reason: expect.stringContaining("nobody has it") }]);
});
