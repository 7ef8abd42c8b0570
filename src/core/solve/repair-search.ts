/**
 * Answers to a change, from the plan that stood before it: what still fits lies still with all its stretches and crews, what was
 * hit or is new finds a place. Two manners: nobody else moves ("least movement"), and a short search around the orders concerned
 * that lets them displace others where that costs less than it gains, disturbance counted ("least lateness"). The search is
 * bounded by its steps and by the number of operations it may move in all, so a push never runs through the shop.
 */
import { invariant } from "../ground/invariant.ts";
import { createRandom } from "../ground/prng.ts";
import type { Plan, PlannedOperation } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { sameLot } from "../problem/same-plan.ts";
import { decodeOrder } from "./construct/dispatch.ts";
import { estimate } from "./construct/priority.ts";
import { startFromPlan } from "./construct/start-plan.ts";
import { buildModel } from "./decode/build-model.ts";
import type { State } from "./decode/state.ts";
import { lotOf, writePlan } from "./decode/write-plan.ts";
import { givenState } from "./engine.ts";
import { improve } from "./improve/ruin-recreate.ts";
import { copyPlacements, restorePlacements } from "./improve/snapshot.ts";

/** How many published operations the second manner may move beyond those that must: a push ends there. */
const MOVES_LEAST = 6;
const MOVES_SHARE = 0.03;

export type PushOptions = { readonly seed: number; readonly steps: number; readonly shouldStop: () => boolean };

export type OpenRepair = {
  /** Nobody else moves. */
  readonly still: Plan;
  /** The best found by a search of so many steps around what was hit; each begins at `still`. */
  push(options: PushOptions): Plan;
};

/** Opened once for a change; each search then costs its steps alone. */
export function openRepair(problem: Problem, kept: readonly PlannedOperation[], plan: Plan): OpenRepair {
  // the plan that stood is what people know: moving away from it is what disturbs them
  const model = buildModel({ ...problem, published: plan });
  const est = estimate(model);
  const state = startFromPlan(model, kept, plan, est, "still");
  const still = copyPlacements(state);
  const concerned = concernedOrders(state, plan);
  const movedMost = movesMost(state);
  return {
    still: writePlan(state),
    push({ seed, steps, shouldStop }) {
      restorePlacements(state, still);
      const pushed = improve({
        state,
        est,
        random: createRandom(seed),
        iterations: concerned.length === 0 ? 0 : steps,
        round: Math.max(1, steps),
        shouldStop,
        focus: concerned,
        cold: true,
        movedMost,
        fresh: () => givenState(model, kept),
        decode: decodeOrder,
        onProgress: () => {},
      });
      invariant(pushed.state === state, "a cold search stays in its state");
      return writePlan(state);
    },
  };
}

/** Orders with work that is new or lies otherwise than before. */
function concernedOrders(state: State, plan: Plan): readonly number[] {
  const before = new Map(plan.operations.map((planned) => [planned.operation, planned.lots]));
  const concerned = new Set<number>();
  for (const op of state.model.ops) {
    if (op.finished) continue;
    const old = before.get(op.id);
    for (const [i, item] of op.items.entries()) {
      const p = state.placed[item];
      if (!p || old === undefined || !sameLot(lotOf(state, p), old[i])) concerned.add(op.order);
    }
  }
  return [...concerned];
}

const movesMost = (state: State): number => state.moved + Math.max(MOVES_LEAST, Math.ceil(state.model.ops.length * MOVES_SHARE));

/** Shares of the usual temperature by turns; the last lets an order elsewhere begin a step, too. */
const WARMTHS = [0, 0.05, 0, 0.2] as const;
/** So many slices without a better plan, and the search is over. */
const SLICES_IN_VAIN_MOST = 24;

export type ImproveOptions = {
  readonly seed: number;
  /** Steps between two answers. */
  readonly slice: number;
  readonly shouldStop: () => boolean;
};

/**
 * An answer made better as long as somebody asks: each turn a slice of steps, and then the plan if it is a better one, else null.
 * Never moves more than a few operations beyond what the answer it starts from moves, and ends when it finds nothing any more.
 */
export function* improveAnswer(
  problem: Problem,
  kept: readonly PlannedOperation[],
  before: Plan,
  answer: Plan,
  options: ImproveOptions,
): Generator<Plan | null, void> {
  const model = buildModel({ ...problem, published: before });
  const est = estimate(model);
  const random = createRandom(options.seed);
  let state = startFromPlan(model, kept, answer, est, "still");
  const concerned = concernedOrders(state, before);
  if (concerned.length === 0) return;
  const movedMost = movesMost(state);
  let best = state.value;
  let inVain = 0;
  for (let turn = 0; inVain < SLICES_IN_VAIN_MOST && !options.shouldStop(); turn++) {
    const warmth = WARMTHS[turn % WARMTHS.length] ?? 0;
    const result = improve({
      state,
      est,
      random,
      iterations: options.slice,
      round: options.slice,
      shouldStop: options.shouldStop,
      focus: turn % WARMTHS.length === WARMTHS.length - 1 ? null : concerned,
      cold: true,
      warmth,
      movedMost,
      fresh: () => givenState(model, kept),
      decode: decodeOrder,
      onProgress: () => {},
    });
    state = result.state;
    const better = state.value < best - 1e-6;
    if (better) best = state.value;
    inVain = better ? 0 : inVain + 1;
    yield better ? writePlan(state) : null;
  }
}
