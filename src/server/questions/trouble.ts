/** What one trouble breaks, told at once, and the repairs that mend it, better ones while it is let go on. */
import type { TroubleAnswer } from "../../contract/api/questions/trouble.ts";
import { repairView } from "../../contract/repair-view.ts";
import { tellTrouble } from "../../contract/told-trouble.ts";
import { type JudgedRepair, lateMinutes, repairSearch } from "../../core/plan/judged-repairs.ts";
import { breakage } from "../../core/track/trouble.ts";
import { CannotAnswer, defineQuestion } from "./question.ts";

/** Search steps: a first answer at once, then better ones while nobody has chosen. */
const STEPS = [120, 800, 3_000, 8_000];

export const troubleQuestion = defineQuestion({
  kind: "trouble",
  allowed: ["planner", "administrator"],
  answerTo({ problem, plan, shop }, { trouble }, { seed, shouldStop, onProgress, soFar }) {
    const told = tellTrouble(shop, problem, trouble);
    if (!told.ok) throw new CannotAnswer(`${told.error.at}: ${told.error.message}`);
    const { problem: after, edits, added } = told.value;
    const broken = breakage(problem, after, plan);
    const known: TroubleAnswer = {
      edits: [...edits],
      breaks: { conflicts: plain(broken.conflicts), orders: plain(broken.orders) },
      lateMinutes: lateMinutes(after, plan),
      answers: [],
    };
    soFar(known);
    const answered = (answers: readonly JudgedRepair[]): TroubleAnswer => ({
      ...known,
      answers: answers.map((answer) => repairView(after, answer, added)),
    });
    const search = repairSearch(after, plan, { seed, shouldStop }, new Set(added === null ? [] : [added]));
    let answer = known;
    for (const [done, steps] of STEPS.entries()) {
      if (done > 0 && shouldStop()) break;
      answer = answered(search.next(steps));
      soFar(answer);
      onProgress({ done: done + 1, total: STEPS.length, word: "Searches for a better repair" });
    }
    return answer;
  },
});

const plain = <T>(data: unknown): T => JSON.parse(JSON.stringify(data)) as T;
