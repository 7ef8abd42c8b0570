/** Rush and promise asked of a real worker: answers arrive, one is adopted and taken back as one step, dates are those of the simulation. */
import { afterAll, beforeAll, expect, test } from "vitest";
import { orderBodySchema } from "../../../src/contract/api/order.ts";
import type { DraftAnswer, PlanView } from "../../../src/contract/api/plan.ts";
import type { QuestionInput, QuestionKind, QuestionView } from "../../../src/contract/api/question.ts";
import type { FitAnswer } from "../../../src/contract/api/questions/fit-answer.ts";
import { applyEditsToFile } from "../../../src/contract/apply-edits.ts";
import { type ProblemFile, problemFileSchema, readProblemFile } from "../../../src/contract/problem-file.ts";
import { check } from "../../../src/core/check/checker.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { howSure } from "../../../src/core/risk/risk-report.ts";
import { applyEdit } from "../../../web/board/plan-edit.ts";
import { type ShopServer, shopServer } from "../support/shop-server.ts";
import { at, jobOrder, smallWorkshop } from "../support/small-workshop.ts";

let server: ShopServer;
const RUSH = jobOrder("R", 700, 2);
/** Both mills are taken until 12:00 of the first day; only Q may move. */
const busy = {
  operations: [at("P/1", "mill-a", 420), at("X/1", "mill-b", 420), at("Q/1", "mill-a", 480), at("X/2", "mill-b", 480)],
};

beforeAll(async () => {
  server = await shopServer({ solverWorkers: "inside" });
  const shop = smallWorkshop();
  const orders = (shop.orders ?? []).map((order) => (order.id === "Q" ? order : { ...order, due: 540 }));
  expect((await server.ask("PUT", "/shop", { body: { ...shop, orders } })).status).toBe(200);
  const { etag } = await server.ask("GET", "/plan");
  expect((await server.ask("PUT", "/plan/draft", { body: { plan: busy }, ifMatch: etag })).status).toBe(200);
});
afterAll(() => server.close());

const look = async (): Promise<PlanView> => (await server.ask<PlanView>("GET", "/plan")).body;

async function answer<K extends QuestionKind>(input: QuestionInput<K>): Promise<QuestionView<K>> {
  const asked = await server.ask<{ id: string }>("POST", "/questions", { body: input });
  expect(asked.status).toBe(202);
  let view: QuestionView<K> | null = null;
  await expect
    .poll(
      async () => {
        view = (await server.ask<QuestionView<K>>("GET", `/questions/${asked.body.id}`)).body;
        return view.state;
      },
      { timeout: 60_000, interval: 200 },
    )
    .not.toMatch(/queued|running/);
  return view as unknown as QuestionView<K>;
}

const planOf = (view: PlanView, { changes, removed }: FitAnswer): Plan =>
  applyEdit(view.draft.plan as Plan, {
    note: "",
    changes: [
      ...changes.map((planned) => ({ operation: planned.operation, planned })),
      ...removed.map((operation) => ({ operation, planned: null })),
    ],
  });

/** The shop with the order in it, read like any file. */
async function joined(): Promise<Problem> {
  const file: ProblemFile = problemFileSchema.parse((await server.ask<unknown>("GET", "/shop/export")).body);
  const read = readProblemFile(applyEditsToFile(file, [{ kind: "orders", id: "R", after: orderBodySchema.parse(RUSH) }]));
  if (!read.ok) throw new Error(JSON.stringify(read.error));
  return read.value;
}

test("a rush order: answers that hold in the shop with it; one adopted in one step, and taken back whole by one undo", async () => {
  const before = await look();
  const { state, answer: rush, draftRevision } = await answer<"rush">({ kind: "rush", order: RUSH });
  expect([state, draftRevision, rush?.blocked]).toEqual(["done", before.draft.revision, []]);
  const answers = rush?.answers ?? [];
  expect(answers.length).toBeGreaterThanOrEqual(2);
  expect(answers.map(({ finish }) => finish)).toEqual(answers.map(({ finish }) => finish).sort((a, b) => a - b));
  const problem = await joined();
  for (const fit of answers) {
    const plan = planOf(before, fit);
    expect(check(problem, plan).conflicts).toEqual([]);
    const moved = (before.draft.plan as Plan).operations.filter(
      (old) => JSON.stringify(plan.operations.find(({ operation }) => operation === old.operation)) !== JSON.stringify(old),
    );
    expect(fit.moved.map(({ operation }) => operation).sort()).toEqual(moved.map(({ operation }) => operation).sort());
  }
  const still = answers.find(({ labels }) => labels.includes("nothingMoves"));
  expect(still?.moved).toEqual([]);
  expect(answers[0]?.finish).toBeLessThan(still?.finish ?? 0);

  const chosen = answers[0] as FitAnswer;
  const step = await server.ask<DraftAnswer>("POST", "/plan/steps", {
    body: { edits: [{ kind: "orders", id: "R", after: RUSH }], plan: planOf(before, chosen), note: "Rush order R" },
    ifMatch: `"${before.draft.revision}"`,
  });
  expect([step.status, step.body.check.conflicts]).toEqual([200, []]);
  expect((await look()).problem.orders.map(({ id }) => id)).toContain("R");
  expect((await server.ask("POST", "/plan/draft/undo")).status).toBe(200);
  const after = await look();
  expect([after.problem.orders, after.draft.plan]).toEqual([before.problem.orders, before.draft.plan]);
});

test("a promise: the date that moves nobody, with the dates the simulation of that very plan gives", async () => {
  const view = await look();
  const { state, answer: promise } = await answer<"promise">({ kind: "promise", order: RUSH, runs: 400 });
  expect(state).toBe("done");
  const date = promise?.asItStands;
  expect(date?.fit.moved).toEqual([]);
  expect(date?.finish).toBe(600); // both mills are free from 09:00, an hour of work for each
  const plan = planOf(view, date?.fit as FitAnswer);
  const [p80, p95] = date?.confidence?.dates ?? [];
  expect([p80?.percent, p95?.percent, date?.confidence?.runs]).toEqual([80, 95, 400]);
  // Another seed than the worker's, and the report of the core: two estimates of one date, both from hundreds of courses.
  const sure = howSure(await joined(), plan, { seed: 7, runs: 2000 }).orders.find(({ order }) => order === "R");
  expect(Math.abs((p80?.finish ?? 0) - (sure?.dates.p80 ?? 0))).toBeLessThanOrEqual(10);
  expect(Math.abs((p95?.finish ?? 0) - (sure?.dates.p95 ?? 0))).toBeLessThanOrEqual(20);
  expect(p80?.finish).toBeGreaterThan(date?.finish ?? 0);
  expect(p95?.finish).toBeGreaterThanOrEqual(p80?.finish ?? 0);
  expect(promise?.assumptions.map(({ kind }) => kind)).toEqual(
    expect.arrayContaining(["materialOnHand", "pieces", "asPlanned", "nothingElseOrdered", "risk"]),
  );
  expect(promise?.assumptions.find(({ kind }) => kind === "materialOnHand")?.sentence).toBe(
    "Material and drawings are on hand by Mon 8 Jun 07:00.",
  );
});

test("an order that cannot be read is told with its place; one of the book is asked for by its number", async () => {
  const twice = await answer<"rush">({ kind: "rush", order: jobOrder("P") });
  expect([twice.state, twice.error]).toEqual(["failed", expect.stringContaining('order "P" in the book already')]);
  const wrong = {
    ...RUSH,
    operations: RUSH.operations.map((operation) => ({
      ...operation,
      modes: operation.modes.map((mode) => ({ ...mode, machines: ["lathe"] })),
    })),
  };
  const unread = await answer<"promise">({ kind: "promise", order: wrong });
  expect([unread.state, unread.error]).toEqual(["failed", expect.stringContaining("lathe")]);
  const own = await answer<"rush">({ kind: "rush", order: "Q" });
  expect(own.answer?.before.finish).toBe(540);
  expect(own.answer?.answers.every(({ money }) => money === null)).toBe(true);
  // an hour's work, the clock at 07:00
  expect(own.answer?.soonest).toMatchObject({ finish: 480, reasons: [{ operation: "Q/1", start: 420 }] });
});

test("where the shop gives rates, an answer says what it costs: two hours on the mills at 45 an hour", async () => {
  const rates = {
    currency: "EUR",
    machineHour: { "mill-a": 45, "mill-b": 45 },
    crewHour: {},
    nightHour: null,
    overtimePercent: null,
    lateDay: null,
  };
  const { etag } = await server.ask("GET", "/settings/rates");
  const settled = await server.ask("PUT", "/settings/rates", { body: rates, ifMatch: etag });
  expect(settled.status, JSON.stringify(settled.body)).toBeLessThan(300);
  const { answer: promise } = await answer<"promise">({ kind: "promise", order: RUSH, runs: 0, onlyAsItStands: true });
  expect(promise?.asItStands?.fit.money).toMatchObject({ currency: "EUR", total: 90, items: { machines: 90 } });
});
