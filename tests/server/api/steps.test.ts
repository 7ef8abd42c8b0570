/**
 * Steps over HTTP on a real PostgreSQL: shop and draft change together, one undo puts both back, redo makes both again; refused
 * when the thing was changed since, by who may not, and for bad input - and then nothing at all has changed.
 */
import { afterAll, beforeAll, beforeEach, expect, test } from "vitest";
import type { DraftAnswer, PlanView } from "../../../src/contract/api/plan.ts";
import { type ProblemFileInput, problemFileSchema } from "../../../src/contract/problem-file.ts";
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

/** The whole shop as it is written down, and the draft: what must be equal when nothing has changed. */
async function everything() {
  const file = problemFileSchema.parse((await server.ask<ProblemFileInput>("GET", "/shop/export")).body);
  const { draft, check } = (await server.ask<PlanView>("GET", "/plan")).body;
  const byId = <T extends { id: string }>(list: readonly T[]): T[] => [...list].sort((a, b) => (a.id < b.id ? -1 : 1));
  return { file: { ...file, links: byId(file.links), orders: byId(file.orders) }, draft, check };
}

async function step(body: object) {
  const { etag } = await server.ask("GET", "/plan");
  return server.ask<DraftAnswer>("POST", "/plan/steps", { body, ifMatch: etag });
}
const turn = (way: "undo" | "redo") => server.ask<DraftAnswer>("POST", `/plan/draft/${way}`);
const kinds = (answer: DraftAnswer): string[] => answer.check.conflicts.map(({ kind }) => kind).sort();

const stopped = { id: "mill-a", name: "Mill A", calendar: "days", closures: [{ start: 420, end: 900, reason: "Spindle" }] };
const rush = {
  ...jobOrder("R", 700),
  links: [{ kind: "lag", id: "R-after-P", from: "P/1", to: "R/1" }],
};
const rushPlan = { operations: [...goodPlan().operations, at("R/1", "mill-a", 540)] };

test("an order and its place in the plan come and go together", async () => {
  const before = await everything();
  const done = await step({ edits: [{ kind: "orders", id: "R", after: rush }], plan: rushPlan, note: "Rush R" });
  expect(done.status).toBe(200);
  expect(done.body.draft).toMatchObject({ canUndo: true, note: "Rush R" });
  expect(done.body.check.conflicts).toEqual([]);
  const after = await everything();
  expect(after.file.orders.map(({ id }) => id)).toEqual(["P", "Q", "R", "X"]);
  expect(after.file.links.map(({ id }) => id)).toEqual(["R-after-P", "X-1-2"]);

  expect((await turn("undo")).body.draft).toMatchObject({ revision: before.draft.revision, canRedo: true });
  expect(await everything()).toEqual({ ...before, draft: { ...before.draft, canRedo: true } });
  expect((await turn("redo")).body.draft.revision).toBe(done.body.draft.revision);
  expect(await everything()).toEqual(after);
  expect((await turn("undo")).status).toBe(200);
});

test("plant, orders, links and a deletion in one step: everything is put back, whatever hangs on what", async () => {
  const before = await everything();
  const edits = [
    { kind: "calendars", id: "late", after: { id: "late", weekly: [{ days: [6], from: "07:00", until: "12:00" }] } },
    { kind: "machines", id: "mill-c", after: { id: "mill-c", calendar: "late" } },
    { kind: "machines", id: "mill-a", after: stopped },
    { kind: "orders", id: "Q", after: null },
    { kind: "orders", id: "P", after: { ...jobOrder("P", 600), links: [{ kind: "lag", id: "X-P", from: "X/2", to: "P/1" }] } },
    { kind: "orders", id: "X", after: { ...jobOrder("X", 2_000, 2), name: "Order X, again" } },
  ];
  const done = await step({ edits, note: "" });
  expect(done.status).toBe(200);
  expect(kinds(done.body)).toContain("machineClosed");
  const after = await everything();
  expect(after.file.machines.map(({ id, closures }) => [id, closures.length])).toEqual([
    ["mill-a", 1],
    ["mill-b", 0],
    ["mill-c", 0],
  ]);
  // links that X's edit does not name stay
  expect(after.file.links.map(({ id }) => id)).toEqual(["X-1-2", "X-P"]);
  expect(after.file.orders.map(({ id, name }) => [id, name])).toEqual([
    ["P", "Order P"],
    ["X", "Order X, again"],
  ]);

  expect((await turn("undo")).status).toBe(200);
  expect(await everything()).toEqual({ ...before, draft: { ...before.draft, canRedo: true } });
  expect((await turn("redo")).status).toBe(200);
  expect(await everything()).toEqual(after);
});

test("a deletion taken back puts the order at its place in the book, not at the end", async () => {
  const before = await everything();
  const ids = before.file.orders.map(({ id }) => id);
  expect(ids.length).toBeGreaterThan(1);
  expect((await step({ edits: [{ kind: "orders", id: ids[0] as string, after: null }], note: "" })).status).toBe(200);
  expect((await everything()).file.orders.map(({ id }) => id)).toEqual(ids.slice(1));
  expect((await turn("undo")).status).toBe(200);
  expect((await everything()).file.orders.map(({ id }) => id)).toEqual(ids);
});

test("what was reported and pinned meanwhile stays; what was changed itself refuses the undo", async () => {
  expect((await step({ edits: [{ kind: "orders", id: "P", after: jobOrder("P", 600) }] })).status).toBe(200);
  expect((await server.ask("POST", "/plan/progress", { body: { kind: "started", operation: "P/1" } })).status).toBe(200);
  expect(
    (await server.ask("POST", "/plan/pins", { body: { operation: "P/1", pin: { machines: ["mill-a"], start: null } } })).status,
  ).toBe(200);
  expect((await turn("undo")).status).toBe(200);
  const [order] = (await everything()).file.orders;
  expect(order).toMatchObject({ id: "P", due: 2_000 });
  expect(order?.operations[0]?.progress.running[0]).toMatchObject({ mode: "mill-a", start: 420 });
  expect(order?.operations[0]?.pin).toEqual({ machines: ["mill-a"], start: null });

  expect((await turn("redo")).status).toBe(200);
  const { body, etag } = await server.ask<object>("GET", "/orders/P");
  expect((await server.ask("PUT", "/orders/P", { body: { ...body, due: 900 }, ifMatch: etag })).status).toBe(200);
  const before = await everything();
  const refused = await server.ask("POST", "/plan/draft/undo");
  expect(refused).toMatchObject({ status: 409, body: { detail: expect.stringContaining('The order "P" was changed since') } });
  expect(await everything()).toEqual(before);
});

test("a run found stopped is taken back with the report it replaced", async () => {
  await server.ask("POST", "/plan/progress", { body: { kind: "started", operation: "P/1" } });
  const before = await everything();
  const running = before.file.orders.find(({ id }) => id === "P")?.operations[0]?.progress.running[0];
  expect(running).toMatchObject({ remaining: 60, working: true });
  const stop = { kind: "progress", id: "P/1", after: { done: [], running: [{ ...running, remaining: 200, working: false }] } };
  expect((await step({ edits: [stop] })).status).toBe(200);
  expect((await everything()).file.orders.find(({ id }) => id === "P")?.operations[0]?.progress.running[0]).toMatchObject({
    remaining: 200,
    working: false,
  });
  expect((await turn("undo")).status).toBe(200);
  expect(await everything()).toEqual({ ...before, draft: { ...before.draft, canRedo: true } });
});

test.each([
  ["a body of another id", [{ kind: "machines", id: "mill-b", after: stopped }], "/edits/0/after/id"],
  [
    "a thing twice",
    [
      { kind: "machines", id: "mill-a", after: stopped },
      { kind: "machines", id: "mill-a", after: null },
    ],
    "/edits/1/id",
  ],
  [
    "a calendar that is not there",
    [{ kind: "machines", id: "mill-a", after: { ...stopped, calendar: "x" } }],
    "/edits/0/after/calendar",
  ],
  [
    "a link of another order",
    [{ kind: "orders", id: "R", after: { ...rush, links: [{ kind: "lag", id: "l", from: "R/1", to: "Q/1" }] } }],
    "/edits/0/after/links/0/to",
  ],
  [
    "a link from nowhere, after edits that are good",
    [
      { kind: "machines", id: "mill-a", after: stopped },
      { kind: "orders", id: "R", after: { ...rush, links: [{ kind: "lag", id: "l", from: "none", to: "R/1" }] } },
    ],
    "/edits/1/after/links/0/from",
  ],
])("%s is refused at its place, and nothing changes", async (_, edits, pointer) => {
  const before = await everything();
  const refused = await step({ edits, plan: goodPlan() });
  expect(refused.status).toBe(422);
  expect((refused.body as unknown as { faults: { pointer: string }[] }).faults.map((fault) => fault.pointer)).toEqual([pointer]);
  expect(await everything()).toEqual(before);
});

test("a plan that knows more than the shop, a machine that work needs, a stale draft or edit: refused whole", async () => {
  const before = await everything();
  expect((await step({ edits: [], plan: rushPlan })).status).toBe(422);
  expect((await step({ edits: [{ kind: "machines", id: "mill-a", after: null }] })).status).toBe(422);
  expect((await step({ edits: [{ kind: "kits", id: "none", after: null }] })).status).toBe(404);
  expect((await step({ edits: [{ kind: "machines", id: "mill-a", after: stopped, revision: 99 }] })).status).toBe(412);
  const body = { edits: [{ kind: "machines", id: "mill-a", after: stopped }] };
  expect((await server.ask("POST", "/plan/steps", { body })).status).toBe(428);
  expect((await server.ask("POST", "/plan/steps", { body, ifMatch: `"${before.draft.revision + 1}"` })).status).toBe(412);
  expect(await everything()).toEqual(before);
});
