/**
 * A contract on a shop whose limit is known by arithmetic: one lathe, 40 h a week, orders of 10 h, two people to serve it. Four a
 * week hold for ever; of five a week, 50 h, only 48 h pass before the first are due (five days and the Monday after).
 */
import { expect, test } from "vitest";
import { type ProblemFile, problemFileSchema, readProblemFile } from "../../../src/contract/problem-file.ts";
import { type ScenarioChange, type ScenarioChangeInput, scenarioChangeSchema } from "../../../src/contract/scenario/change.ts";
import { changedProblem } from "../../../src/contract/scenario/changed-problem.ts";
import { makePlan } from "../../../src/core/plan/make-plan.ts";
import { contractLoad } from "../../../src/core/scenario/contract-load.ts";

const operation = (id: string) => ({
  id,
  modes: [
    {
      id: "turn",
      machines: ["lathe"],
      phases: [{ kind: "run", flow: "pausable", work: { kind: "fixed", minutes: 600 }, needs: [{ skill: "turn" }] }],
    },
  ],
});

const file: ProblemFile = problemFileSchema.parse({
  format: "slotwright-problem",
  version: 1,
  name: "one lathe",
  zone: "UTC",
  origin: "2026-06-08",
  horizon: "2026-08-31",
  calendars: [{ id: "day", weekly: [{ days: [1, 2, 3, 4, 5], from: "07:00", until: "15:00" }] }],
  machines: [{ id: "lathe", calendar: "day" }],
  crews: [{ id: "turners", skills: ["turn"], calendar: "day", people: 200 }],
  orders: [{ id: "old", due: "2026-06-12", weight: 10, operations: [operation("old/1")] }],
});

function asked(perWeek: number, weeks: number, from: string, ...more: ScenarioChangeInput[]) {
  const read = readProblemFile(file);
  if (!read.ok) throw new Error(JSON.stringify(read.error));
  const before = { problem: read.value, plan: makePlan(read.value, { seed: 1, iterations: 20 }).plan };
  const route = { id: "shaft", operations: [operation("1")] };
  const contract = { kind: "newOrders", prefix: "C", route, perWeek, quantity: 1, from, weeks, leadDays: 7 };
  const changes = [contract, ...more].map((change): ScenarioChange => scenarioChangeSchema.parse(change));
  const changed = changedProblem(file, before.problem, changes);
  if (!changed.ok) throw new Error(JSON.stringify(changed.error));
  const { plan } = makePlan(changed.value, { seed: 1, iterations: 400 });
  const ids = changed.value.orders.map(({ id }) => id).filter((id) => id.startsWith("C-"));
  return contractLoad(before, { problem: changed.value, plan }, new Set(ids));
}

test("what fits into the hours holds, and the load of full weeks is what arithmetic says", () => {
  const answer = asked(4, 4, "2026-06-15");
  expect(answer).toMatchObject({ orders: 16, lateOrders: 0, breaks: null, harmed: [] });
  const week = answer.weeks.find((each) => each.week === "2026-06-22");
  expect(week).toMatchObject({ due: 4, late: 0 });
  expect(week?.load).toEqual([
    { kind: "machine", id: "lathe", used: 2400, there: 2400 },
    { kind: "crew", id: "turners", used: 2400, there: 4800 },
  ]);
});

test("ten hours too many a week break it in the week in which the first are due, at the lathe", () => {
  const answer = asked(5, 3, "2026-06-15");
  expect(answer.breaks).toMatchObject({ week: "2026-06-22", whose: "contract", bottleneck: { kind: "machine", id: "lathe" } });
  expect(answer.lateOrders).toBeGreaterThan(0);
});

test("another lathe carries it", () => {
  expect(asked(5, 3, "2026-06-15", { kind: "extraMachine", like: "lathe", id: "lathe 2" })).toMatchObject({
    breaks: null,
    lateOrders: 0,
  });
});

test("so does a second shift with its people", () => {
  const second: ScenarioChangeInput = {
    kind: "moreHours",
    crew: "turners",
    machines: ["lathe"],
    when: { from: "2026-06-15", last: "2026-07-24", days: [1, 2, 3, 4, 5], begin: "15:00", until: "19:00" },
  };
  expect(asked(5, 3, "2026-06-15", second)).toMatchObject({ breaks: null, lateOrders: 0 });
});

test("work that was there before and is pushed out of its promise breaks the contract too", () => {
  // In the first week 50 h lie before Friday's end; the contract's orders weigh more than the old one.
  const light: ProblemFile = { ...file, orders: file.orders.map((order) => ({ ...order, weight: 1 })) };
  const read = readProblemFile(light);
  if (!read.ok) throw new Error("no problem");
  const before = { problem: read.value, plan: makePlan(read.value, { seed: 1, iterations: 20 }).plan };
  const change = scenarioChangeSchema.parse({
    ...{ kind: "newOrders", prefix: "C", route: { id: "shaft", operations: [operation("1")] }, perWeek: 4, quantity: 1 },
    ...{ from: "2026-06-08", weeks: 1, leadDays: 4, weight: 50 },
  });
  const changed = changedProblem(light, before.problem, [change]);
  if (!changed.ok) throw new Error("no problem");
  const { plan } = makePlan(changed.value, { seed: 1, iterations: 400 });
  const ids = changed.value.orders.map(({ id }) => id).filter((id) => id.startsWith("C-"));
  const answer = contractLoad(before, { problem: changed.value, plan }, new Set(ids));
  expect(answer.harmed).toMatchObject([{ order: "old", before: 0 }]);
  expect(answer.breaks).toMatchObject({ whose: "other", order: "old" });
});
