/** Has a scenario planned by the server, says how it goes, and hands the plan on once it is there. Called off, it keeps the best so far. */
import { useEffect, useRef } from "react";
import type { QuestionAnswer } from "../../../src/contract/api/question.ts";
import type { Asking } from "../../client/question.ts";
import { Notice } from "../../parts/states.tsx";
import { toast } from "../../parts/toast.tsx";
import { words } from "../../words/words.ts";

const w = words.scenarios.page;

type PlanItProps = {
  readonly asking: Asking<"scenarioPlan">;
  readonly scenario: string;
  readonly again: boolean;
  readonly onPlan: (plan: QuestionAnswer<"scenarioPlan">["plan"], conflicts: number) => void;
};

export function PlanIt({ asking, scenario, again, onPlan }: PlanItProps) {
  const taken = useRef<unknown>(null);
  const keep = useRef(onPlan);
  keep.current = onPlan;
  const { state, answer, progress } = asking;
  const over = state === "done" || state === "cancelled";
  useEffect(() => {
    if (!over || answer === null || taken.current === answer) return;
    taken.current = answer;
    keep.current(answer.plan, answer.conflicts);
  }, [over, answer]);
  const running = state === "queued" || state === "running" || state === "cancelling";
  return (
    <>
      {state === "failed" ? <Notice kind="bad">{asking.error ?? w.planFailed}</Notice> : null}
      {running ? (
        <span className="progress-line" role="status">
          <progress aria-label={w.planning} max={progress?.total ?? undefined} value={progress?.done} />
          <span className="quiet">{progress?.word ?? w.planning}</span>
          <button type="button" className="button" disabled={state === "cancelling"} onClick={asking.cancel}>
            {w.stopKeep}
          </button>
        </span>
      ) : (
        <button
          type="button"
          className="button button-main"
          onClick={() =>
            void asking.ask({ scenario }).catch((error: unknown) => toast(error instanceof Error ? error.message : w.planFailed))
          }
        >
          {again ? w.planAgain : w.plan}
        </button>
      )}
    </>
  );
}
