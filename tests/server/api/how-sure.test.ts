/** "How sure is this plan?" asked over HTTP and answered by the worker's threads; the shop's own settings change the answer. */
import { afterAll, beforeAll, expect, test } from "vitest";
import type { HowSure } from "../../../src/contract/api/how-sure.ts";
import type { OrderLog } from "../../../src/contract/api/order-log.ts";
import type { PlanView } from "../../../src/contract/api/plan.ts";
import type { QuestionView } from "../../../src/contract/api/question.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { DEFAULT_RISK_PROFILE } from "../../../src/core/risk/risk-profile.ts";
import { howSure } from "../../../src/core/risk/risk-report.ts";
import { type ShopServer, shopServer } from "../support/shop-server.ts";
import { goodPlan, smallWorkshop } from "../support/small-workshop.ts";

let server: ShopServer;
beforeAll(async () => {
  server = await shopServer({ solverWorkers: "inside" });
  expect((await server.ask("PUT", "/shop", { body: smallWorkshop() })).status).toBe(200);
  const { etag } = await server.ask("GET", "/plan");
  expect((await server.ask("PUT", "/plan/draft", { body: { plan: goodPlan(), note: "" }, ifMatch: etag })).status).toBe(200);
});
afterAll(() => server.close());

async function answered(body: object): Promise<QuestionView<"risk">> {
  const { status, body: started } = await server.ask<{ id: string }>("POST", "/questions", { body: { kind: "risk", ...body } });
  expect(status).toBe(202);
  for (;;) {
    const { body: question } = await server.ask<QuestionView<"risk">>("GET", `/questions/${started.id}`);
    if (!["queued", "running", "cancelling"].includes(question.state)) return question;
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
}
const latest = async () => (await server.ask<HowSure>("GET", "/plan/how-sure")).body.latest;

test("asked, it gives the core's own numbers, and says when they are out of date", async () => {
  expect(await latest()).toBeNull();
  const { problem, draft } = (await server.ask<PlanView>("GET", "/plan")).body;
  const question = await answered({ runs: 400, seed: 9 });
  expect(question.state).toBe("done");
  const expected = howSure(problem as unknown as Problem, draft.plan, { seed: 9, runs: 400 });
  expect(question.answer?.orders).toEqual(expected.orders);
  expect(question.answer).toMatchObject({ runs: 400, seed: 9, measured: false, end: expected.end });
  expect(await latest()).toMatchObject({ stale: false, draftRevision: draft.revision, answer: { seed: 9 } });

  // What the shop has measured itself is taken from then on.
  const always = { best: 3, likely: 3, worst: 3 };
  const risk = { durations: { run: always }, stops: { "mill-a": { meanBetween: 600, meanRepair: 30 } } };
  expect((await server.ask("PUT", "/settings/risk", { body: { stops: { lathe: risk.stops["mill-a"] } } })).status).toBe(422);
  const falling = { durations: { run: { best: 2, likely: 1, worst: 1 } } };
  const refused = await server.ask("PUT", "/settings/risk", { body: falling });
  expect([refused.status, refused.body.faults?.[0]?.pointer]).toEqual([422, "/durations/run"]);
  expect((await server.ask("PUT", "/settings/risk", { body: risk })).status).toBe(200);
  const own = await answered({ runs: 400, seed: 9 });
  const profile = { ...DEFAULT_RISK_PROFILE, durations: { ...DEFAULT_RISK_PROFILE.durations, run: always }, stops: risk.stops };
  expect(own.answer?.measured).toBe(true);
  expect(own.answer?.orders).toEqual(howSure(problem as unknown as Problem, draft.plan, { seed: 9, runs: 400, profile }).orders);

  const { etag } = await server.ask("GET", "/plan");
  await server.ask("PUT", "/plan/draft", { body: { plan: { operations: [] }, note: "" }, ifMatch: etag });
  expect((await latest())?.stale).toBe(true);
  const nothing = await answered({});
  expect([nothing.state, nothing.answer]).toEqual(["failed", null]);
  expect(nothing.error).toMatch(/draft is empty/);
}, 240_000);

test("the log of an order tells who changed which field of it and of its operations, and nothing of others", async () => {
  const { etag, body } = await server.ask<object>("GET", "/orders/P");
  expect((await server.ask("PUT", "/orders/P", { body: { ...body, due: 3000, weight: 4 }, ifMatch: etag })).status).toBe(200);
  await server.ask("POST", "/plan/pins", { body: { operation: "P/1", pin: { machines: ["mill-b"], start: null } } });
  await server.ask("POST", "/plan/pins", { body: { operation: "Q/1", pin: { machines: ["mill-b"], start: null } } });
  const log = (await server.ask<OrderLog>("GET", "/orders/P/log")).body;
  expect(log.items.map(({ action, operation }) => [action, operation])).toEqual([
    ["pinned", "P/1"],
    ["changed", null],
  ]);
  expect(log.items[1]?.fields.toSorted()).toEqual(["due", "weight"]);
  expect((await server.ask("GET", "/orders/nobody/log")).status).toBe(404);
});
