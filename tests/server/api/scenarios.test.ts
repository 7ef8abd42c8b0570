/** Scenarios over HTTP on a workshop planned by hand: branched, changed by two at once, planned, compared, merged as one step, undone. */
import { afterAll, beforeAll, beforeEach, expect, test } from "vitest";
import type { DraftAnswer, PlanView } from "../../../src/contract/api/plan.ts";
import type { ProblemDetails } from "../../../src/contract/api/problem-details.ts";
import type { QuestionView } from "../../../src/contract/api/question.ts";
import type { ScenarioComparison, ScenarioHead, ScenarioView } from "../../../src/contract/api/scenario.ts";
import { eventStream } from "../support/event-stream.ts";
import { type ShopServer, shopServer } from "../support/shop-server.ts";
import { goodPlan, smallWorkshop } from "../support/small-workshop.ts";

let server: ShopServer;
beforeAll(async () => {
  server = await shopServer({ solverWorkers: "inside" });
});
afterAll(() => server.close());
beforeEach(async () => {
  expect((await server.ask("PUT", "/shop?replace=true", { body: smallWorkshop() })).status).toBe(200);
  const { etag } = await server.ask("GET", "/plan");
  expect((await server.ask("PUT", "/plan/draft", { body: { plan: goodPlan() }, ifMatch: etag })).status).toBe(200);
});

const look = async (): Promise<PlanView> => (await server.ask<PlanView>("GET", "/plan")).body;

async function make(body: object): Promise<{ scenario: ScenarioView; etag: string }> {
  const reply = await server.ask<ScenarioView>("POST", "/scenarios", { body });
  expect(reply.status, JSON.stringify(reply.body)).toBe(201);
  return { scenario: reply.body, etag: reply.etag ?? "" };
}

const compare = async (...ids: string[]): Promise<ScenarioComparison> => {
  const reply = await server.ask<ScenarioComparison>("GET", `/scenarios/compare?ids=${ids.join(",")}`);
  expect(reply.status, JSON.stringify(reply.body)).toBe(200);
  return reply.body;
};

async function answered<K extends QuestionView["kind"]>(body: object): Promise<QuestionView & { kind: K }> {
  const { body: started } = await server.ask<{ id: string }>("POST", "/questions", { body });
  let seen = (await server.ask<QuestionView>("GET", `/questions/${started.id}`)).body;
  while (seen.state === "queued" || seen.state === "running") {
    await new Promise((resolve) => setTimeout(resolve, 100));
    seen = (await server.ask<QuestionView>("GET", `/questions/${started.id}`)).body;
  }
  expect(seen.state, seen.error ?? "").toBe("done");
  return seen as QuestionView & { kind: K };
}

/** Mill A is away all Monday. */
const down = { kind: "machineDown", machine: "mill-a", start: "2026-06-08T07:00", end: "2026-06-08T15:00", reason: "Spindle" };

test("made from the draft, planned, compared, merged as one step, undone: published plan and draft untouched until then", async () => {
  const before = await look();
  const { scenario } = await make({ name: "Mill A away", changes: [down] });
  expect(scenario).toMatchObject({ state: "open", planned: "draft", troubles: [], basedOnDraft: before.draft.revision });
  expect((await look()).draft).toEqual(before.draft);
  expect((await look()).problem.machines).toEqual(before.problem.machines);

  // Unplanned it shows what the change alone breaks: two operations stand on a closed mill.
  const unplanned = await compare(scenario.id);
  expect(unplanned.columns.map(({ measures }) => measures?.conflicts)).toEqual([0, 2]);
  expect(unplanned.columns[1]?.moved).toEqual([]);

  const question = await answered<"scenarioPlan">({ kind: "scenarioPlan", scenario: scenario.id, iterations: 200 });
  const answer = question.answer as { plan: object; conflicts: number; before: { conflicts: number } };
  expect([answer.before.conflicts, answer.conflicts]).toEqual([2, 0]);
  const kept = await server.ask<ScenarioView>("PUT", `/scenarios/${scenario.id}`, {
    body: { plan: answer.plan },
    ifMatch: `"${scenario.revision}"`,
  });
  expect(kept.body.planned).toBe("planned");
  const planned = await compare(scenario.id);
  expect(planned.columns[1]).toMatchObject({ measures: { conflicts: 0 }, fault: null, money: null });
  expect(planned.columns[1]?.moved.map(({ to }) => to?.machines)).not.toContainEqual(["mill-a"]);
  const load = Object.fromEntries(planned.columns[1]?.load.map(({ machine, occupied }) => [machine, occupied]) ?? []);
  expect(load).toEqual({ "mill-a": 0, "mill-b": 240 });

  expect((await server.ask("POST", `/scenarios/${scenario.id}/merge`)).status).toBe(428);
  const merged = await server.ask<DraftAnswer>("POST", `/scenarios/${scenario.id}/merge`, {
    ifMatch: `"${before.draft.revision}"`,
  });
  expect(merged.status, JSON.stringify(merged.body)).toBe(200);
  expect(merged.body.check.conflicts).toEqual([]);
  expect(merged.body.draft.note).toBe("Scenario: Mill A away");
  expect((await look()).problem.machines[0]?.closures).toHaveLength(1);
  expect((await server.ask<ScenarioView>("GET", `/scenarios/${scenario.id}`)).body.state).toBe("merged");
  expect((await server.ask("POST", `/scenarios/${scenario.id}/merge`, { ifMatch: "*" })).status).toBe(409);

  await server.ask("POST", "/plan/draft/undo");
  const undone = await look();
  expect(undone.draft.plan).toEqual(before.draft.plan);
  expect(undone.problem.machines).toEqual(before.problem.machines);
});

test("undo of the merging opens the scenario again, redo closes it; once it was changed, it is another one and stays open", async () => {
  const { scenario } = await make({ name: "Mill A away again", changes: [down] });
  const state = async () => (await server.ask<ScenarioView>("GET", `/scenarios/${scenario.id}`)).body;
  const turn = async (way: "undo" | "redo") => expect((await server.ask("POST", `/plan/draft/${way}`)).status).toBe(200);
  const merge = async () =>
    (await server.ask("POST", `/scenarios/${scenario.id}/merge`, { ifMatch: `"${(await look()).draft.revision}"` })).status;
  expect(await merge()).toBe(200);
  await turn("undo");
  expect(await state()).toMatchObject({ state: "open", changes: [down] });
  await turn("redo");
  const again = await state();
  expect(again.state).toBe("merged");
  expect((await look()).problem.machines[0]?.closures).toHaveLength(1);
  await turn("undo");
  const open = await state();
  const edited = await server.ask("PUT", `/scenarios/${scenario.id}`, {
    body: { changes: [] },
    ifMatch: `"${open.revision}"`,
  });
  expect(edited.status).toBe(200);
  await turn("redo");
  expect(await state()).toMatchObject({ state: "open", changes: [] });
  // merged as it is now, undone, and then dropped: redo does not take it up
  expect(await merge()).toBe(200);
  await turn("undo");
  await server.ask("POST", `/scenarios/${scenario.id}/drop`, { ifMatch: `"${(await state()).revision}"` });
  await turn("redo");
  expect((await state()).state).toBe("dropped");
});

test("two planners change one scenario: the second is told and nobody's change is lost", async () => {
  const stream = await eventStream(server.address());
  const { scenario, etag } = await make({ name: "Shared" });
  const first = await server.ask<ScenarioView>("PUT", `/scenarios/${scenario.id}`, { body: { changes: [down] }, ifMatch: etag });
  expect(first.body).toMatchObject({ revision: scenario.revision + 1, changes: [{ kind: "machineDown" }] });
  const second = await server.ask<ProblemDetails>("PUT", `/scenarios/${scenario.id}`, { body: { name: "Mine" }, ifMatch: etag });
  expect(second.status).toBe(412);
  expect((await server.ask("PUT", `/scenarios/${scenario.id}`, { body: { name: "Mine" } })).status).toBe(428);
  expect((await server.ask<ScenarioView>("GET", `/scenarios/${scenario.id}`)).body).toMatchObject({
    name: "Shared",
    changes: [{}],
  });
  await stream.wait((event) => event.type === "scenario" && event.id === scenario.id && event.revision === scenario.revision + 1);
  stream.close();
});

test("one branches from another, with its changes and its plan; a change makes the plan an old one", async () => {
  const { scenario: first } = await make({ name: "First", changes: [down], plan: goodPlan() });
  expect(first.planned).toBe("planned");
  const { scenario: same } = await make({ name: "Same", from: first.id });
  expect(same).toMatchObject({ planned: "planned", changes: first.changes });
  const { scenario: more } = await make({ name: "More", from: first.id, changes: [{ kind: "order", order: "P", due: 480 }] });
  expect(more).toMatchObject({ planned: "old" });
  expect(more.changes).toHaveLength(2);
  const { columns, orders } = await compare(first.id, more.id);
  expect(columns.map(({ name }) => name)).toEqual(["", "First", "More"]);
  // Each column counts lateness by its own promise: P ends at 480 in all.
  expect(orders.map(({ order }) => order)).not.toContain("P");
});

test("what names nothing or has no meaning is refused with the field, and changes nothing", async () => {
  const refused = async (body: object) => {
    const reply = await server.ask<ProblemDetails>("POST", "/scenarios", { body });
    expect(reply.status).toBe(422);
    return reply.body.faults?.map(({ pointer }) => pointer);
  };
  expect(await refused({ name: "x", changes: [{ ...down, machine: "lathe" }] })).toEqual(["/changes/0/machine"]);
  expect(await refused({ name: "", changes: [] })).toEqual(["/name"]);
  expect(await refused({ name: "x", changes: [{ kind: "split", operation: "P/1", lots: 1, minPieces: 1 }] })).toEqual([
    "/changes/0/lots",
  ]);
  // A closure that ends before it begins compiles to nothing.
  expect(await refused({ name: "x", changes: [{ ...down, end: "2026-06-07T15:00" }] })).toEqual(["/changes"]);
  expect((await server.ask<{ items: ScenarioHead[] }>("GET", "/scenarios")).body.items.map(({ name }) => name)).not.toContain(
    "x",
  );
});

test("a machine that leaves the shop is said in the scenario that names it, and hinders merging", async () => {
  const shop = smallWorkshop();
  await server.ask("PUT", "/shop?replace=true", {
    body: { ...shop, machines: [...(shop.machines ?? []), { id: "saw", calendar: "days" }] },
  });
  const { scenario } = await make({ name: "Saw away", changes: [{ ...down, machine: "saw" }] });
  const { etag } = await server.ask("GET", "/machines/saw");
  expect((await server.ask("DELETE", "/machines/saw", { ifMatch: etag })).status).toBe(204);
  const seen = (await server.ask<ScenarioView>("GET", `/scenarios/${scenario.id}`)).body;
  expect(seen.troubles).toMatchObject([{ change: 0, field: "machine" }]);
  const merge = await server.ask<ProblemDetails>("POST", `/scenarios/${scenario.id}/merge`, {
    ifMatch: `"${(await look()).draft.revision}"`,
  });
  expect(merge.status).toBe(409);
  expect(merge.body.detail).toContain("saw");
});

test("dropped ones are kept, and taken up again when wanted", async () => {
  const { scenario } = await make({ name: "Later" });
  const dropped = await server.ask<ScenarioView>("POST", `/scenarios/${scenario.id}/drop`, { ifMatch: `"${scenario.revision}"` });
  expect(dropped.body.state).toBe("dropped");
  const refused = await server.ask("PUT", `/scenarios/${scenario.id}`, { body: { name: "x" }, ifMatch: dropped.etag });
  expect(refused.status).toBe(409);
  const again = await server.ask<ScenarioView>("POST", `/scenarios/${scenario.id}/reopen`, { ifMatch: dropped.etag });
  expect(again.body.state).toBe("open");
});

test("rates are settled by name, refused for machines that are not there, and priced in the comparison", async () => {
  const rates = {
    currency: "EUR",
    machineHour: { "mill-a": 60 },
    crewHour: {},
    nightHour: null,
    overtimePercent: null,
    lateDay: null,
  };
  const wrong = await server.ask<ProblemDetails>("PUT", "/settings/rates", { body: { ...rates, machineHour: { lathe: 1 } } });
  expect(wrong.status).toBe(422);
  expect((await server.ask("PUT", "/settings/rates", { body: rates })).status).toBe(200);
  const { scenario } = await make({ name: "Priced" });
  const { currency, columns } = await compare(scenario.id);
  // Two hours on mill A (P/1 and X/1).
  expect([currency, columns[0]?.money?.items.machines]).toEqual(["EUR", 120]);
});

test("levers are answered about the draft, against what better planning alone finds", async () => {
  const { etag } = await server.ask("GET", "/orders/X");
  const { body: order } = await server.ask<{ due: number }>("GET", "/orders/X");
  await server.ask("PUT", "/orders/X", { body: { ...order, due: 480 }, ifMatch: etag });
  const levers = (await answered<"levers">({ kind: "levers", order: "X", steps: 100 })).answer as unknown as {
    before: { late: number };
    ranked: { change: object; plan: object; finish: number }[];
    searched: { late: number };
  };
  expect(levers.before.late).toBe(120);
  // X needs two hours from 07:00 on; nothing begins before now, so no lever beats 09:00.
  expect(levers.searched.late).toBe(60);
  expect(levers.ranked).toEqual([]);
});

test("the contract question is answered in a copy of the shop, and its answer can be kept as a scenario", async () => {
  const { body: order } = await server.ask<{ operations: object[] }>("GET", "/orders/X");
  const route = { id: "bush", operations: order.operations, links: [] };
  const contract = { kind: "newOrders", prefix: "C", route, perWeek: 8, quantity: 1, from: "2026-06-15", weeks: 2, leadDays: 4 };
  const help = { name: "Mill C", changes: [{ kind: "extraMachine", like: "mill-a", id: "mill-c" }] };
  const asked = (await answered<"contract">({ kind: "contract", contract, helps: [help], iterations: 30 })).answer as unknown as {
    variants: { name: string; changes: object[]; plan: object; load: { orders: number; lateOrders: number } }[];
  };
  // 40 hours a week each for two mills and for a crew that serves two at once: it holds without help.
  expect(asked.variants.map(({ name, load }) => [name, load.orders, load.lateOrders])).toEqual([
    ["", 16, 0],
    ["Mill C", 16, 0],
  ]);
  const orders = (await server.ask<{ total: number }>("GET", "/orders")).body.total;
  expect(orders).toBe(3);
  const { scenario } = await make({ name: "Contract", changes: asked.variants[0]?.changes, plan: asked.variants[0]?.plan });
  const { columns } = await compare(scenario.id);
  expect(columns[1]?.measures).toMatchObject({ conflicts: 0 });
});
