/**
 * A tiny shop in the middle of its plan: the engine's plan was published and followed to a random minute, then reality drifts a
 * little (running work takes longer or shorter). Same seed, same shop.
 */
import { createRandom } from "../../src/core/ground/prng.ts";
import { makePlan } from "../../src/core/plan/make-plan.ts";
import type { Plan } from "../../src/core/problem/plan.ts";
import type { Problem } from "../../src/core/problem/problem.ts";
import { advance } from "../../src/core/track/advance.ts";
import { tinyProblem } from "./tiny-problem.ts";

export type ShopInProgress = {
  readonly problem: Problem;
  readonly published: Plan;
  readonly drifted: boolean;
  readonly clean: boolean;
  /** Two lots of one operation run at once: the planning problem knows one, so the other counts as not begun. */
  readonly sideBySide: boolean;
};

export function shopInProgress(seed: number, drift = true): ShopInProgress {
  const random = createRandom(seed * 31 + 5);
  const before = tinyProblem(seed);
  const outcome = makePlan(before, { seed, iterations: 40 });
  const last = Math.max(before.now + 1, ...outcome.plan.operations.flatMap((planned) => planned.lots.map((lot) => lot.end)));
  const now = before.now + 1 + random.int(last - before.now);
  const followed = advance(before, outcome.plan, now);
  let drifted = false;
  const operations = followed.operations.map((operation) => {
    const { running } = operation.progress;
    if (!drift || running === null || running.remaining === 0 || random.next() < 0.5) return operation;
    drifted = true;
    const remaining = Math.max(1, running.remaining + random.int(7) - 3);
    return { ...operation, progress: { ...operation.progress, running: { ...running, remaining } } };
  });
  return {
    problem: { ...followed, operations, published: outcome.plan, freeze: random.next() < 0.7 ? now + random.int(25) : null },
    published: outcome.plan,
    drifted,
    clean: outcome.conflicts.length === 0,
    sideBySide: outcome.plan.operations.some(({ lots }) => lots.filter((lot) => lot.start < now && now < lot.end).length > 1),
  };
}
