/** Answers side by side and when a hold ends: worked by hand for a shop of one crew, Monday to Friday 07:00 to 15:00, in UTC. */
import { expect, test } from "vitest";
import type { FitAnswer } from "../../src/contract/api/questions/fit-answer.ts";
import { readProblemFile } from "../../src/contract/problem-file.ts";
import type { Problem } from "../../src/core/problem/problem.ts";
import { siteTime } from "../../web/present/site-time.ts";
import { endOfNextWorkingDay, measures, planWith } from "../../web/screens/fit/fit-model.ts";
import { at, smallWorkshop } from "../server/support/small-workshop.ts";

const read = readProblemFile(smallWorkshop());
if (!read.ok) throw new Error(JSON.stringify(read.error));
const problem: Problem = read.value;
const DAY = 1440;
const clock = (now: number) => siteTime("UTC", "2026-06-08T00:00:00Z", now);

test("a hold ends when people go home on the next day somebody works", () => {
  expect(endOfNextWorkingDay(problem, clock(420))).toBe(DAY + 900); // Monday: Tuesday 15:00
  expect(endOfNextWorkingDay(problem, clock(4 * DAY + 600))).toBe(7 * DAY + 900); // Friday: Monday 15:00
  expect(endOfNextWorkingDay({ crews: [] }, clock(420))).toBe(DAY + 17 * 60);
});

const answerOf = (change: Partial<FitAnswer>): FitAnswer => ({
  labels: [],
  finish: 600,
  late: 0,
  operations: [],
  moved: [],
  orders: [],
  ordersLate: [],
  lateness: 0,
  movement: 0,
  ordersMoved: 0,
  told: 0,
  machines: [],
  crews: [],
  cuts: [],
  nightMinutes: 0,
  nightMinutesChange: 0,
  cost: { parts: {} as FitAnswer["cost"]["parts"], total: 100 },
  money: null,
  conflicts: 0,
  changes: [],
  removed: [],
  ...change,
});
const late = { order: "P", weight: 3, due: 500, before: 480, after: 540, minutes: 60, lateBefore: 0, lateAfter: 40 };
const rows = (answers: readonly FitAnswer[], due: number | null = null) =>
  Object.fromEntries(
    measures(answers, { problem, time: clock(420), due, before: { finish: null, cost: { total: 90 } } }).map((row) => [
      row.key,
      row,
    ]),
  );

test("the best of a row is marked where answers differ in it, and late is said as late", () => {
  const table = rows(
    [answerOf({ finish: 540, ordersLate: [late], lateness: 120, orders: [late] }), answerOf({ finish: 720, late: 60 })],
    660,
  );
  expect(table.finish?.cells.map(({ lines, best }) => [lines[0], best])).toEqual([
    ["Mon 8 Jun 09:00", true],
    ["Mon 8 Jun 12:00", false],
  ]);
  expect(table.due?.cells.map(({ lines, tone }) => [lines[0], tone])).toEqual([
    ["2 h spare", null],
    ["1 h late", "late"],
  ]);
  expect(table.late?.cells.map(({ lines, best }) => [lines.join(), best])).toEqual([
    ["P +40 min, weight 3", false],
    ["none", true],
  ]);
  expect(table.cost?.cells.map(({ lines, best }) => [lines[0], best])).toEqual([
    ["+10 points", false],
    ["+10 points", false],
  ]);
  expect(Object.keys(table)).not.toContain("cuts"); // nothing is cut in any of them
  expect(Object.keys(table)).not.toContain("money"); // nobody gave rates
  const items = { machines: 80, people: 0, overtime: 0, night: 0, lateness: 0 };
  const priced = rows([
    answerOf({ money: { currency: "EUR", total: 80, items } }),
    answerOf({ money: { currency: "EUR", total: 95, items } }),
  ]);
  expect(priced.money?.cells.map(({ lines, best }) => [lines[0], best])).toEqual([
    ["+€80", true],
    ["+€95", false],
  ]);
});

test("an answer's plan is the draft with its changes in it, and nothing else touched", () => {
  const draft = { operations: [at("P/1", "mill-a", 420), at("Q/1", "mill-b", 420)] };
  const changed = answerOf({
    changes: [at("Q/1", "mill-a", 480), at("R/1", "mill-b", 420)] as unknown as FitAnswer["changes"],
    removed: ["P/1"],
  });
  expect(planWith(draft, changed)).toEqual({ operations: [at("Q/1", "mill-a", 480), at("R/1", "mill-b", 420)] });
});
