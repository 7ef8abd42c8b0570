/** The button that has the plan replayed, its progress, its stop, and what went wrong. */
import { Notice } from "../../parts/states.tsx";
import { words } from "../../words/words.ts";
import { useWorkingOut } from "./use-working-out.ts";

const w = words.howSure;

export function WorkingOut({ known, small = false }: { readonly known: boolean; readonly small?: boolean }) {
  const asking = useWorkingOut();
  const busy = asking.state === "queued" || asking.state === "running" || asking.state === "cancelling";
  const look = small ? "button button-small" : "button button-main";
  return (
    <>
      <div className="row" role="status">
        {busy ? (
          <>
            {asking.progress ? (
              <>
                <progress value={asking.progress.done} max={asking.progress.total ?? undefined} aria-label={w.title} />
                <span>{w.working(asking.progress.done, asking.progress.total ?? 0)}</span>
              </>
            ) : (
              <span>{w.queued}</span>
            )}
            <button type="button" className="button button-small" onClick={asking.cancel}>
              {w.stop}
            </button>
          </>
        ) : (
          <button type="button" className={look} onClick={() => void asking.ask({}).catch(() => undefined)}>
            {known ? w.again : w.ask}
          </button>
        )}
      </div>
      {asking.error && !busy ? <Notice kind="warn">{asking.error}</Notice> : null}
    </>
  );
}
