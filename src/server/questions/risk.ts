/** How sure the dates of the plan are. The runs are split over threads; the answer is the same for any number of them. */
import { createReplay } from "../../core/risk/replay.ts";
import { DEFAULT_RISK_PROFILE } from "../../core/risk/risk-profile.ts";
import { riskReport } from "../../core/risk/risk-report.ts";
import { simulateOnThreads } from "../../threads/simulate-on-threads.ts";
import { CannotAnswer, defineQuestion } from "./question.ts";

/** What decides nothing is of no interest, and a plan has thousands. */
const OPERATIONS_MAX = 200;
const WORD = "Simulated courses of the plan";

export const riskQuestion = defineQuestion({
  kind: "risk",
  allowed: ["viewer", "requester", "operator", "planner", "administrator"],
  async answerTo({ problem, plan, risk }, { runs, seed: wanted }, { seed: own, shouldStop, onProgress }) {
    if (plan.operations.length === 0)
      throw new CannotAnswer("The draft is empty, so there are no dates to be sure of. Plan first.");
    const seed = wanted ?? own;
    const profile = risk ?? DEFAULT_RISK_PROFILE;
    const parts = await simulateOnThreads(problem, plan, profile, {
      ...{ seed, runs, shouldStop },
      onProgress: (done) => onProgress({ done, total: runs, word: WORD }),
    });
    if (parts === null) throw new CannotAnswer("It was called off; a part of the courses would say too little.");
    const report = riskReport(createReplay(problem, plan, profile), parts);
    const deciding = report.operations.filter(({ decidesEnd, decidesLateness }) => decidesEnd > 0 || decidesLateness > 0);
    return {
      ...{ runs: report.runs, seed, end: report.end, orders: [...report.orders], profile },
      operations: deciding.slice(0, OPERATIONS_MAX),
      brokenLags: report.brokenLags.filter(({ share }) => share > 0),
      measured: profile !== DEFAULT_RISK_PROFILE && JSON.stringify(profile) !== JSON.stringify(DEFAULT_RISK_PROFILE),
    };
  },
});
