/**
 * Bounds of real shops: never above what enumeration finds best, whatever the rules of the shop; and often equal to it.
 */
import { describe, expect, test } from "vitest";
import { makePlan } from "../../../src/core/plan/make-plan.ts";
import { DEFAULT_WEIGHTS, NO_WEIGHTS } from "../../../src/core/problem/objective.ts";
import { shopBound } from "../../../src/core/solve/bound/shop-bound.ts";
import { tinyProblem } from "../../arbitraries/tiny-problem.ts";
import { enumerateOptimum } from "../../reference/enumerate.ts";

describe("shop bound", () => {
  test("never above the enumerated optimum of 24 shops, for each part by itself and the default mixture", () => {
    const seen = { met: 0, below: 0 };
    const mixtures = [{ ...NO_WEIGHTS, makespan: 1 }, { ...NO_WEIGHTS, maxLateness: 1 }, DEFAULT_WEIGHTS];
    for (let seed = 1; seed <= 24; seed++) {
      const problem = {
        ...tinyProblem(seed, { operations: 3, horizon: 44, enumerable: true }),
        weights: mixtures[seed % mixtures.length]!,
      };
      const optimum = enumerateOptimum(problem);
      if (optimum === null || optimum === "infeasible") continue;
      const bound = shopBound(problem);
      expect(bound, `seed ${seed}`).toBeLessThanOrEqual(optimum.total);
      if (bound === optimum.total) seen.met++;
      else seen.below++;
    }
    expect(seen.met, JSON.stringify(seen)).toBeGreaterThan(3); // a bound that is never reached would be worth nothing
  }, 240_000);

  test("never above what the engine plans in larger shops", () => {
    for (let seed = 1; seed <= 40; seed++) {
      const problem = { ...tinyProblem(seed, { operations: 7, horizon: 400 }), weights: { ...NO_WEIGHTS, makespan: 1 } };
      const { cost, conflicts, bound } = makePlan(problem, { seed, iterations: 40 });
      if (conflicts.length > 0) continue;
      expect(shopBound(problem), `seed ${seed}`).toBeLessThanOrEqual(cost.total);
      if (bound.kind === "within") expect(bound.percent, `seed ${seed}`).toBeGreaterThan(0);
    }
  });
});
