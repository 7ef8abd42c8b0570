/** Repairs after a machine stop or a rush order: checked answers, nobody moved without need, and the second answer never dearer. */
import { expect, test } from "vitest";
import { subtract } from "../../../src/core/calendar/intervals.ts";
import { check } from "../../../src/core/check/checker.ts";
import { createRandom } from "../../../src/core/ground/prng.ts";
import { improveRepair } from "../../../src/core/plan/improve-repair.ts";
import { makePlan } from "../../../src/core/plan/make-plan.ts";
import { repairPlan } from "../../../src/core/plan/repair.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { tinyProblem } from "../../arbitraries/tiny-problem.ts";
import { conflictKeys, referenceCheck } from "../../reference/checker.ts";
import { crew, lag, machine, mode, need, operation, order, phase, shop } from "../solve/shop.ts";

test("random tiny shops with a machine stopped: repairPlan refuses plans with conflicts of our making", () => {
  let answers = 0;
  for (let seed = 1; seed <= 60; seed++) {
    const problem = tinyProblem(seed);
    const { plan } = makePlan(problem, { seed, iterations: 10 });
    const random = createRandom(seed);
    const from = problem.now + random.int(40);
    const stopped = random.int(problem.machines.length);
    const machines = problem.machines.map((entry, i) =>
      i === stopped ? { ...entry, open: subtract(entry.open, [[from, from + 12]]) } : entry,
    );
    answers += repairPlan({ ...problem, machines }, plan, { seed, steps: 30 }).length;
  }
  expect(answers).toBeGreaterThanOrEqual(60);
});

/** Six orders of two steps on two machines, two weeks of slack each. */
function slackShop(): Problem {
  const attended = { needs: [need("operate")] };
  const step = (id: string, orderId: string, on: string) =>
    operation(id, [mode([on], [phase("run", "pausable", 180, attended)])], { order: orderId });
  const ids = [1, 2, 3, 4, 5, 6].map((n) => `o${n}`);
  return shop({
    crews: [crew("day", ["operate"], 200)],
    machines: [machine("m"), machine("n")],
    orders: ids.map((id, i) => order(id, { due: 6000 + i * 3000 })),
    operations: ids.flatMap((id) => [step(`${id}a`, id, "m"), step(`${id}b`, id, "n")]),
    links: ids.map((id) => lag(`${id}a`, `${id}b`)),
  });
}

test("a stop where nothing runs moves nobody", () => {
  const problem = slackShop();
  const { plan } = makePlan(problem, { seed: 1, iterations: 200 });
  const machines = problem.machines.map((entry) => ({ ...entry, open: subtract(entry.open, [[30_000, 31_000]]) }));
  const repaired = repairPlan({ ...problem, machines }, plan, { seed: 1 });
  expect(repaired.map(({ kind, moved }) => ({ kind, moved }))).toEqual([{ kind: "leastMovement", moved: [] }]);
  expect(repaired[0]!.plan).toEqual(plan);
});

test("a rush order is answered without harm to others, and once with others making room", () => {
  const problem = slackShop();
  const { plan } = makePlan(problem, { seed: 1, iterations: 200 });
  const attended = { needs: [need("operate")] };
  const rush = order("rush", { due: 700, weight: 9 });
  const rushed: Problem = {
    ...problem,
    orders: [...problem.orders, rush],
    operations: [...problem.operations, operation("r", [mode(["m"], [phase("run", "solid", 120, attended)])], { order: "rush" })],
  };
  const repaired = repairPlan(rushed, plan, { seed: 1, steps: 400 });
  const still = repaired.find(({ kind }) => kind === "leastMovement")!;
  const pushed = repaired.find(({ kind }) => kind === "leastLateness")!;
  expect(still.moved).toEqual([]);
  expect(still.conflicts).toEqual([]);
  expect(pushed.conflicts).toEqual([]);
  expect(pushed.cost.parts.tardiness).toBe(0);
  expect(still.cost.parts.tardiness).toBeGreaterThan(0);
  expect(pushed.moved.length).toBeLessThanOrEqual(6);
});

test("a repair improved in the background: each answer better than the last, work elsewhere untouched, and an end of its own", () => {
  let improved = 0;
  for (let seed = 1; seed <= 25; seed++) {
    const problem = tinyProblem(seed);
    const { plan } = makePlan(problem, { seed, iterations: 60 });
    const [first] = problem.machines;
    if (first === undefined) continue;
    const machines = [
      { ...first, open: subtract(first.open, [[problem.now + 5, problem.now + 25]]) },
      ...problem.machines.slice(1),
    ];
    const changed: Problem = { ...problem, machines };
    const start = repairPlan(changed, plan, { seed, steps: 5 }).at(-1)!;
    let last = start;
    let slices = 0;
    for (const step of improveRepair(changed, plan, start, { seed, slice: 20 })) {
      slices = step.slices;
      if (!step.better) {
        expect(step.best).toBe(last);
        continue;
      }
      improved++;
      const worth = (answer: typeof start): number => answer.conflicts.length * 1e12 + answer.cost.total;
      expect(worth(step.best), `seed ${seed}`).toBeLessThan(worth(last));
      expect(new Set(conflictKeys(step.best.conflicts)), `seed ${seed}`).toEqual(
        new Set(conflictKeys(referenceCheck(changed, step.best.plan))),
      );
      const moved = new Set(step.best.moved);
      const before = new Map(plan.operations.map((planned) => [planned.operation, planned.lots]));
      for (const { operation, lots } of step.best.plan.operations)
        if (!moved.has(operation)) expect(lots, `seed ${seed}, ${operation}`).toEqual(before.get(operation));
      last = step.best;
    }
    expect(slices).toBeLessThan(2_000);
  }
  expect(improved).toBeGreaterThanOrEqual(3);
});

test("improvement hears a stop between two slices, and has nothing to do where nothing was hit", () => {
  const problem = slackShop();
  const { plan } = makePlan(problem, { seed: 1, iterations: 200 });
  const [answer] = repairPlan(problem, plan, { seed: 1 });
  expect([...improveRepair(problem, plan, answer!, { seed: 1 })]).toEqual([]);
  const machines = problem.machines.map((entry) => ({ ...entry, open: subtract(entry.open, [[0, 1_000]]) }));
  const stopped: Problem = { ...problem, machines };
  const start = repairPlan(stopped, plan, { seed: 1, steps: 1 }).at(-1)!;
  let asked = 0;
  for (const { slices } of improveRepair(stopped, plan, start, { seed: 1, slice: 5, shouldStop: () => asked >= 2 }))
    asked = slices;
  expect(asked).toBe(2);
});

test("a batch of which only some lots find a place any more is left out whole, and says so", () => {
  const open = (until: number) =>
    shop({
      horizon: 1440,
      machines: [
        machine("press", {
          open: [
            [0, 60],
            [80, until],
          ],
          unattended: { kind: "allowed", maxMinutes: null, windows: null },
        }),
      ],
      operations: [
        operation("batch", [mode(["press"], [phase("run", "solid", 0, { work: { kind: "perPiece", seconds: 1800 } })])], {
          pieces: 4,
          split: { lots: 2, minPieces: 1 },
        }),
      ],
    });
  const lot = (start: number) => ({
    mode: "press",
    pieces: 2,
    start,
    end: start + 60,
    phases: [{ phase: 0, work: [[start, start + 60] as const], crews: [] }],
  });
  const plan = { operations: [{ operation: "batch", lots: [lot(0), lot(80)] }] };
  expect(check(open(140), plan).conflicts).toEqual([]);
  // two pieces still fit before the press closes early; neither the other two nor all four do
  for (const answer of repairPlan(open(120), plan, { seed: 1, steps: 20 })) {
    expect(answer.plan.operations).toEqual([]);
    expect(answer.conflicts.map(({ kind, operations }) => [kind, operations])).toEqual([["notPlanned", ["batch"]]]);
  }
});
