/**
 * Plans of random tiny shops hold: the product's checker finds nothing that the engine should have avoided (makePlan throws if
 * so), the engine's own cost is the checker's, and the same seed gives the same plan; also for shops in mid-week, with work done,
 * running, published and frozen.
 */
import { describe, expect, test } from "vitest";
import { check } from "../../../src/core/check/checker.ts";
import { frozenWork } from "../../../src/core/check/frozen.ts";
import { createRandom } from "../../../src/core/ground/prng.ts";
import { makePlan } from "../../../src/core/plan/make-plan.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { solve } from "../../../src/core/solve/engine.ts";
import { tinyProblem } from "../../arbitraries/tiny-problem.ts";
import { later } from "../solve/later.ts";

const SEEDS = Array.from({ length: 150 }, (_, i) => i + 1);
const ITERATIONS = 20;

/** The engine alone, whose count of cost must be the checker's wherever everything found a place. */
function agreesOnCost(problem: Problem, seed: number): void {
  const outcome = solve(problem, frozenWork(problem).kept, {
    seed,
    budget: { iterations: ITERATIONS, shouldStop: () => false },
  });
  const { cost, conflicts } = check(problem, outcome.plan);
  if (!conflicts.some((conflict) => conflict.kind === "notPlanned")) {
    expect({ seed, total: outcome.total }).toEqual({ seed, total: cost.total });
  }
}

describe("random tiny shops", () => {
  test("planned afresh", () => {
    let clean = 0;
    for (const seed of SEEDS) {
      const problem = tinyProblem(seed);
      const outcome = makePlan(problem, { seed, iterations: ITERATIONS });
      if (outcome.conflicts.length === 0) clean++;
      agreesOnCost(problem, seed);
    }
    // most of these shops can be planned without any conflict; were the engine to give up early, this would show it
    expect(clean).toBeGreaterThan(SEEDS.length * 0.7);
  });

  test("re-planned some time later, with work done, running, published and frozen", () => {
    let frozen = 0;
    let running = 0;
    for (const seed of SEEDS) {
      const random = createRandom(seed);
      const problem = tinyProblem(seed);
      const first = makePlan(problem, { seed, iterations: ITERATIONS }).plan;
      const now = problem.now + random.int(24);
      const freeze = random.int(3) === 0 ? null : now + 10 + random.int(60);
      const afterwards = later(problem, first, now, freeze, random.int(3));
      const start: Plan | undefined = random.int(2) === 0 ? first : undefined;
      makePlan(afterwards, { seed, iterations: ITERATIONS, start });
      agreesOnCost(afterwards, seed);
      frozen += frozenWork(afterwards).kept.length;
      running += afterwards.operations.filter((operation) => operation.progress.running.length > 0).length;
    }
    expect(frozen).toBeGreaterThan(25);
    expect(running).toBeGreaterThan(25);
  });

  test("the same seed and budget give the same plan", () => {
    for (const seed of SEEDS.slice(0, 40)) {
      const problem = tinyProblem(seed);
      const once = makePlan(problem, { seed, iterations: 60 });
      expect(makePlan(problem, { seed, iterations: 60 }).plan).toEqual(once.plan);
    }
  });
});
