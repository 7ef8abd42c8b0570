/** Benchmark instances as planning problems: recognised again, by their shape alone, as the very instance they were made from. */
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  problemFromFlexible,
  problemFromJobShop,
  problemFromRcpsp,
  problemFromSetup,
} from "../../src/contract/benchmark-problem.ts";
import type { Problem } from "../../src/core/problem/problem.ts";
import { classicalShape } from "../../src/core/solve/classical-shape.ts";

const MACHINES = 4;
const duration = fc.integer({ min: 1, max: 99 });
/** Jobs that visit each machine at most once. */
const jobs = <Extra extends object>(extra: fc.Arbitrary<Extra>) =>
  fc.array(
    fc
      .shuffledSubarray([0, 1, 2, 3], { minLength: 1 })
      .chain((route) =>
        fc.tuple(...route.map((machine) => fc.tuple(duration, extra).map(([d, more]) => ({ machine, duration: d, ...more })))),
      ),
    { minLength: 1, maxLength: 12 },
  );
const nothing = fc.constant({});
const long = (problem: Problem): number => problem.horizon;

describe("what goes in is what the engine sees", () => {
  test("job shop", () => {
    fc.assert(
      fc.property(jobs(nothing), (list) => {
        const shop = { machines: MACHINES, jobs: list };
        expect(classicalShape(problemFromJobShop(shop, "x"))).toMatchObject({ kind: "jobShop", shop });
      }),
      { seed: 1 },
    );
  });

  test("flexible job shop, also with a machine offered twice", () => {
    const choices = fc.array(fc.record({ machine: fc.nat(MACHINES - 1), duration }), { minLength: 2, maxLength: 4 });
    fc.assert(
      fc.property(fc.array(fc.array(choices, { minLength: 1, maxLength: 4 }), { minLength: 1, maxLength: 11 }), (list) => {
        const shop = { machines: MACHINES, jobs: list };
        const problem = problemFromFlexible(shop, "x");
        expect(classicalShape(problem)).toMatchObject({ kind: "flexible", shop });
        for (const { modes } of problem.operations) expect(new Set(modes.map(({ id }) => id)).size).toBe(modes.length);
      }),
      { seed: 2 },
    );
  });

  test("job shop with setups: the table and the first setups too", () => {
    const minutes = fc.integer({ min: 0, max: 40 });
    const table = fc.tuple(
      fc.array(minutes, { minLength: 3, maxLength: 3 }),
      fc.array(fc.array(minutes, { minLength: 3, maxLength: 3 }), { minLength: 3, maxLength: 3 }),
    );
    fc.assert(
      fc.property(jobs(fc.record({ family: fc.nat(2) })), table, (list, [firstSetup, setup]) => {
        const shape = classicalShape(problemFromSetup({ machines: MACHINES, jobs: list, firstSetup, setup }, "x"));
        if (shape?.kind !== "setups") throw new Error(`recognised as ${shape?.kind}`);
        expect(shape.shop.jobs).toEqual(list);
        expect(shape.shop.firstSetup.slice(0, 3)).toEqual(firstSetup);
        expect(shape.shop.setup.slice(0, 3).map((row) => row.slice(0, 3))).toEqual(setup);
      }),
      { seed: 3 },
    );
  });

  test("project: capacities, demands and successors", () => {
    const activity = fc.record({
      duration: fc.integer({ min: 0, max: 10 }),
      demands: fc.tuple(fc.nat(5), fc.nat(3)),
      next: fc.array(fc.nat(20), { maxLength: 3 }),
    });
    fc.assert(
      fc.property(fc.array(activity, { minLength: 1, maxLength: 15 }), (list) => {
        const activities = list.map(({ duration: d, demands, next }, i) => ({
          duration: d,
          demands: d === 0 ? [0, 0] : demands,
          successors: [...new Set(next.map((step) => i + 1 + step).filter((to) => to < list.length))],
        }));
        const project = { capacities: [5, 3], activities };
        expect(classicalShape(problemFromRcpsp(project, "x"))).toMatchObject({ kind: "project", project });
      }),
      { seed: 4 },
    );
  });
});

test("doing everything one after the other fits the horizon, which is no longer than that", () => {
  const visit = (machine: number, d: number) => ({ machine, duration: d });
  expect(long(problemFromJobShop({ machines: 2, jobs: [[visit(0, 3), visit(1, 4)], [visit(1, 5)]] }, "x"))).toBe(12);
  expect(long(problemFromFlexible({ machines: 2, jobs: [[[visit(0, 3), visit(1, 4)]]] }, "x"))).toBe(4);
  expect(
    long(problemFromSetup({ machines: 1, jobs: [[{ ...visit(0, 3), family: 0 }]], firstSetup: [7], setup: [[2]] }, "x")),
  ).toBe(10);
  expect(long(problemFromRcpsp({ capacities: [], activities: [{ duration: 6, demands: [], successors: [] }] }, "x"))).toBe(6);
});
