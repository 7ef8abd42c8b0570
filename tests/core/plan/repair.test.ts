/** Repairs after a machine stop or a rush order: checked answers, nobody moved without need, and the second answer never dearer. */
import { expect, test } from "vitest";
import { subtract } from "../../../src/core/calendar/intervals.ts";
import { createRandom } from "../../../src/core/ground/prng.ts";
import { makePlan } from "../../../src/core/plan/make-plan.ts";
import { repairPlan } from "../../../src/core/plan/repair.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { tinyProblem } from "../../arbitraries/tiny-problem.ts";
import { crew, lag, machine, mode, need, operation, order, phase, shop } from "../solve/shop.ts";

test("random tiny shops with a machine stopped: repairPlan refuses plans with conflicts of our making", () => {
  let answers = 0;
  for (let seed = 1; seed <= 100; seed++) {
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
  expect(answers).toBeGreaterThanOrEqual(100);
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
