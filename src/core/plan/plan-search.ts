/**
 * The search for a plan, round by round, so that threads can meet between rounds: the dedicated search where the problem has a
 * classical shape, else the general engine, which makes its whole run in one round.
 * Promises that the plan handed over is checked: a conflict of a kind that work placed by the engine can never have is a defect
 * of ours and throws with problem and seed. Pauses change nothing: see solve/classical/search-limits.ts.
 */
import { check, checkUnless } from "../check/checker.ts";
import type { CheckResult } from "../check/conflict.ts";
import { frozenWork } from "../check/frozen.ts";
import type { Plan } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { shopBound } from "../solve/bound/shop-bound.ts";
import type { RoundSearch } from "../solve/classical/search-limits.ts";
import { type ClassicalShape, classicalShape } from "../solve/classical-shape.ts";
import { LISTS_OF_SECOND_UP_TO, run } from "../solve/engine.ts";
import { ELITES, type RoundReport } from "../solve/rounds.ts";
import { classicalPlan, openClassical } from "../solve/solve-classical.ts";
import { refuseDefects } from "./defect.ts";
import type { PlanBound, PlanOptions, PlanOutcome } from "./make-plan.ts";

export type PlanSearch = {
  /** One more round. */
  advance(): void;
  /** Where it stands after a round. */
  report(): RoundReport;
  /** Solutions and a bound from other threads. */
  meet(visitors: readonly Int32Array[], lowerBound: number): void;
  /** The best plan, checked. */
  outcome(): PlanOutcome;
};

/** Without iterations and without a stop, the search ends after so many steps. */
const ITERATIONS_DEFAULT = 2_000;
const CLASSICAL_ITERATIONS_DEFAULT = 50_000;
/** Seeds of threads lie far apart. */
const THREAD_SEED_STEP = 1_000_003;

export function openPlanSearch(problem: Problem, options: PlanOptions): PlanSearch {
  const shape = classicalShape(problem);
  return shape === null ? new ShopSearch(problem, options) : new ClassicalPlanSearch(problem, shape, options);
}

const seedOf = (options: PlanOptions): number => options.seed + (options.threadIndex ?? 0) * THREAD_SEED_STEP;

class ClassicalPlanSearch implements PlanSearch {
  private readonly problem: Problem;
  private readonly shape: ClassicalShape;
  private readonly options: PlanOptions;
  private readonly search: RoundSearch;

  constructor(problem: Problem, shape: ClassicalShape, options: PlanOptions) {
    this.problem = problem;
    this.shape = shape;
    this.options = options;
    const { iterations, shouldStop, onProgress } = options;
    const maxIterations = iterations ?? (shouldStop ? undefined : CLASSICAL_ITERATIONS_DEFAULT);
    this.search = openClassical(shape, {
      seed: seedOf(options),
      prove: (options.threadIndex ?? 0) === 0, // one thread proves, the others search
      ...(maxIterations === undefined ? {} : { maxIterations }),
      ...(shouldStop === undefined ? {} : { shouldStop }),
      onImprovement: (makespan, made) =>
        onProgress?.({ iterations: made, conflicts: 0, total: this.costOf(makespan), phase: "improve" }),
    });
    options.onPlanInHand?.(); // it looks at the stop from its first schedule on
  }

  private costOf(makespan: number): number {
    return this.problem.weights.makespan * (this.problem.now + makespan);
  }

  advance(): void {
    this.search.advance();
  }

  report(): RoundReport {
    const { makespan, lowerBound, iterations, pool } = this.search.outcome();
    return {
      conflicts: 0,
      total: this.costOf(makespan),
      lowerBound: this.costOf(lowerBound),
      finished: this.search.finished,
      iterations,
      elites: pool.slice(0, ELITES),
    };
  }

  meet(visitors: readonly Int32Array[], lowerBound: number): void {
    this.search.meet(visitors);
    this.search.raiseBound(Math.ceil(lowerBound / this.problem.weights.makespan - this.problem.now - 1e-9));
  }

  outcome(): PlanOutcome {
    const { problem, shape } = this;
    const result = this.search.outcome();
    const plan = classicalPlan(problem, shape, result);
    const { conflicts, cost } = check(problem, plan);
    // Only the general engine can report well what does not fit before the horizon.
    if (conflicts.length > 0) return runToOutcome(new ShopSearch(problem, this.options));
    const bound = result.proven ? ({ kind: "optimal" } as const) : within(cost.total, this.costOf(result.lowerBound));
    return { plan, conflicts, cost, freed: [], bound, iterations: result.iterations };
  }
}

type Judged = CheckResult & { readonly plan: Plan };

class ShopSearch implements PlanSearch {
  private readonly problem: Problem;
  private readonly options: PlanOptions;
  private readonly frozen: ReturnType<typeof frozenWork>;
  /** The best plan on the way that was judged, and what the run ended with. */
  private onTheWay: Judged | null = null;
  private result: (Judged & { readonly iterations: number }) | null = null;
  private lowerBound: number;
  private met = false;

  constructor(problem: Problem, options: PlanOptions) {
    this.problem = problem;
    this.options = options;
    this.frozen = frozenWork(problem);
    this.lowerBound = (options.threadIndex ?? 0) === 0 ? boundOf(problem) : leastOf(problem);
  }

  advance(): void {
    this.solved();
  }

  report(): RoundReport {
    const { conflicts, cost, iterations } = this.solved();
    return {
      conflicts: conflicts.length,
      total: cost.total,
      lowerBound: this.lowerBound,
      finished: true,
      iterations,
      elites: [],
    };
  }

  meet(_visitors: readonly Int32Array[], lowerBound: number): void {
    this.lowerBound = Math.max(this.lowerBound, lowerBound);
  }

  outcome(): PlanOutcome {
    const { frozen } = this;
    const { plan, conflicts, cost, iterations } = this.solved();
    const free = conflicts.length === 0;
    const bound: PlanBound =
      free && cost.total <= this.lowerBound ? { kind: "optimal" } : free ? within(cost.total, this.lowerBound) : { kind: "none" };
    return { plan, conflicts, cost, freed: frozen.freed, bound, iterations };
  }

  private solved(): Judged & { readonly iterations: number } {
    this.result ??= this.solve();
    return this.result;
  }

  private solve(): Judged & { readonly iterations: number } {
    const { problem, frozen } = this;
    const { iterations, shouldStop, hurry, spent, onProgress, onPlanInHand, start } = this.options;
    const ended = run(problem, frozen.kept, {
      seed: seedOf(this.options),
      budget: {
        iterations: iterations ?? (shouldStop ? null : ITERATIONS_DEFAULT),
        shouldStop: () => this.met || (shouldStop?.() ?? false),
        spent,
      },
      onProgress: (progress) => {
        // Nothing can be better than what meets the bound.
        this.met = progress.conflicts === 0 && progress.total <= this.lowerBound;
        onProgress?.(progress);
      },
      // What was judged once is not read again, so that judging on the way costs little. The first is judged whatever happens.
      onPlan:
        shouldStop &&
        ((plan) => {
          const judgement = this.onTheWay === null ? check(problem, plan) : checkUnless(problem, plan, shouldStop);
          if (judgement === null) return;
          if (this.onTheWay === null) onPlanInHand?.();
          this.onTheWay = { plan, ...judgement };
        }),
      start,
      listsUpTo: (this.options.threadIndex ?? 0) % 2 === 1 ? LISTS_OF_SECOND_UP_TO : undefined,
    });
    let best = this.onTheWay;
    if (best === null || !hurry?.()) {
      const { plan } = ended.finish();
      best = { plan, ...check(problem, plan) };
    }
    refuseDefects(problem, frozen.kept, best.conflicts, `seed ${this.options.seed}, ${ended.iterations} iterations`);
    return { ...best, iterations: ended.iterations };
  }
}

/** No part of the cost but the largest lateness can be negative. */
const leastOf = (problem: Problem): number => (problem.weights.maxLateness > 0 ? Number.NEGATIVE_INFINITY : 0);

/** Tardiness of a loaded shop has no bound worth its time: bounds are looked for where the end of work counts. */
function boundOf(problem: Problem): number {
  const { makespan, maxLateness } = problem.weights;
  return makespan > 0 || maxLateness > 0 ? Math.max(leastOf(problem), shopBound(problem)) : leastOf(problem);
}

export function runToOutcome(search: PlanSearch): PlanOutcome {
  do search.advance();
  while (!search.report().finished);
  return search.outcome();
}

/** A bound is useful while the plan costs at most twice as much; a number that says nothing is not given. */
const USELESS_FACTOR = 2;

function within(total: number, lowerBound: number): PlanBound {
  if (lowerBound <= 0 || total > USELESS_FACTOR * lowerBound) return { kind: "none" };
  return { kind: "within", lowerBound, percent: (100 * (total - lowerBound)) / lowerBound };
}
