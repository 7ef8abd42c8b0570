/**
 * Answers to a change, from the plan that stood before it: what still fits lies still with all its stretches and crews, what was
 * hit or is new finds a place. Two manners: nobody else moves ("least movement"), and a short search around the orders concerned
 * that lets them displace others where that costs less than it gains, disturbance counted ("least lateness"). The search is
 * bounded by its steps and by the number of operations it may move in all, so a push never runs through the shop.
 */
import { createRandom } from "../ground/prng.ts";
import type { Plan, PlannedOperation } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { sameLot } from "../problem/same-plan.ts";
import { decodeOrder } from "./construct/dispatch.ts";
import { estimate } from "./construct/priority.ts";
import { startFromPlan } from "./construct/start-plan.ts";
import { buildModel } from "./decode/build-model.ts";
import { lotOf, writePlan } from "./decode/write-plan.ts";
import { givenState } from "./engine.ts";
import { improve } from "./improve/ruin-recreate.ts";

/** How many published operations the second manner may move beyond those that must: a push ends there. */
const MOVES_LEAST = 6;
const MOVES_SHARE = 0.03;

export type RepairOptions = { readonly seed: number; readonly steps: number; readonly shouldStop: () => boolean };

export type RepairAnswers = { readonly still: Plan; readonly pushed: Plan };

export function searchRepairs(
  problem: Problem,
  kept: readonly PlannedOperation[],
  plan: Plan,
  options: RepairOptions,
): RepairAnswers {
  // the plan that stood is what people know: moving away from it is what disturbs them
  const model = buildModel({ ...problem, published: plan });
  const est = estimate(model);
  const state = startFromPlan(model, kept, plan, est, "still");
  const still = writePlan(state);
  const before = new Map(plan.operations.map((planned) => [planned.operation, planned.lots]));
  const concerned = new Set<number>();
  for (const op of model.ops) {
    if (op.finished) continue;
    const old = before.get(op.id);
    for (const [i, item] of op.items.entries()) {
      const p = state.placed[item];
      if (!p || old === undefined || !sameLot(lotOf(state, p), old[i])) concerned.add(op.order);
    }
  }
  const pushed = improve({
    state,
    est,
    random: createRandom(options.seed),
    iterations: concerned.size === 0 ? 0 : options.steps,
    round: Math.max(1, options.steps),
    shouldStop: options.shouldStop,
    focus: [...concerned],
    cold: true,
    movedMost: state.moved + Math.max(MOVES_LEAST, Math.ceil(model.ops.length * MOVES_SHARE)),
    fresh: () => givenState(model, kept),
    decode: decodeOrder,
    onProgress: () => {},
  });
  return { still, pushed: writePlan(pushed.state) };
}
