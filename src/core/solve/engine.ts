/**
 * The engine: from a problem and what is frozen in it to a placed plan. Constructs by a grid of dispatching rules, keeps the best
 * and improves it by ruin and recreate until the budget ends. Promises the same plan for the same problem, seed and iteration
 * budget; promises no optimality. Every plan it gives is meant to pass the checker but for conflicts nothing can avoid.
 */
import { createRandom } from "../ground/prng.ts";
import type { Plan, PlannedOperation } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { type Budget, FIRST_ROUND } from "./budget.ts";
import { type CommitOrder, decodeOrder, dispatch } from "./construct/dispatch.ts";
import { type Estimates, estimate, RULES, type Rule } from "./construct/priority.ts";
import { startFromPlan } from "./construct/start-plan.ts";
import { buildModel } from "./decode/build-model.ts";
import { placeFrozen, placeRunning } from "./decode/given.ts";
import type { Model } from "./decode/model.ts";
import { type Choosing, PLAIN } from "./decode/place-operation.ts";
import { State } from "./decode/state.ts";
import { writePlacements, writePlan } from "./decode/write-plan.ts";
import { searchFrom } from "./improve/ruin-recreate.ts";
import { tighten } from "./improve/tighten.ts";

export type SolveProgress = {
  readonly iterations: number;
  readonly conflicts: number;
  readonly total: number;
  readonly phase: "construct" | "improve";
};

export type SolveOptions = {
  readonly seed: number;
  readonly budget: Budget;
  readonly onProgress?: ((progress: SolveProgress) => void) | undefined;
  /** Plans on the way, each better than the one before: the first complete one, then now and then the best so far. */
  readonly onPlan?: ((plan: Plan) => void) | undefined;
  /** A plan to start from, kept as far as it holds. */
  readonly start?: Plan | undefined;
  /** With no more operations than this to move, lists are searched beside the placed plan; default `LISTS_UP_TO`. */
  readonly listsUpTo?: number | undefined;
};

export type FinishedPlan = { readonly plan: Plan; readonly conflicts: number; readonly total: number };

/** A run that has ended. Bringing its best plan into its last shape takes a while and is done only for who asks. */
export type EndedRun = { readonly iterations: number; readonly rule: Rule | null; finish(): FinishedPlan };

export type SolveOutcome = FinishedPlan & { readonly iterations: number; readonly rule: Rule | null };

/** Which search fits the shape of the problem. Special engines for classical shapes are dispatched to here. */
export function chooseEngine(_problem: Problem): "general" {
  return "general";
}

/** Choices of how modes are compared while constructing; the best is kept together with the best rule. */
const CONSTRUCT_CHOICES: readonly Choosing[] = [PLAIN, { ...PLAIN, setupBias: 3 }];

/** Up to here a decode costs a millisecond or so and every run spends some on lists; up to the second, one thread of several does. */
const LISTS_UP_TO = 150;
export const LISTS_OF_SECOND_UP_TO = 500;

/** A state that holds what is given: frozen work, and running work whose later phases go around it. */
export function givenState(model: Model, kept: readonly PlannedOperation[]): State {
  const state = new State(model);
  placeFrozen(state, kept);
  placeRunning(state);
  state.forget();
  return state;
}

/** No plan is worth less: what is given, every order ended as early as it could alone in the empty shop, and nothing else that costs. */
export function leastValue(model: Model, kept: readonly PlannedOperation[]): number {
  const { makespan, maxLateness } = model.problem.weights;
  return makespan === 0 && maxLateness === 0 ? givenState(model, kept).partialValue : Number.NEGATIVE_INFINITY;
}

export type Constructed = {
  readonly state: State;
  readonly order: CommitOrder;
  readonly rule: Rule;
  readonly choosing: Choosing;
  readonly value: number;
};

/** The best plan of the rule grid. Stops early, with what there is, when asked to. */
export function bestRulePlan(
  model: Model,
  kept: readonly PlannedOperation[],
  est: Estimates,
  rules: readonly Rule[],
  shouldStop: () => boolean,
  onBetter: (state: State) => void = () => {},
): Constructed {
  let best: Constructed | null = null;
  const never = () => false;
  for (const choosing of CONSTRUCT_CHOICES) {
    for (const rule of rules) {
      if (best !== null && shouldStop()) return best;
      const state = givenState(model, kept);
      // once a plan stands, a stop cuts the next one short; what is cut short is never better
      const order = dispatch(state, est, rule, choosing, best === null ? never : shouldStop);
      state.forget();
      if (best !== null && state.value >= best.value) continue;
      best = { state, order, rule, choosing, value: state.value };
      onBetter(state);
    }
    if (!model.ops.some((op) => op.modes.length > 1)) break; // the comparison of modes changes nothing
  }
  return best!;
}

export function solve(problem: Problem, kept: readonly PlannedOperation[], options: SolveOptions): SolveOutcome {
  const { iterations, rule, finish } = run(problem, kept, options);
  return { ...finish(), iterations, rule };
}

/** The same, but for the last touches. */
export function run(problem: Problem, kept: readonly PlannedOperation[], options: SolveOptions): EndedRun {
  const model = buildModel(problem);
  const est = estimate(model);
  const random = createRandom(options.seed);
  const { budget } = options;
  // the grid costs one decode per rule: at ten thousand operations a part of it must do
  const rules = model.ops.length > 4000 ? RULES.filter((_, i) => i % 3 === 1) : RULES;
  let shown: State | null = null;
  const show = (state: State): void => {
    if (state !== shown) options.onPlan?.(writePlan(state));
    shown = state;
  };
  let best = bestRulePlan(model, kept, est, rules, budget.shouldStop, show);
  let rule: Rule | null = best.rule;
  if (options.start !== undefined) {
    const state = startFromPlan(model, kept, options.start, est, "early", budget.shouldStop);
    if (state.value < best.value) {
      best = { ...best, state, value: state.value };
      rule = null;
    }
  }
  const { state } = best;
  show(state);
  const floor = leastValue(model, kept);
  options.onProgress?.({ iterations: 0, conflicts: state.conflicts + state.missing, total: state.cost, phase: "construct" });
  const search = searchFrom({
    state,
    est,
    random,
    iterations: budget.iterations,
    round: budget.iterations ?? FIRST_ROUND,
    shouldStop: budget.shouldStop,
    spent: budget.iterations === null ? budget.spent : undefined,
    focus: null,
    cold: false,
    movedMost: null,
    listsUpTo: options.listsUpTo ?? LISTS_UP_TO,
    floor,
    fresh: () => givenState(model, kept),
    decode: (empty, order, choosing) => decodeOrder(empty, order, choosing, budget.shouldStop),
    onProgress: (iterations, best) =>
      options.onProgress?.({ iterations, conflicts: best.conflicts, total: best.cost, phase: "improve" }),
    onBetter: (placements) => options.onPlan?.(writePlacements(model, placements)),
  });
  return {
    iterations: search.iterations,
    rule,
    finish: () => {
      const state = search.toBest();
      tighten(state);
      return { plan: writePlan(state), conflicts: state.conflicts + state.missing, total: state.cost };
    },
  };
}
