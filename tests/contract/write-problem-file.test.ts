/** Import of export is identity: for the examples, for benchmark instances and for random shops. */
import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import {
  problemFromFlexible,
  problemFromJobShop,
  problemFromRcpsp,
  problemFromSetup,
} from "../../src/contract/benchmark-problem.ts";
import { readProblemFile, readProblemText } from "../../src/contract/problem-file.ts";
import { writeProblemFile } from "../../src/contract/write-problem-file.ts";
import { clip } from "../../src/core/calendar/intervals.ts";
import { CALENDAR_LEAD_MINUTES } from "../../src/core/calendar/minute.ts";
import { valueAt } from "../../src/core/calendar/step-function.ts";
import type { Problem } from "../../src/core/problem/problem.ts";
import { tinyProblem } from "../arbitraries/tiny-problem.ts";
import { smallShop } from "./small-shop.ts";

const read = (json: unknown): Problem => {
  const result = readProblemFile(json);
  if (!result.ok) throw new Error(JSON.stringify(result.error));
  return result.value;
};
/** Through text, as a file would go. */
const again = (problem: Problem): Problem => read(JSON.parse(JSON.stringify(writeProblemFile(problem))));

describe("a problem that came from a file comes back the same", () => {
  test("the small shop with every part of the format", () => {
    const problem = read(smallShop());
    expect(again(problem)).toEqual(problem);
  });

  const folder = new URL("../../seed/examples/", import.meta.url);
  for (const name of readdirSync(folder).filter((file) => file.endsWith(".json")))
    test(name, () => {
      const result = readProblemText(readFileSync(new URL(name, folder), "utf8"));
      expect(result.ok).toBe(true);
      if (result.ok) expect(again(result.value)).toEqual(result.value);
    });

  test("benchmark instances", () => {
    const visit = (machine: number, duration: number) => ({ machine, duration });
    const problems = [
      problemFromJobShop({ machines: 2, jobs: [[visit(0, 3), visit(1, 4)], [visit(1, 5)]] }, "j"),
      problemFromFlexible({ machines: 2, jobs: [[[visit(0, 3), visit(1, 4)]]] }, "f"),
      problemFromSetup(
        {
          machines: 2,
          jobs: [[{ ...visit(0, 3), family: 1 }]],
          firstSetup: [7, 8],
          setup: [
            [2, 3],
            [4, 5],
          ],
        },
        "s",
      ),
      problemFromRcpsp(
        {
          capacities: [4, 0],
          activities: [
            { duration: 6, demands: [2, 0], successors: [1] },
            { duration: 0, demands: [0, 0], successors: [] },
          ],
        },
        "p",
      ),
    ];
    for (const problem of problems) expect(again(problem)).toEqual(problem);
  });
});

test("random shops made by hand keep everything between the lead and the horizon", () => {
  let compared = 0;
  for (let seed = 1; seed <= 100; seed += 1) {
    const made = tinyProblem(seed, { operations: 5 });
    // A rule about a machine that its operations never visit says nothing; files refuse it.
    const problem = {
      ...made,
      runHourRules: made.runHourRules.filter((rule) =>
        rule.operations.every((id) =>
          made.operations.find((o) => o.id === id)?.modes.some((m) => m.machines.includes(rule.machine)),
        ),
      ),
    };
    const result = readProblemFile(JSON.parse(JSON.stringify(writeProblemFile(problem))));
    if (!result.ok) {
      // Names of calibrations and skills that nobody has are refused, and nothing else.
      expect(
        result.error.filter(({ message }) => !/no machine has a calibration|no crew has the skill/.test(message)),
        `seed ${seed}`,
      ).toEqual([]);
      continue;
    }
    compared += 1;
    const back = result.value;
    expect(again(back), `seed ${seed}`).toEqual(back);
    const inside = (list: Problem["machines"][number]["open"]) => clip(list, -CALENDAR_LEAD_MINUTES, problem.horizon);
    expect(back.machines.map(({ open }) => open)).toEqual(problem.machines.map(({ open }) => inside(open)));
    expect(back.crews.map(({ present, unsocial }) => [present, unsocial])).toEqual(
      problem.crews.map(({ present, unsocial }) => [inside(present), inside(unsocial)]),
    );
    for (let minute = -100; minute < problem.horizon; minute += 1) {
      const amounts = (p: Problem) =>
        [
          ...p.crews.map(({ headcount }) => headcount),
          ...p.supplies.map(({ amount }) => amount),
          ...p.kits.map(({ count }) => count),
        ].map((step) => valueAt(step, minute));
      expect(amounts(back), `seed ${seed}, minute ${minute}`).toEqual(amounts(problem));
    }
    const byOrder = problem.orders.flatMap((order) => problem.operations.filter((operation) => operation.order === order.id));
    expect(back.operations).toEqual(byOrder);
    expect([back.links, back.kitSpans, back.runHourRules, back.weights, back.now]).toEqual([
      problem.links,
      problem.kitSpans,
      problem.runHourRules,
      problem.weights,
      problem.now,
    ]);
  }
  expect(compared).toBeGreaterThan(50);
});
