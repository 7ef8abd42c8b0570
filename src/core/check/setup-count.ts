/** How often a plan sets machines up, and for how long: lots that have not begun and need more than nothing. O(size of the plan). */
import type { Minute } from "../calendar/minute.ts";
import type { Plan } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { plannedLots, sceneOf } from "./scene.ts";

export function setupsOf(problem: Problem, plan: Plan): { readonly count: number; readonly minutes: Minute } {
  const { scene } = sceneOf(problem, plan, []);
  const minutes = plannedLots(scene).map((lot) => (lot.state === "open" ? scene.setupOf(lot) : 0));
  return { count: minutes.filter((each) => each > 0).length, minutes: minutes.reduce((sum, each) => sum + each, 0) };
}
