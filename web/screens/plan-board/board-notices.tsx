/** What stands between title block and tools while it is so: the network is gone, something was refused, the engine works. */
import { numberText } from "../../present/amounts.ts";
import { words } from "../../words/words.ts";
import type { useRun } from "./use-run.ts";

type BoardNoticesProps = {
  readonly offline: boolean;
  readonly alert: string | null;
  readonly onAlertRead: () => void;
  readonly run: ReturnType<typeof useRun>["run"];
  readonly onStop: () => void;
};

export function BoardNotices({ offline, alert, onAlertRead, run, onStop }: BoardNoticesProps) {
  const say = words.board;
  return (
    <>
      {offline ? (
        <div className="notice notice-warn" role="status">
          {say.sync.offline}
        </div>
      ) : null}
      {alert !== null ? (
        <div className="notice notice-bad" role="alert">
          <div>{alert}</div>
          <button type="button" className="button button-small" onClick={onAlertRead}>
            {words.shell.close}
          </button>
        </div>
      ) : null}
      {run ? (
        <div className="board-run" role="status">
          <span className="board-run-mark" aria-hidden="true" />
          <span>
            {run.state === "cancelling"
              ? say.run.stopping
              : run.progress
                ? `${say.run.working(run.progress.conflicts, run.progress.seconds)} ${run.progress.cost ? say.run.cost(numberText(run.progress.cost.total)) : ""}`
                : say.run.queued}
          </span>
          <button type="button" className="button button-small" disabled={run.state === "cancelling"} onClick={onStop}>
            {say.run.stop}
          </button>
        </div>
      ) : null}
    </>
  );
}
