/**
 * The demo shop alive for two working days: planned anew every few hours and published, work going on as published in
 * between, a new order coming in and an operator reporting late work on the way. Audited after each step: the plan in
 * force never breaks a rule, nothing done is forgotten, minutes worked on a machine never shrink.
 */
import { afterAll, beforeAll, expect, test } from "vitest";
import { makePlan } from "../../src/core/plan/make-plan.ts";
import type { Problem } from "../../src/core/problem/problem.ts";
import { cautionsNow } from "../../src/server/actions/cautions.ts";
import { reportProgress } from "../../src/server/actions/decide-operation.ts";
import { appendPlan } from "../../src/server/actions/edit-draft.ts";
import { orderBody, saveOrder } from "../../src/server/actions/edit-shop.ts";
import { LEAD_MINUTES, withLead } from "../../src/server/actions/plan-ahead.ts";
import { emptyMemory, type Office, planningState } from "../../src/server/actions/planning-state.ts";
import { publishPlan } from "../../src/server/actions/publish-plan.ts";
import { loadDemo } from "../../src/server/exchange/load-demo.ts";
import { openStore, type StoreConnection } from "../../src/server/store/store.ts";
import { type FreshDatabase, freshDatabase } from "../server/support/fresh-database.ts";

const PLANNER = { id: "p", name: "Planner", role: "planner" } as const;
const ITERATIONS = 150;
let database: FreshDatabase;
let store: StoreConnection;
let now = new Date("2026-06-10T04:40:00Z"); // Wednesday, 06:40 at the site
let office: Office;

beforeAll(async () => {
  database = await freshDatabase();
  store = openStore(database.url);
  office = { store, clock: () => now, memory: emptyMemory() };
  await loadDemo(store, now);
});
afterAll(async () => {
  await store.close();
  await database.drop();
});

const pass = (minutes: number): void => {
  now = new Date(now.getTime() + minutes * 60_000);
};

/** Plans as a run does, looks at it for some minutes, publishes. */
async function planAndPublish(seed: number): Promise<void> {
  const { problem, plan } = await planningState(office);
  const outcome = makePlan(withLead(problem, LEAD_MINUTES), { seed, iterations: ITERATIONS, start: plan });
  await appendPlan(office, PLANNER.name, outcome.plan, "Planned");
  pass(LEAD_MINUTES - 2);
  const { draft, check } = await planningState(office);
  expect(check.conflicts.map((conflict) => conflict.sentence)).toEqual([]);
  const cautions = (await cautionsNow(office, undefined)).map(({ id }) => ({ caution: id, by: PLANNER.name }));
  await publishPlan(office, PLANNER, { note: "", cautions }, draft.number);
}

/** Pieces done of each operation. */
const done = ({ operations }: Problem): Map<string, number> =>
  new Map(operations.map(({ id, progress }) => [id, progress.done.reduce((sum, lot) => sum + lot.pieces, 0)]));

function nothingForgotten(before: Problem, after: Problem): void {
  const earlier = done(before);
  for (const [id, pieces] of done(after)) expect(pieces, id).toBeGreaterThanOrEqual(earlier.get(id) ?? 0);
}

test("two days", { timeout: 240_000 }, async () => {
  let last = (await planningState(office)).problem;
  for (let step = 0; step < 6; step++) {
    await planAndPublish(step);
    const published = await planningState(office);
    nothingForgotten(last, published.problem);
    pass(step % 2 === 0 ? 310 : 720); // through shifts and nights
    const later = await planningState(office);
    expect(later.check.conflicts.map((conflict) => conflict.sentence)).toEqual([]);
    nothingForgotten(published.problem, later.problem);
    last = later.problem;
    if (step === 1) {
      const { body } = await orderBody(store, "2106");
      const rename = (id: string) => id.replace("2106", "9106");
      const operations = body.operations.map((operation) => ({
        ...operation,
        id: rename(operation.id),
        progress: { done: [], running: [] },
      }));
      const links = body.links.map((link) => ({ ...link, id: rename(link.id), from: rename(link.from), to: rename(link.to) }));
      await saveOrder(office, PLANNER, "9106", { ...body, id: "9106", operations, links }, null);
    }
    if (step === 3) {
      const late = later.problem.operations.find((operation) => (operation.progress.running[0]?.remaining ?? 0) > 0);
      const running = late?.progress.running[0];
      if (!late || !running) throw new Error("something runs in the middle of the day");
      await reportProgress(office, PLANNER, {
        kind: "remaining",
        operation: late.id,
        remaining: running.remaining + 45,
        working: running.working,
      });
      last = (await planningState(office)).problem;
    }
  }
});
