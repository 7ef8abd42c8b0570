/**
 * Laws of the engine on random tiny shops with every rule of the planning problem: what it plans is judged alike by the checker and
 * by the reference, at the same cost; same seed, same plan; never better than the enumerated optimum, and mostly as good.
 */
import { describe, expect, test } from "vitest";
import { makePlan } from "../../src/core/plan/make-plan.ts";
import { tinyProblem } from "../arbitraries/tiny-problem.ts";
import { conflictKeys, referenceCheck } from "../reference/checker.ts";
import { referenceCost } from "../reference/cost.ts";
import { enumerateOptimum } from "../reference/enumerate.ts";

describe("engine", () => {
  test("plans of 200 shops: the reference finds the conflicts that the outcome states and no others, at the stated cost", () => {
    let clean = 0;
    for (let seed = 1; seed <= 200; seed++) {
      const problem = tinyProblem(seed);
      const outcome = makePlan(problem, { seed, iterations: 60 });
      const reference = conflictKeys(referenceCheck(problem, outcome.plan));
      expect(conflictKeys(outcome.conflicts), `seed ${seed}`).toEqual(reference);
      if (reference.length > 0) continue;
      clean++;
      expect(outcome.cost.total, `seed ${seed}`).toBe(referenceCost(problem, outcome.plan).total);
    }
    // Random demands often cannot hold together; most still can.
    expect(clean).toBeGreaterThan(140);
  });

  test("same problem, seed and iterations give the same plan", () => {
    for (const seed of [3, 14, 159]) {
      const problem = tinyProblem(seed, { operations: 5, horizon: 300 });
      const plans = [1, 2].map(() => JSON.stringify(makePlan(problem, { seed, iterations: 200 }).plan));
      expect(plans[0]).toBe(plans[1]);
    }
  });

  test("never beats the enumerated optimum of 120 shops, and meets it in at least nine of ten", () => {
    const counts = { met: 0, above: 0, infeasible: 0, tooLarge: 0 };
    for (let seed = 1; seed <= 120; seed++) {
      const problem = tinyProblem(seed, { operations: 3, horizon: 44, enumerable: true });
      const optimum = enumerateOptimum(problem);
      if (optimum === null) {
        counts.tooLarge++;
        continue;
      }
      const outcome = makePlan(problem, { seed, iterations: 300 });
      if (optimum === "infeasible") {
        counts.infeasible++;
        expect(outcome.conflicts.length, `seed ${seed}: enumeration finds no plan without conflicts`).toBeGreaterThan(0);
        continue;
      }
      expect(outcome.conflicts, `seed ${seed}: a plan without conflicts exists`).toEqual([]);
      expect(outcome.cost.total, `seed ${seed}`).toBeGreaterThanOrEqual(optimum.total);
      if (outcome.cost.total === optimum.total) counts.met++;
      else counts.above++;
    }
    expect(counts.met + counts.above, JSON.stringify(counts)).toBeGreaterThan(30);
    expect(counts.met, JSON.stringify(counts)).toBeGreaterThanOrEqual(0.9 * (counts.met + counts.above));
  });
});
