/** The page's side of the judging worker: questions out, answers to whoever asked last. */
import type { Conflict } from "../../../src/core/check/conflict.ts";
import type { ModeId, OperationId } from "../../../src/core/orders/operation.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import type { PlanEdit } from "../../board/plan-edit.ts";

export type JudgeQuestion =
  | { readonly kind: "problem"; readonly problem: Problem }
  | { readonly kind: "plan"; readonly plan: Plan }
  | { readonly kind: "judge"; readonly id: number; readonly edit: PlanEdit }
  | {
      readonly kind: "fits";
      readonly id: number;
      readonly operation: OperationId;
      readonly modes: readonly ModeId[];
      readonly notBefore: number;
    };

export type JudgeAnswer =
  | { readonly kind: "judged"; readonly id: number; readonly conflicts: readonly Conflict[] }
  | { readonly kind: "fit"; readonly id: number; readonly mode: ModeId; readonly minute: number | null };

export type Judge = {
  load(problem: Problem, plan: Plan): void;
  /** Only the answer to the last question is passed on. */
  judge(edit: PlanEdit, then: (conflicts: readonly Conflict[]) => void): void;
  fits(
    operation: OperationId,
    modes: readonly ModeId[],
    notBefore: number,
    each: (mode: ModeId, minute: number | null) => void,
  ): void;
  /** Nobody waits any more. */
  forget(): void;
  close(): void;
};

export function startJudge(): Judge {
  const worker = new Worker(new URL("./judge-worker.ts", import.meta.url), { type: "module" });
  const ask = (question: JudgeQuestion): void => worker.postMessage(question);
  let problem: Problem | null = null;
  let plan: Plan | null = null;
  let last = 0;
  let judgeId = 0;
  let fitsId = 0;
  let judged: ((conflicts: readonly Conflict[]) => void) | null = null;
  let fit: ((mode: ModeId, minute: number | null) => void) | null = null;
  // While the worker is busy only the newest place is worth asking about.
  let busy = false;
  let waiting: PlanEdit | null = null;
  const send = (edit: PlanEdit): void => {
    busy = true;
    judgeId = ++last;
    ask({ kind: "judge", id: judgeId, edit });
  };
  worker.onmessage = ({ data }: MessageEvent<JudgeAnswer>) => {
    if (data.kind === "fit") {
      if (data.id === fitsId) fit?.(data.mode, data.minute);
      return;
    }
    busy = false;
    if (waiting) {
      const next = waiting;
      waiting = null;
      send(next);
    } else if (data.id === judgeId) judged?.(data.conflicts);
  };
  return {
    load(nextProblem, nextPlan) {
      if (problem !== nextProblem) ask({ kind: "problem", problem: nextProblem });
      if (plan !== nextPlan) ask({ kind: "plan", plan: nextPlan });
      problem = nextProblem;
      plan = nextPlan;
    },
    judge(edit, then) {
      judged = then;
      if (busy) waiting = edit;
      else send(edit);
    },
    fits(operation, modes, notBefore, each) {
      fit = each;
      fitsId = ++last;
      ask({ kind: "fits", id: fitsId, operation, modes, notBefore });
    },
    forget() {
      judged = null;
      fit = null;
      waiting = null;
    },
    close: () => worker.terminate(),
  };
}
