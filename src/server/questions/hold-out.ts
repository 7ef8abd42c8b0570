/** Which pins, freezes, deadlines and windows cannot all hold. */
import { whatCannotHold } from "../../core/explain/what-cannot-hold.ts";
import { makePlan } from "../../core/plan/make-plan.ts";
import { CannotAnswer, defineQuestion } from "./question.ts";

/** Search steps for each attempt to find a plan. */
const ITERATIONS = 200;

export const holdOutQuestion = defineQuestion({
  kind: "holdOut",
  allowed: ["planner", "administrator"],
  answerTo({ problem }, _input, { seed, shouldStop, onProgress }) {
    let attempts = 0;
    const answer = whatCannotHold(problem, (relaxed) => {
      // Half-made attempts would pass for "no plan exists".
      if (shouldStop()) throw new CannotAnswer("It was called off before there was an answer.");
      onProgress({ done: attempts, total: null, word: "Attempts to find a plan without some of the demands" });
      attempts += 1;
      const { plan, conflicts } = makePlan(relaxed, { seed, iterations: ITERATIONS, shouldStop });
      return conflicts.length === 0 ? plan : null;
    });
    switch (answer.kind) {
      case "holds":
        return { kind: "holds" };
      case "workDoesNotFit":
        return answer;
      case "contradictions":
        return { kind: "contradictions", sets: [...answer.sets], solvableWithout: answer.planWithout !== null };
    }
  },
});
