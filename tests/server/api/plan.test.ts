/** Draft, undo and redo, pins, publishing and versions, reports of operators: over HTTP, on a workshop planned by hand. */
import { afterAll, beforeAll, beforeEach, expect, test } from "vitest";
import type { OrderLog } from "../../../src/contract/api/order-log.ts";
import type { DraftAnswer, PlanChanges, PlanView, VersionView } from "../../../src/contract/api/plan.ts";
import { planOfColumns } from "../../../src/contract/api/plan-columns.ts";
import type { ProblemDetails } from "../../../src/contract/api/problem-details.ts";
import { NO_RATES } from "../../../src/contract/api/rates.ts";
import { type ProblemFile, problemFileSchema } from "../../../src/contract/problem-file.ts";
import { type ShopServer, shopServer } from "../support/shop-server.ts";
import { at, goodPlan, jobOrder, smallWorkshop } from "../support/small-workshop.ts";

let server: ShopServer;
beforeAll(async () => {
  server = await shopServer();
});
afterAll(() => server.close());
beforeEach(async () => {
  expect((await server.ask("PUT", "/shop?replace=true", { body: smallWorkshop() })).status).toBe(200);
});

const look = async (): Promise<PlanView> => (await server.ask<PlanView>("GET", "/plan")).body;
const kinds = (check: { conflicts: readonly { kind: string }[] }): string[] =>
  check.conflicts.map((conflict) => conflict.kind).sort();

async function edit(plan: unknown, note = "by hand"): Promise<DraftAnswer> {
  const { etag } = await server.ask("GET", "/plan");
  const reply = await server.ask<DraftAnswer>("PUT", "/plan/draft", { body: { plan, note }, ifMatch: etag });
  expect(reply.status).toBe(200);
  expect(reply.etag).toBe(`"${reply.body.draft.revision}"`);
  return reply.body;
}

const offer = async <T>(body: object) =>
  server.ask<T>("POST", "/plan/publish", { body, ifMatch: (await server.ask("GET", "/plan")).etag });

async function publish(note = ""): Promise<VersionView> {
  const reply = await offer<VersionView>({ note });
  expect(reply.status).toBe(201);
  return reply.body;
}

test("in columns the plan is the same plan, under the same revision, before and after an edit", async () => {
  const both = async () => {
    let whole = await server.ask<PlanView>("GET", "/plan");
    let columns = await server.ask("GET", "/plan/columns");
    // A minute may pass between the two.
    while ((planOfColumns(columns.body) as PlanView).problem.now !== whole.body.problem.now) {
      whole = await server.ask<PlanView>("GET", "/plan");
      columns = await server.ask("GET", "/plan/columns");
    }
    expect(planOfColumns(columns.body)).toStrictEqual(whole.body);
    expect(columns.etag).toBe(whole.etag);
    return whole.body;
  };
  expect((await both()).draft.plan.operations).toEqual([]);
  await edit(goodPlan());
  expect((await both()).draft.plan.operations).not.toEqual([]);
});

test("a draft is edited, undone, redone; an edit after undo takes the way of redo", async () => {
  const empty = await look();
  expect(empty.draft).toMatchObject({ canUndo: false, canRedo: false, basedOn: null });
  expect(kinds(empty.check)).toEqual(["notPlanned", "notPlanned", "notPlanned", "notPlanned"]);

  const first = await edit(goodPlan());
  expect(first.check.conflicts).toEqual([]);
  const second = await edit({ operations: [...goodPlan().operations.slice(1), at("P/1", "mill-b", 420)] });
  expect(kinds(second.check)).toEqual(["machineDoubleUse"]);

  const undone = (await server.ask<DraftAnswer>("POST", "/plan/draft/undo")).body;
  expect(undone.draft).toMatchObject({ revision: first.draft.revision, canUndo: true, canRedo: true });
  expect(undone.check.conflicts).toEqual([]);
  const redone = (await server.ask<DraftAnswer>("POST", "/plan/draft/redo")).body;
  expect(redone.draft).toMatchObject({ revision: second.draft.revision, canRedo: false });
  expect((await server.ask("POST", "/plan/draft/redo")).status).toBe(409);

  await server.ask("POST", "/plan/draft/undo");
  const other = await edit({ operations: [] });
  expect(other.draft.canRedo).toBe(false);
  await server.ask("POST", "/plan/draft/undo");
  expect((await server.ask<DraftAnswer>("POST", "/plan/draft/redo")).body.draft.revision).toBe(other.draft.revision);
});

test("an edit of a draft that has moved on is refused, and so is one without If-Match", async () => {
  const { etag } = await server.ask("GET", "/plan");
  await edit(goodPlan());
  expect((await server.ask("PUT", "/plan/draft", { body: { plan: goodPlan(), note: "" }, ifMatch: etag })).status).toBe(412);
  expect((await server.ask("PUT", "/plan/draft", { body: { plan: goodPlan(), note: "" } })).status).toBe(428);
  expect((await server.ask("POST", "/plan/draft/undo", { ifMatch: etag })).status).toBe(412);
});

test("a plan without meaning is refused at its place; one with conflicts is not", async () => {
  const [first, ...rest] = goodPlan().operations;
  const { etag } = await server.ask("GET", "/plan");
  const nonsense = {
    operations: [
      at("nothing", "mill-a", 0),
      { ...at("Q/1", "mill-a", 0), lots: [{ ...at("Q/1", "mill-a", 0).lots[0], mode: "lathe" }] },
      first,
      first,
      ...rest,
    ],
  };
  const { status, body } = await server.ask("PUT", "/plan/draft", { body: { plan: nonsense, note: "" }, ifMatch: etag });
  expect(status).toBe(422);
  expect(body.faults?.map((fault) => fault.pointer)).toEqual([
    "/plan/operations/0/operation",
    "/plan/operations/1/lots/0",
    "/plan/operations/3/operation",
    "/plan/operations/4/operation",
  ]);
  const early = await edit({ operations: [at("P/1", "mill-a", 0)] });
  expect(kinds(early.check)).toContain("beforeNow");
});

test("publishing: what changes for whom, versions for good, back to the published plan", async () => {
  await edit(goodPlan());
  const changes = (await server.ask<PlanChanges>("GET", "/plan/changes")).body;
  expect(changes).toMatchObject({ changed: 4, conflicts: [], becomeLate: [] });
  expect(changes.machines.map(({ id, changes: list }) => [id, list.map((change) => change.operation)])).toEqual([
    ["mill-a", ["P/1", "X/1"]],
    ["mill-b", ["Q/1", "X/2"]],
  ]);
  const one = await publish("first week");
  expect(one).toMatchObject({ version: 1, note: "first week", by: "Demo planner" });

  const late = {
    operations: [...goodPlan().operations.filter(({ operation }) => operation !== "Q/1"), at("Q/1", "mill-a", 2_000)],
  };
  await edit(late);
  const next = (await server.ask<PlanChanges>("GET", "/plan/changes")).body;
  expect(next.becomeLate).toEqual([{ order: "Q", name: "Order Q", due: 2_000, before: 480, after: 2_060, late: 60 }]);
  expect(next.machines.map(({ id }) => id)).toEqual(["mill-a", "mill-b"]); // who loses work is told as well as who gets it
  expect(next.crews).toHaveLength(1);
  expect((await publish()).version).toBe(2);

  const versions = await server.ask<{ items: { version: number }[]; total: number }>("GET", "/plan/versions?size=1");
  expect(versions.body).toMatchObject({ items: [{ version: 2 }], total: 2 });
  expect((await server.ask<VersionView>("GET", "/plan/versions/1")).body.plan.operations).toHaveLength(4);
  expect((await look()).published?.version).toBe(2);

  await edit({ operations: [] });
  const reset = (await server.ask<DraftAnswer>("POST", "/plan/draft/reset")).body;
  expect(reset.draft.basedOn).toBe(2);
  expect(reset.draft.plan.operations).toHaveLength(4);
});

test("two operations on one machine cannot be published, and nothing of it stays", async () => {
  await edit(goodPlan());
  await publish();
  await edit({ operations: [...goodPlan().operations.slice(1), at("P/1", "mill-b", 450)] });
  const refused = await offer<ProblemDetails>({ note: "", acknowledgedBy: "Somebody" });
  expect(refused.status).toBe(409);
  expect(refused.body.detail).toContain("machine");
  const { published, draft } = await look();
  expect(published?.version).toBe(1);
  expect(draft.note).toBe("by hand");
  const { rows } = await server.store.pool.query("SELECT DISTINCT version FROM published_lot");
  expect(rows).toEqual([{ version: 1 }]);
});

test("conflicts that are left need the name of whoever has read them", async () => {
  await edit({ operations: goodPlan().operations.slice(1) });
  expect((await offer({ note: "" })).status).toBe(409);
  expect((await server.ask("POST", "/plan/publish", { body: { note: "", acknowledgedBy: "R. Falk" } })).status).toBe(428);
  expect(
    (await server.ask("POST", "/plan/publish", { body: { note: "", acknowledgedBy: "R. Falk" }, ifMatch: '"1"' })).status,
  ).toBe(412);
  const reply = await offer<VersionView>({ note: "", acknowledgedBy: "R. Falk" });
  expect([reply.status, reply.body.acknowledgedBy]).toEqual([201, "R. Falk"]);
  expect(reply.body.changes.conflicts.map((conflict) => conflict.kind)).toEqual(["notPlanned"]);
});

test("a pin is part of the problem, and moving against it is a conflict", async () => {
  await edit(goodPlan());
  const pinned = await server.ask<DraftAnswer>("POST", "/plan/pins", {
    body: { operation: "P/1", pin: { machines: ["mill-b"], start: null } },
  });
  expect(kinds(pinned.body.check)).toEqual(["pinMoved"]);
  const lifted = await server.ask<DraftAnswer>("POST", "/plan/pins", { body: { operation: "P/1", pin: null } });
  expect(lifted.body.check.conflicts).toEqual([]);
  expect((await server.ask("POST", "/plan/pins", { body: { operation: "P/1", pin: { machines: ["lathe"] } } })).status).toBe(422);
  expect((await server.ask("POST", "/plan/pins", { body: { operation: "nothing", pin: null } })).status).toBe(404);
});

test("work is reported as started and done, and the plan follows", async () => {
  await edit(goodPlan());
  await publish();
  const site = await server.ask<Record<string, unknown>>("GET", "/site");
  const { now: _now, origin: _origin, ...rest } = site.body;
  const move = async (minute: number) => {
    const { etag } = await server.ask("GET", "/site");
    expect((await server.ask("PUT", "/site", { body: { ...rest, clock: minute }, ifMatch: etag })).status).toBe(200);
  };
  const report = (body: object) => server.ask<DraftAnswer>("POST", "/plan/progress", { body });
  const running = async (operation: string) =>
    (await look()).problem.operations.find((o) => o.id === operation)?.progress.running[0];

  expect((await report({ kind: "done", operation: "P/1" })).status).toBe(409);
  expect((await report({ kind: "started", operation: "P/1" })).status).toBe(200);
  expect((await report({ kind: "started", operation: "Q/1" })).status).toBe(200);
  expect((await report({ kind: "started", operation: "P/1" })).status).toBe(409);
  expect(await running("P/1")).toMatchObject({ start: 420, phase: 0, remaining: 60, working: true, crews: ["millers"] });

  await move(450); // between reports work goes on as published
  expect(await running("P/1")).toMatchObject({ remaining: 30, working: true });
  expect((await look()).check.conflicts).toEqual([]);
  const behind = await report({ kind: "remaining", operation: "P/1", remaining: 45 });
  expect(kinds(behind.body.check)).toEqual(["wrongWork"]); // the plan still has 30 minutes for it
  await report({ kind: "remaining", operation: "P/1", remaining: 30 });

  await move(480);
  expect((await report({ kind: "done", operation: "P/1", end: 500 })).status).toBe(422); // not in the future
  expect((await report({ kind: "done", operation: "P/1" })).status).toBe(200);
  expect((await report({ kind: "done", operation: "Q/1", end: 478 })).status).toBe(200);
  const after = await look();
  expect(after.problem.operations.find((o) => o.id === "Q/1")?.progress.done).toEqual([
    { mode: "mill-b", pieces: 1, start: 420, end: 478 },
  ]);
  expect(after.draft.plan.operations.map((planned) => planned.operation)).toEqual(["X/1", "X/2"]);
  expect(after.check.conflicts).toEqual([]);
  await report({ kind: "withdrawn", operation: "Q/1" }); // it runs again, as it stood when it was reported done
  expect(await running("Q/1")).toMatchObject({ start: 420 });
  expect((await report({ kind: "done", operation: "Q/1", scrap: 2 })).status).toBe(422); // of one piece
  expect((await report({ kind: "done", operation: "Q/1", scrap: 1, note: "bore too large" })).status).toBe(200);
  expect((await look()).problem.operations.find((o) => o.id === "Q/1")?.progress.done).toMatchObject([{ pieces: 1, scrap: 1 }]);
  const { body: log } = await server.ask<OrderLog>("GET", "/orders/Q/log");
  expect(log.items[0]).toMatchObject({ action: "reported done", operation: "Q/1", scrap: 1, note: "bore too large" });
  await report({ kind: "withdrawn", operation: "Q/1" });
  await report({ kind: "withdrawn", operation: "Q/1" }); // now its start as well
  expect(kinds((await look()).check)).toContain("beforeNow");
});

test("a site that follows its plan goes on by itself, until somebody reports otherwise", async () => {
  const move = async (change: object) => {
    const { body, etag } = await server.ask<Record<string, unknown>>("GET", "/site");
    const { now: _now, origin: _origin, ...rest } = body;
    expect((await server.ask("PUT", "/site", { body: { ...rest, ...change }, ifMatch: etag })).status).toBe(200);
  };
  const progress = async () =>
    Object.fromEntries(
      (await look()).problem.operations.map(({ id, progress: { done, running } }) => [
        id,
        running[0] ? `running ${running[0].remaining}` : done.map((lot) => lot.end).join(),
      ]),
    );
  const report = async (body: object) => expect((await server.ask("POST", "/plan/progress", { body })).status).toBe(200);
  await edit(goodPlan());
  await publish();
  await move({ followsPlan: true, clock: 450 });
  expect(await progress()).toEqual({ "P/1": "running 30", "Q/1": "running 30", "X/1": "", "X/2": "" });
  await report({ kind: "started", operation: "Q/1", start: 440 }); // twenty minutes late
  await report({ kind: "withdrawn", operation: "P/1" }); // has not begun at all
  expect(await progress()).toEqual({ "P/1": "", "Q/1": "running 50", "X/1": "", "X/2": "" });

  await move({ clock: 490 });
  expect(await progress()).toEqual({ "P/1": "", "Q/1": "running 20", "X/1": "running 50", "X/2": "" });
  const rest = { operations: [at("P/1", "mill-a", 600), at("X/2", "mill-b", 540)] };
  const { draft, problem } = await look();
  const begun = draft.plan.operations.filter(({ operation }) => ["Q/1", "X/1"].includes(operation));
  expect(begun.map(({ lots }) => lots[0]?.start)).toEqual([440, 480]);
  expect(problem.operations.find((o) => o.id === "P/1")?.progress).toEqual({ done: [], running: [] });
  await edit({ operations: [...rest.operations, ...begun] });
  await server.ask("POST", "/plan/publish", {
    body: { note: "", acknowledgedBy: "R. Falk" },
    ifMatch: (await server.ask("GET", "/plan")).etag,
  });
  expect(await progress()).toEqual({ "P/1": "", "Q/1": "running 20", "X/1": "running 50", "X/2": "" }); // written down, though the new plan knows only what is to come
  await move({ clock: 610 });
  expect(await progress()).toEqual({ "P/1": "running 50", "Q/1": "510", "X/1": "540", "X/2": "600" }); // Q/1 by the forecast published with its rest
  await report({ kind: "done", operation: "Q/1", end: 505 });
  expect(await progress()).toEqual({ "P/1": "running 50", "Q/1": "505", "X/1": "540", "X/2": "600" });
});

test("a shop that is exported and imported again is the same shop", async () => {
  await edit(goodPlan());
  await publish();
  await server.ask("POST", "/plan/progress", { body: { kind: "started", operation: "P/1" } });
  const settle = async (path: string, body: object) => {
    const { etag } = await server.ask("GET", path);
    expect((await server.ask("PUT", path, { body, ifMatch: etag })).status).toBeLessThan(300);
  };
  const care = { id: "care", title: "Care", alone: false, machines: ["mill-a"], supplies: [], items: ["Guards are closed."] };
  await settle("/settings/cautions", { rules: [care] });
  await settle("/settings/rates", { ...NO_RATES, machineHour: { "mill-b": 62.5 } });
  await settle("/settings/risk", { stops: { "mill-a": { meanBetween: 12_000, meanRepair: 240 } } });
  await settle("/upkeep-rules/way-oil", {
    ...{ id: "way-oil", machine: "mill-a", trigger: { kind: "days", every: 90, first: "2026-07-01" } },
    task: { title: "Change the way oil", minutes: 45, skill: "mill" },
  });
  await settle("/routes/plain", { id: "plain", operations: jobOrder("R").operations });
  const before = await server.ask<ProblemFile>("GET", "/shop/export");
  expect(before.body.settled).toMatchObject({
    settings: { cautions: { rules: [care] }, rates: { machineHour: { "mill-b": 62.5 } }, risk: { stops: { "mill-a": {} } } },
    upkeepRules: [{ id: "way-oil" }],
    routes: [{ id: "plain" }],
  });
  const rates = { ...NO_RATES, machineHour: { lathe: 60 } };
  const wrong = { ...before.body, settled: { version: 1, settings: { rates } } };
  expect((await server.ask<ProblemDetails>("PUT", "/shop?replace=true", { body: wrong })).body.faults).toEqual([
    { pointer: "/settled/settings/rates/machineHour/lathe", message: 'there is no machine "lathe"' },
  ]);
  expect((await server.ask("PUT", "/shop", { body: before.body })).status).toBe(409);
  expect((await server.ask("PUT", "/shop?replace=true", { body: before.body })).status).toBe(200);
  const after = await server.ask<unknown>("GET", "/shop/export");
  expect(problemFileSchema.parse(after.body)).toEqual(problemFileSchema.parse(before.body));
});

test("a restart loses nothing", async () => {
  await edit(goodPlan());
  await publish("before the restart");
  await edit({ operations: [] }, "after publishing");
  const everything = async () =>
    Promise.all(
      ["/shop/export", "/plan", "/plan/versions", "/orders", "/machines", "/site"].map(
        async (path) => (await server.ask<unknown>("GET", path)).body,
      ),
    );
  const before = await everything();
  await server.restart();
  expect(await everything()).toEqual(before);
  expect((await server.ask<DraftAnswer>("POST", "/plan/draft/undo")).body.draft.plan.operations).toHaveLength(4);
});
