/**
 * Plans a recognised classical problem with the dedicated search for its shape. Same promises as those searches: a plan
 * without conflicts, a proven lower bound on its makespan, deterministic for (problem, seed, iterations).
 */
import type { Plan } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { solveFlexibleJobShop, solveJobShopWithSetups } from "./classical/flexible-job-shop.ts";
import { solveJobShop } from "./classical/job-shop.ts";
import { solveRcpsp } from "./classical/project.ts";
import type { SearchLimits, SearchOutcome } from "./classical/search-limits.ts";
import { type ClassicalShape, planOfClassical } from "./classical-shape.ts";

export type ClassicalPlan = {
  readonly plan: Plan;
  /** Minutes from now, like its bound. */
  readonly makespan: number;
  readonly lowerBound: number;
  readonly proven: boolean;
  readonly iterations: number;
  /** Solutions for a further round, in the search's own encoding. */
  readonly pool: readonly Int32Array[];
};

export function solveClassical(problem: Problem, shape: ClassicalShape, limits: SearchLimits): ClassicalPlan {
  const { outcome, alternatives } = search(shape, limits);
  return {
    plan: planOfClassical(problem, shape, outcome.starts, alternatives),
    makespan: outcome.makespan,
    lowerBound: outcome.lowerBound,
    proven: outcome.proven,
    iterations: outcome.iterations,
    pool: outcome.pool,
  };
}

function search(shape: ClassicalShape, limits: SearchLimits): { outcome: SearchOutcome; alternatives?: Int32Array } {
  switch (shape.kind) {
    case "jobShop":
      return { outcome: solveJobShop(shape.shop, limits) };
    case "flexible": {
      const outcome = solveFlexibleJobShop(shape.shop, limits);
      // A pool entry is the order followed by the alternative of each operation; the first is the best.
      return { outcome, alternatives: outcome.pool[0].slice(outcome.starts.length) };
    }
    case "setups":
      return { outcome: solveJobShopWithSetups(shape.shop, limits) };
    case "project":
      return { outcome: solveRcpsp(shape.project, limits) };
  }
}
