/**
 * From a problem to a checked plan: what is frozen is kept, the engine solves the rest, the checker judges the result.
 * Promises that no plan leaves unchecked: a conflict of a kind that work placed by the engine can never have is a defect of ours
 * and throws with problem and seed. The conflicts that are left are listed; some cannot be avoided (defect.ts).
 * Synchronous and pure; polls `shouldStop` every few milliseconds once the first plan stands.
 */
import type { Conflict } from "../check/conflict.ts";
import type { Freed } from "../check/frozen.ts";
import type { Cost } from "../problem/objective.ts";
import type { Plan } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { openPlanSearch, runToOutcome } from "./plan-search.ts";

export type PlanProgress = {
  readonly iterations: number;
  /** Conflicts of the best plan so far, as the engine counts them. */
  readonly conflicts: number;
  /** Its weighted cost. */
  readonly total: number;
  readonly phase: "construct" | "improve";
};

export type PlanOptions = {
  readonly seed: number;
  /** Search steps; without, `shouldStop` ends the search. */
  readonly iterations?: number | undefined;
  readonly shouldStop?: (() => boolean) | undefined;
  /**
   * Of a stop that will not wait: hand over the best plan judged so far, not a better one that is still to be judged. A plan is
   * judged again whenever there has been a better one for a while.
   */
  readonly hurry?: (() => boolean) | undefined;
  /** Share of the time until that stop that is spent, 0 to 1: the search of a shop then aims at its end instead of going in rounds. */
  readonly spent?: (() => number) | undefined;
  readonly onProgress?: ((progress: PlanProgress) => void) | undefined;
  /** Told once, when there is a judged plan that a stop could hand over at once. */
  readonly onPlanInHand?: (() => void) | undefined;
  /** A plan to start from. */
  readonly start?: Plan | undefined;
  /** Threads with different indices search differently from the same seed. */
  readonly threadIndex?: number | undefined;
};

export type PlanBound =
  | { readonly kind: "optimal" }
  | { readonly kind: "within"; readonly lowerBound: number; readonly percent: number }
  | { readonly kind: "none" };

export type PlanOutcome = {
  readonly plan: Plan;
  readonly conflicts: readonly Conflict[];
  readonly cost: Cost;
  readonly freed: readonly Freed[];
  readonly bound: PlanBound;
  readonly iterations: number;
};

export function makePlan(problem: Problem, options: PlanOptions): PlanOutcome {
  return runToOutcome(openPlanSearch(problem, options));
}
