/**
 * A trouble over HTTP from the telling to the undo, on a workshop planned by hand: what it breaks is told, every answer is free of
 * conflicts by the server's own checker once adopted, and one undo puts shop and plan back. What contradicts the shop changes nothing.
 */
import { afterAll, beforeAll, beforeEach, expect, test } from "vitest";
import type { DraftAnswer, PlanView } from "../../../src/contract/api/plan.ts";
import type { QuestionView } from "../../../src/contract/api/question.ts";
import type { TroubleAnswer } from "../../../src/contract/api/questions/trouble.ts";
import { type EventStream, eventStream } from "../support/event-stream.ts";
import { type ShopServer, shopServer } from "../support/shop-server.ts";
import { goodPlan, smallWorkshop } from "../support/small-workshop.ts";

let server: ShopServer;
let events: EventStream;
beforeAll(async () => {
  server = await shopServer({ solverWorkers: "inside" });
  events = await eventStream(server.address());
});
afterAll(async () => {
  events.close();
  await server.close();
});
beforeEach(async () => {
  expect((await server.ask("PUT", "/shop?replace=true", { body: smallWorkshop() })).status).toBe(200);
  const { etag } = await server.ask("GET", "/plan");
  expect((await server.ask("PUT", "/plan/draft", { body: { plan: goodPlan() }, ifMatch: etag })).status).toBe(200);
});

async function tell(trouble: object): Promise<QuestionView<"trouble">> {
  const asked = await server.ask<{ id: string }>("POST", "/questions", { body: { kind: "trouble", trouble } });
  expect(asked.status).toBe(202);
  const { id } = asked.body;
  await events.wait((event) => event.type === "question" && event.id === id && ["done", "failed"].includes(event.state));
  return (await server.ask<QuestionView<"trouble">>("GET", `/questions/${id}`)).body;
}
const answerOf = async (trouble: object): Promise<TroubleAnswer & { draftRevision: number | null }> => {
  const { answer, state, error, draftRevision } = await tell(trouble);
  expect([state, error]).toEqual(["done", null]);
  return { ...(answer as TroubleAnswer), draftRevision };
};
const shop = async () => (await server.ask<object>("GET", "/shop/export")).body;
const look = async () => (await server.ask<PlanView>("GET", "/plan")).body;

test.each([
  [
    "a machine stands still",
    { kind: "machineStopped", machine: "mill-a", until: 900, reason: "Spindle" },
    ["machineClosed", "machineClosed"],
  ],
  ["nobody knows until when", { kind: "machineStopped", machine: "mill-b", until: null }, ["machineClosed", "machineClosed"]],
  ["half the crew is away", { kind: "personAbsent", crew: "millers", until: 540, people: 50 }, ["crewShort"]],
  ["material comes late", { kind: "materialLate", order: "X", release: "2026-06-08T10:00" }, ["beforeRelease", "beforeRelease"]],
  ["a piece is lost", { kind: "piecesScrapped", lostAt: "X/1", pieces: 1 }, ["notPlanned"]],
] as const)("%s: broken, mended, undone", async (_, trouble, breaks) => {
  const before = { shop: await shop(), view: await look() };
  const { breaks: broken, answers, edits, draftRevision } = await answerOf(trouble);
  const said = broken.conflicts.map(({ kind }) => kind).sort();
  expect(said).toEqual(expect.arrayContaining([...breaks]));
  expect(draftRevision).toBe(before.view.draft.revision);
  expect(answers.length).toBeGreaterThan(0);

  for (const { plan } of answers) {
    const ifMatch = `"${before.view.draft.revision}"`;
    const step = await server.ask<DraftAnswer>("POST", "/plan/steps", { body: { edits, plan, note: "Trouble" }, ifMatch });
    expect(step.status).toBe(200);
    expect(step.body.check.conflicts).toEqual([]);
    expect(await shop()).not.toEqual(before.shop);
    expect((await server.ask("POST", "/plan/draft/undo")).status).toBe(200);
    expect(await shop()).toEqual(before.shop);
    expect((await look()).draft.plan).toEqual(before.view.draft.plan);
  }
  // taken in without a repair, the plan shows exactly what was said to break
  const ifMatch = `"${before.view.draft.revision}"`;
  const left = await server.ask<DraftAnswer>("POST", "/plan/steps", { body: { edits, note: "As it is" }, ifMatch });
  expect(left.body.check.conflicts.map(({ kind }) => kind).sort()).toEqual(said);
});

test("a machine that stopped for nobody knows how long runs again: one step, taken back by one undo", async () => {
  const stop = await answerOf({ kind: "machineStopped", machine: "mill-a", until: null, reason: "Spindle" });
  const stopped = await server.ask<DraftAnswer>("POST", "/plan/steps", {
    ...{ body: { edits: stop.edits, note: "Stopped" }, ifMatch: `"${stop.draftRevision}"` },
  });
  expect(stopped.body.check.conflicts.map(({ kind }) => kind)).toContain("machineClosed");
  const standing = await shop();
  const runs = await answerOf({ kind: "machineRuns", machine: "mill-a" });
  expect(runs.breaks.conflicts).toEqual([]);
  const again = await server.ask<DraftAnswer>("POST", "/plan/steps", {
    ...{ body: { edits: runs.edits, note: "Runs again" }, ifMatch: `"${runs.draftRevision}"` },
  });
  expect(again.status).toBe(200);
  expect(again.body.check.conflicts.filter(({ kind }) => kind === "machineClosed")).toEqual([]);
  expect((await server.ask("POST", "/plan/draft/undo")).status).toBe(200);
  expect(await shop()).toEqual(standing);
});

test("a customer's new date breaks nothing and makes late; the answer says so", async () => {
  const { breaks, lateMinutes } = await answerOf({ kind: "dateChanged", order: "X", due: 500 });
  expect(breaks).toMatchObject({ conflicts: [], orders: [{ order: "X", due: 500, lateBefore: 0, lateAfter: 100 }] });
  expect(lateMinutes).toBe(100);
});

test("what contradicts the shop is told at its field and changes nothing", async () => {
  const before = await shop();
  expect(await tell({ kind: "runStopped", operation: "P/1", remaining: 10 })).toMatchObject({
    state: "failed",
    answer: null,
    error: expect.stringContaining("operation"),
  });
  const bad = await server.ask("POST", "/questions", { body: { kind: "trouble", trouble: { kind: "flood" } } });
  expect(bad.status).toBe(422);
  expect(await shop()).toEqual(before);
});
