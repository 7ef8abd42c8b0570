/**
 * From a problem to a checked plan: what is frozen is kept, the engine solves the rest, the checker judges the result.
 * Promises that no plan leaves unchecked: a conflict of a kind that work placed by the engine can never have is a defect of ours
 * and throws with problem and seed. The conflicts that are left are listed; some cannot be avoided (defect.ts).
 * Synchronous and pure; polls `shouldStop` at least every 20 ms once the first plan stands.
 */
import { check } from "../check/checker.ts";
import type { Conflict } from "../check/conflict.ts";
import { type Freed, frozenWork } from "../check/frozen.ts";
import type { Cost } from "../problem/objective.ts";
import type { Plan } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { type ClassicalShape, classicalShape } from "../solve/classical-shape.ts";
import { solve } from "../solve/engine.ts";
import { solveClassical } from "../solve/solve-classical.ts";
import { refuseDefects } from "./defect.ts";

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
  readonly onProgress?: ((progress: PlanProgress) => void) | undefined;
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

/** Without iterations and without a stop, the search ends after so many steps. */
const ITERATIONS_DEFAULT = 2_000;
const CLASSICAL_ITERATIONS_DEFAULT = 50_000;
/** Seeds of threads lie far apart. */
const THREAD_SEED_STEP = 1_000_003;

export function makePlan(problem: Problem, options: PlanOptions): PlanOutcome {
  const shape = classicalShape(problem);
  const classical = shape === null ? null : makeClassicalPlan(problem, shape, options);
  return classical ?? makeShopPlan(problem, options);
}

/** The dedicated search; null when its plan does not fit before the horizon, which only the general engine can report well. */
function makeClassicalPlan(problem: Problem, shape: ClassicalShape, options: PlanOptions): PlanOutcome | null {
  const weight = problem.weights.makespan;
  const result = solveClassical(problem, shape, {
    seed: options.seed + (options.threadIndex ?? 0) * THREAD_SEED_STEP,
    ...(options.iterations !== undefined
      ? { maxIterations: options.iterations }
      : options.shouldStop
        ? {}
        : { maxIterations: CLASSICAL_ITERATIONS_DEFAULT }),
    ...(options.shouldStop === undefined ? {} : { shouldStop: options.shouldStop }),
    onImprovement: (makespan, iterations) =>
      options.onProgress?.({ iterations, conflicts: 0, total: weight * (problem.now + makespan), phase: "improve" }),
  });
  const { conflicts, cost } = check(problem, result.plan);
  if (conflicts.length > 0) return null;
  const lowerBound = weight * (problem.now + result.lowerBound);
  const bound: PlanBound = result.proven
    ? { kind: "optimal" }
    : { kind: "within", lowerBound, percent: (100 * (cost.total - lowerBound)) / Math.max(1, lowerBound) };
  return { plan: result.plan, conflicts, cost, freed: [], bound, iterations: result.iterations };
}

function makeShopPlan(problem: Problem, options: PlanOptions): PlanOutcome {
  const frozen = frozenWork(problem);
  const { plan, iterations } = solve(problem, frozen.kept, {
    seed: options.seed + (options.threadIndex ?? 0) * THREAD_SEED_STEP,
    budget: {
      iterations: options.iterations ?? (options.shouldStop ? null : ITERATIONS_DEFAULT),
      shouldStop: options.shouldStop ?? (() => false),
    },
    onProgress: options.onProgress,
    start: options.start,
  });
  const { conflicts, cost } = check(problem, plan);
  refuseDefects(problem, frozen.kept, conflicts, `seed ${options.seed}, ${iterations} iterations`);
  return { plan, conflicts, cost, freed: frozen.freed, bound: boundOf(cost, conflicts), iterations };
}

/** Only the trivial proof is known for a real shop: a plan without conflicts that costs nothing is best. */
function boundOf(cost: Cost, conflicts: readonly Conflict[]): PlanBound {
  return cost.total === 0 && conflicts.length === 0 ? { kind: "optimal" } : { kind: "none" };
}
