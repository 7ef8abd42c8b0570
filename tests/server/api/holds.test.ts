/** Slots held for orders on a real database: kept, confirmed, released, and freed by themselves, with everything else left as it lay. */
import { afterAll, beforeAll, beforeEach, expect, test } from "vitest";
import type { HoldView } from "../../../src/contract/api/hold.ts";
import type { OrderBody } from "../../../src/contract/api/order.ts";
import type { DraftAnswer, PlanView } from "../../../src/contract/api/plan.ts";
import type { PlannedOperation } from "../../../src/core/problem/plan.ts";
import { expireHolds } from "../../../src/server/actions/hold-slot.ts";
import { emptyMemory } from "../../../src/server/actions/planning-state.ts";
import { eventStream } from "../support/event-stream.ts";
import { type ShopServer, shopServer } from "../support/shop-server.ts";
import { at, goodPlan, jobOrder, smallWorkshop } from "../support/small-workshop.ts";

let server: ShopServer;

beforeAll(async () => {
  server = await shopServer();
});
afterAll(() => server.close());
beforeEach(async () => {
  expect((await server.ask("PUT", "/shop?replace=true", { body: smallWorkshop() })).status).toBe(200);
  const { etag } = await server.ask("GET", "/plan");
  expect((await server.ask("PUT", "/plan/draft", { body: { plan: goodPlan() }, ifMatch: etag })).status).toBe(200);
});

const look = async (): Promise<PlanView> => (await server.ask<PlanView>("GET", "/plan")).body;
const lots = (view: PlanView): readonly PlannedOperation[] => view.draft.plan.operations as readonly PlannedOperation[];
const withSlot = (start = 600) => ({ operations: [...goodPlan().operations, at("H/1", "mill-a", start)] });
const hold = async (change: object = {}) =>
  server.ask<HoldView & { detail: string }>("POST", "/holds", {
    body: { order: jobOrder("H", null), plan: withSlot(), until: 900, note: "for Brandt", ...change },
    ifMatch: (await server.ask("GET", "/plan")).etag,
  });
const list = async () => (await server.ask<{ items: HoldView[] }>("GET", "/holds")).body.items;
const end = (id: string, word: "confirm" | "release") =>
  server.ask<HoldView & { detail: string }>("POST", `/holds/${id}/${word}`);
const orders = async () => (await look()).problem.orders.map(({ id }) => id);
const setClock = async (minute: number) => {
  const { body, etag } = await server.ask<Record<string, unknown>>("GET", "/site");
  const { now: _now, origin: _origin, ...rest } = body;
  expect((await server.ask("PUT", "/site", { body: { ...rest, clock: minute }, ifMatch: etag })).status).toBe(200);
};
const expire = () => {
  const failed = (error: unknown) => {
    throw error;
  };
  return expireHolds({ store: server.store, clock: () => new Date(), memory: emptyMemory() }, failed);
};

test("a held order stands in the book and in the draft, pinned where it was promised", async () => {
  const before = await look();
  const held = await hold();
  expect(held.status).toBe(201);
  expect(held.body).toMatchObject({ order: "H", until: 900, state: "held", purpose: "promise", note: "for Brandt" });
  const view = await look();
  expect(view.holds).toEqual([
    { id: held.body.id, order: "H", until: 900, heldBy: held.body.heldBy, purpose: "promise", note: "for Brandt" },
  ]);
  expect(view.check.conflicts).toEqual([]);
  expect(view.problem.operations.find(({ id }) => id === "H/1")?.pin).toEqual({ machines: ["mill-a"], start: 600 });
  expect(lots(view)).toEqual([...lots(before), at("H/1", "mill-a", 600)]);
});

test("its minute come, the slot is free again, once, and nothing else has moved", async () => {
  const before = await look();
  const { body } = await hold();
  await setClock(899);
  expect(await expire()).toEqual([]);
  expect(await orders()).toContain("H");
  await setClock(900);
  expect((await Promise.all([expire(), expire()])).flat()).toEqual(["H"]); // two workers at the same moment
  expect(await expire()).toEqual([]);
  const after = await look();
  expect(after.holds).toEqual([]);
  expect(await orders()).toEqual(before.problem.orders.map(({ id }) => id));
  expect(lots(after)).toEqual(lots(before));
  expect(await list()).toMatchObject([{ id: body.id, state: "expired", endedBy: "Slotwright" }]);
  expect((await end(body.id, "confirm")).body.detail).toBe('The slot of order "H" has run out already.');
});

test("a worker frees it by itself, and screens hear of it", async () => {
  const working = await shopServer({ solverWorkers: "inside" });
  try {
    await working.ask("PUT", "/shop", { body: smallWorkshop() });
    const { etag } = await working.ask("GET", "/plan");
    const plan = { operations: [at("H/1", "mill-a", 600)] };
    const held = await working.ask<HoldView>("POST", "/holds", {
      body: { order: jobOrder("H"), plan, until: 900 },
      ifMatch: etag,
    });
    expect(held.status).toBe(201);
    const events = await eventStream(working.address());
    const { body, etag: site } = await working.ask<Record<string, unknown>>("GET", "/site");
    const { now: _now, origin: _origin, ...rest } = body;
    await working.ask("PUT", "/site", { body: { ...rest, clock: 900 }, ifMatch: site });
    await events.wait(({ type }) => type === "draft");
    const view = (await working.ask<PlanView>("GET", "/plan")).body;
    expect([view.holds, lots(view), view.problem.orders.some(({ id }) => id === "H")]).toEqual([[], [], false]);
    events.close();
  } finally {
    await working.close();
  }
});

test("confirmed, it is an order like any other: where it lay, and free to move", async () => {
  const { body } = await hold();
  const confirmed = await end(body.id, "confirm");
  expect(confirmed.body).toMatchObject({ state: "confirmed" });
  await setClock(900);
  expect(await expire()).toEqual([]);
  const view = await look();
  expect(view.holds).toEqual([]);
  expect(view.problem.operations.find(({ id }) => id === "H/1")?.pin).toBeNull();
  expect(lots(view)).toContainEqual(at("H/1", "mill-a", 600));
  expect((await end(body.id, "confirm")).body).toMatchObject({ state: "confirmed" }); // once more changes nothing
  expect((await end(body.id, "release")).status).toBe(409);
});

test("released, its slot is free; an order that was in the book before stays there with the pins it had", async () => {
  const asked: OrderBody = (await server.ask<OrderBody>("GET", "/orders/P")).body;
  const [operation] = asked.operations;
  await server.ask("POST", "/plan/pins", { body: { operation: "P/1", pin: { machines: ["mill-a"], start: null } } });
  const without = goodPlan().operations.filter((planned) => planned.operation !== "P/1");
  const held = await hold({ order: "P", plan: { operations: [...without, at("P/1", "mill-a", 700)] } });
  expect(held.body).toMatchObject({ order: "P", keepsOrder: true });
  expect((await look()).problem.operations.find(({ id }) => id === operation?.id)?.pin).toEqual({
    machines: ["mill-a"],
    start: 700,
  });
  expect((await hold({ order: "P", plan: withSlot() })).status).toBe(409); // not twice
  expect((await end(held.body.id, "release")).status).toBe(200);
  const view = await look();
  expect(await orders()).toContain("P");
  expect(view.problem.operations.find(({ id }) => id === "P/1")?.pin).toEqual({ machines: ["mill-a"], start: null });
  expect(lots(view).map((planned) => planned.operation)).toEqual(["Q/1", "X/1", "X/2"]);
});

test("work that has begun keeps its place: the hold is confirmed instead of running out", async () => {
  const { body } = await hold();
  await setClock(610);
  expect(
    (await server.ask("POST", "/plan/progress", { body: { kind: "started", operation: "H/1", mode: "mill-a" } })).status,
  ).toBe(200);
  expect((await end(body.id, "release")).status).toBe(409);
  await setClock(900);
  expect(await expire()).toEqual([]);
  expect(await list()).toMatchObject([{ id: body.id, state: "confirmed" }]);
  expect(await orders()).toContain("H");
});

test("what cannot be held is refused, and changes nothing", async () => {
  const before = await look();
  const refusals = [
    await hold({ until: 420 }),
    await hold({ plan: goodPlan() }),
    await hold({ plan: withSlot(450) }),
    await hold({ order: jobOrder("P") }),
    await hold({ order: "nothing" }),
  ];
  expect(refusals.map(({ status }) => status)).toEqual([422, 422, 409, 409, 404]);
  expect(refusals[2]?.body.detail).toMatch(/^The slot does not hold: /);
  const stale = await server.ask("POST", "/holds", {
    body: { order: jobOrder("H"), plan: withSlot(), until: 900 },
    ifMatch: '"1"',
  });
  expect(stale.status).toBe(412);
  expect(await look()).toEqual(before);
  expect(await list()).toEqual([]);
});

test("undo moves the plan alone; deleting the order ends its hold", async () => {
  const { body } = await hold();
  await server.ask<DraftAnswer>("POST", "/plan/draft/undo");
  expect((await look()).holds.map(({ id }) => id)).toEqual([body.id]);
  await server.ask("POST", "/plan/draft/redo");
  const { etag } = await server.ask("GET", "/orders/H");
  expect((await server.ask("DELETE", "/orders/H", { ifMatch: etag })).status).toBe(204);
  expect((await look()).holds).toEqual([]);
  expect(await list()).toMatchObject([{ id: body.id, state: "released" }]);
});
