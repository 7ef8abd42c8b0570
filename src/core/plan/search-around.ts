/**
 * A short search from one plan with another as what people know: every move away from that one counts as disturbance. No step makes
 * the plan worse by the weights given, and most steps begin with the orders in focus, so work elsewhere lies still.
 * Promises the same plan for the same input and seed. Cost: some 50 to 200 microseconds a step.
 */
import { createRandom } from "../ground/prng.ts";
import type { OrderId } from "../orders/order.ts";
import type { Plan, PlannedOperation } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { decodeOrder } from "../solve/construct/dispatch.ts";
import { estimate } from "../solve/construct/priority.ts";
import { startFromPlan } from "../solve/construct/start-plan.ts";
import { buildModel } from "../solve/decode/build-model.ts";
import { writePlan } from "../solve/decode/write-plan.ts";
import { givenState } from "../solve/engine.ts";
import { improve } from "../solve/improve/ruin-recreate.ts";

export type SearchAround = {
  readonly kept: readonly PlannedOperation[];
  readonly start: Plan;
  readonly known: Plan;
  readonly focus: ReadonlySet<OrderId>;
  readonly seed: number;
  readonly steps: number;
  readonly shouldStop: () => boolean;
};

export function searchAround(problem: Problem, search: SearchAround): Plan {
  const model = buildModel({ ...problem, published: search.known });
  const est = estimate(model);
  const { state } = improve({
    state: startFromPlan(model, search.kept, search.start, est, "still"),
    est,
    random: createRandom(search.seed),
    iterations: search.steps,
    round: Math.max(1, search.steps),
    shouldStop: search.shouldStop,
    focus: model.orders.filter(({ id }) => search.focus.has(id)).map(({ index }) => index),
    cold: true,
    movedMost: null,
    fresh: () => givenState(model, search.kept),
    decode: decodeOrder,
    onProgress: () => {},
  });
  return writePlan(state);
}
