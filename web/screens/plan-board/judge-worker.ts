/**
 * Off the main thread: the checker over the whole shop, and first fits machine by machine. One problem and one plan are kept loaded;
 * a question about a moved bar carries only that operation. Later questions overtake earlier ones.
 */
import { check } from "../../../src/core/check/checker.ts";
import { createMover, type Mover } from "../../../src/core/plan/move.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { applyEdit } from "../../board/plan-edit.ts";
import type { JudgeAnswer, JudgeQuestion } from "./judge.ts";

let problem: Problem | null = null;
let mover: Mover | null = null;
let plan: Plan | null = null;
let latestFits = 0;

const answer = (message: JudgeAnswer): void => self.postMessage(message);

self.onmessage = ({ data }: MessageEvent<JudgeQuestion>): void => {
  switch (data.kind) {
    case "problem":
      problem = data.problem;
      mover = null;
      return;
    case "plan":
      plan = data.plan;
      return;
    case "judge":
      if (problem && plan)
        answer({ kind: "judged", id: data.id, conflicts: check(problem, applyEdit(plan, data.edit)).conflicts });
      return;
    case "fits":
      latestFits = data.id;
      void fits(data);
  }
};

/** One mode at a time with a breath between, so that a newer question is heard. */
async function fits({ id, operation, modes, notBefore }: Extract<JudgeQuestion, { kind: "fits" }>): Promise<void> {
  for (const mode of modes) {
    if (id !== latestFits || !problem || !plan) return;
    mover ??= createMover(problem);
    answer({ kind: "fit", id, mode, minute: mover.firstFit(plan, operation, mode, notBefore) });
    await new Promise((resume) => setTimeout(resume, 0));
  }
}
