/** How a question stands: waiting, working with progress and a way to stop it, refused, overtaken by a change of the plan. */
import type { QuestionKind } from "../../../src/contract/api/question.ts";
import type { Asking } from "../../client/question.ts";
import { Notice } from "../../parts/states.tsx";
import { words } from "../../words/words.ts";

const w = words.fit;

export const isWorking = ({ state }: Pick<Asking<QuestionKind>, "state">): boolean =>
  state === "queued" || state === "running" || state === "cancelling";

type NoteProps = Pick<Asking<QuestionKind>, "state" | "progress" | "error" | "stale" | "cancel"> & { readonly answered: boolean };

export function AskingNote({ state, progress, error, stale, cancel, answered }: NoteProps) {
  if (isWorking({ state }))
    return (
      <div className="fit-working" role="status">
        <span>
          {state === "cancelling"
            ? w.stopping
            : state === "queued"
              ? w.queued
              : progress
                ? w.progress(progress.word, progress.done, progress.total)
                : w.working}
        </span>
        {progress && progress.total !== null ? (
          <progress max={progress.total} value={progress.done} aria-label={progress.word} />
        ) : null}
        <button type="button" className="button button-small" disabled={state === "cancelling"} onClick={cancel}>
          {w.stop}
        </button>
      </div>
    );
  if (error !== null) return <Notice kind="bad">{error}</Notice>;
  if (stale && answered) return <Notice kind="warn">{w.stale}</Notice>;
  return null;
}
