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

export function check(problem: Problem, plan: Plan): CheckResult {
  const { scene, written } = sceneOf(problem, plan, frozenWork(problem).kept);
  return { conflicts: conflictsOf({ scene, written }), cost: costOf(scene) };
}
