/**
 * The checker: takes a problem and a plan and lists every conflict, with the plan's cost beside it. It judges engine output,
 * a bar that a planner drags, and an import alike, and knows nothing of how a plan was made.
 * Readings of the planning problem: SPEC.md. O(n log n). What depends on the problem alone is remembered by problem object, so
 * whoever checks often (the board, at every drag) should pass the same one.
 */
import type { Plan } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import type { CheckResult } from "./conflict.ts";
import { costOf } from "./cost.ts";
import { frozenWork } from "./frozen.ts";
import { conflictsOf } from "./rules.ts";
import { sceneOf } from "./scene.ts";

export const check = (problem: Problem, plan: Plan): CheckResult => judge(problem, plan, () => {});

class GivenUp extends Error {}

/** The same judgement, or null as soon as `shouldStop` says so, asked every few milliseconds: for who can do without it. */
export function checkUnless(problem: Problem, plan: Plan, shouldStop: () => boolean): CheckResult | null {
  try {
    return judge(problem, plan, () => {
      if (shouldStop()) throw new GivenUp("told to stop");
    });
  } catch (error) {
    if (error instanceof GivenUp) return null;
    throw error;
  }
}

/** `breathe` is called now and then and may throw: nothing that is remembered by problem is left half done. */
function judge(problem: Problem, plan: Plan, breathe: () => void): CheckResult {
  const { scene, written } = sceneOf(problem, plan, frozenWork(problem).kept, breathe);
  const conflicts = conflictsOf({ scene, written }, breathe);
  breathe();
  return { conflicts, cost: costOf(scene) };
}
