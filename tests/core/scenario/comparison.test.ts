/** Two plans of one small shop side by side, every figure by hand. */
import { expect, test } from "vitest";
import { makePlan } from "../../../src/core/plan/make-plan.ts";
import { comparePlans } from "../../../src/core/scenario/comparison.ts";
import { tinyProblem } from "../../arbitraries/tiny-problem.ts";
import { crew, machine, mode, operation, order, plan, prepare, put, run, shop, table, unattended } from "../check/shop.ts";

const setup = table(
  ["V", "T"],
  [
    [10, 50],
    [45, 15],
  ],
);
const problem = shop({
  crews: [crew("day", { people: 200 }), crew("other")],
  machines: [machine("m", { setup, family: "V" }), machine("n")],
  orders: [order("a", { due: 700 }), order("b", { due: 480 })],
  operations: [
    operation("x", { order: "a", family: "T", phases: [prepare(10), run(60)] }),
    operation("y", { order: "b", modes: [mode("m", ["m"], [run(60)]), mode("n", ["n"], [run(60)])] }),
    operation("z", { order: "a", machines: ["n"], phases: [unattended(300)] }),
  ],
});
const first = plan(
  problem,
  put("x", [
    [420, 480],
    [480, 540],
  ]),
  put("y", [[420, 480]], { mode: "n" }),
  put("z", [[480, 780]]),
);
const second = plan(
  problem,
  put("x", [
    [480, 540],
    [540, 600],
  ]),
  put("y", [[420, 480]], { mode: "m", crews: [["other"]] }),
  put("z", [[720, 1020]]),
);

test("measures, moves and who is told anew", () => {
  const { measures, orders, operations, toldAnew } = comparePlans(problem, first, second);
  expect(measures[0]).toMatchObject({
    conflicts: 0,
    end: 780,
    lateOrders: 1,
    lateMinutes: 80,
    setupMinutes: 50,
    unattendedNightMinutes: 0,
  });
  // z works from 900, the end of the shift, to 1020 with nobody on site.
  expect(measures[1]).toMatchObject({
    conflicts: 0,
    end: 1020,
    lateOrders: 1,
    lateMinutes: 320,
    setupMinutes: 50,
    unattendedNightMinutes: 120,
  });
  expect(measures[0].load).toEqual([
    { machine: "m", weeks: [{ week: 0, occupied: 120, open: 10_080 }] },
    { machine: "n", weeks: [{ week: 0, occupied: 360, open: 10_080 }] },
  ]);
  expect(orders).toEqual([
    { order: "a", due: 700, ends: [780, 1020], late: [80, 320], moved: 240, becomesLate: false, becomesOnTime: false },
  ]);
  expect(operations).toEqual([
    { operation: "x", moved: 60, otherMachine: false, otherCrews: false, lots: [1, 1] },
    { operation: "y", moved: 0, otherMachine: true, otherCrews: true, lots: [1, 1] },
    { operation: "z", moved: 240, otherMachine: false, otherCrews: false, lots: [1, 1] },
  ]);
  expect(toldAnew).toEqual({ machines: ["m", "n"], crews: ["day", "other"] });
});

test("a plan differs from itself in nothing; turned round, differences change their sign", () => {
  for (const seed of [3, 8, 21]) {
    const shopOf = tinyProblem(seed);
    const [a, b] = [1, 2].map((k) => makePlan(shopOf, { seed: k, iterations: k * 5 }).plan);
    if (a === undefined || b === undefined) throw new Error("no plans");
    expect(comparePlans(shopOf, a, a)).toMatchObject({ orders: [], operations: [], toldAnew: { machines: [], crews: [] } });
    const there = new Map(comparePlans(shopOf, a, b).orders.map(({ order: id, moved }) => [id, moved]));
    for (const { order: id, moved } of comparePlans(shopOf, b, a).orders)
      expect(there.get(id)).toBe(moved === null ? null : -moved);
  }
});
