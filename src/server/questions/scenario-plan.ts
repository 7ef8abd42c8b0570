/** Plans the shop of a scenario, beginning with the plan it has. */
import { check } from "../../core/check/checker.ts";
import { makePlan } from "../../core/plan/make-plan.ts";
import { CannotAnswer, defineQuestion } from "./question.ts";

export const scenarioPlanQuestion = defineQuestion({
  kind: "scenarioPlan",
  allowed: ["planner", "administrator"],
  answerTo({ problem, plan: start }, { scenario, seconds, iterations }, { seed, shouldStop, onProgress }) {
    if (scenario === null)
      throw new CannotAnswer("Say which scenario is to be planned; the draft itself is re-planned on the board.");
    const begun = performance.now();
    const passed = (): number => (performance.now() - begun) / 1000;
    const before = check(problem, start);
    const found = makePlan(problem, {
      seed,
      start,
      ...(iterations === undefined ? {} : { iterations }),
      shouldStop: () => shouldStop() || (iterations === undefined && passed() > seconds),
      onProgress: (progress) =>
        onProgress({
          done: iterations === undefined ? Math.min(seconds, Math.round(passed() * 10) / 10) : progress.iterations,
          total: iterations ?? seconds,
          word: progress.conflicts === 0 ? "Looks for a better plan" : `Looks for a plan; ${progress.conflicts} conflicts so far`,
        }),
    });
    return {
      plan: found.plan as never,
      conflicts: found.conflicts.length,
      cost: found.cost.total,
      iterations: found.iterations,
      before: { conflicts: before.conflicts.length, cost: before.cost.total },
    };
  },
});
