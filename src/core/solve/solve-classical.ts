/**
 * Plans a recognised classical problem with the dedicated search for its shape, round by round. Same promises as those searches:
 * a plan without conflicts, a proven lower bound on its makespan, deterministic for (problem, seed, iterations, visitors).
 */
import type { Plan } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { FlexibleSearch, flexibleInstance, instanceWithSetups } from "./classical/flexible-job-shop.ts";
import { JobShopSearch } from "./classical/job-shop.ts";
import { ProjectSearch } from "./classical/project.ts";
import type { RoundSearch, SearchLimits, SearchOutcome } from "./classical/search-limits.ts";
import { type ClassicalShape, planOfClassical } from "./classical-shape.ts";

export function openClassical(shape: ClassicalShape, limits: SearchLimits): RoundSearch {
  switch (shape.kind) {
    case "jobShop":
      return new JobShopSearch(shape.shop, limits);
    case "flexible":
      return new FlexibleSearch(flexibleInstance(shape.shop), limits);
    case "setups":
      return new FlexibleSearch(instanceWithSetups(shape.shop), limits);
    case "project":
      return new ProjectSearch(shape.project, limits);
  }
}

export function classicalPlan(problem: Problem, shape: ClassicalShape, { starts, pool }: SearchOutcome): Plan {
  // A pool entry of the flexible search is the order followed by the alternative of each operation; the first is the best.
  return planOfClassical(problem, shape, starts, shape.kind === "flexible" ? pool[0].slice(starts.length) : undefined);
}
