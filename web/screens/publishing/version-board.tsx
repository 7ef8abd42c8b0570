/** The drawing and the table of the plan board for a plan that nobody changes: looked at, zoomed, chosen from, read by keyboard. */
import { useEffect, useMemo, useRef, useState } from "react";
import type { VersionPlan } from "../../../src/contract/api/version.ts";
import type { CheckResult } from "../../../src/core/check/conflict.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { boardModel, shopModel } from "../../board/board-model.ts";
import { siteTime } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";
import { BoardCanvas } from "../plan-board/board-canvas.tsx";
import { createBoardController } from "../plan-board/board-controller.ts";
import { type BoardKeys, FocusGrid } from "../plan-board/focus-grid.tsx";
import { TableView } from "../plan-board/table-view.tsx";
import "../plan-board/plan-board.css";

const nothing = (): void => undefined;
const EVENTS = { onDrop: nothing, onLift: nothing, onPutBack: nothing, onRefusedLift: nothing };

export function VersionBoard({ version, table }: { readonly version: VersionPlan; readonly table: boolean }) {
  const model = useMemo(() => {
    const problem = version.problem as unknown as Problem;
    const shop = shopModel(problem, siteTime(problem.zone, problem.origin, problem.now));
    return boardModel(shop, version.plan as Plan, version.check as unknown as CheckResult);
  }, [version]);
  const [controller] = useState(() => createBoardController(model, false, EVENTS));
  const cell = useRef<HTMLDivElement>(null);
  const [status, setStatus] = useState("");
  useEffect(() => controller.setModel(model), [controller, model]);
  useEffect(() => () => controller.close(), [controller]);
  const backToBoard = useMemo(() => () => cell.current?.focus({ preventScroll: true }), []);
  const keys: BoardKeys = {
    ...{
      openPanel: nothing,
      pin: nothing,
      remove: nothing,
      goTo: nothing,
      table: nothing,
      find: nothing,
      help: nothing,
      answer: nothing,
    },
    ...{ undo: nothing, redo: nothing, say: setStatus },
  };
  const { tools } = words.board;
  const w = words.publishing;
  return (
    <>
      <p className="quiet">{w.boardAbout}</p>
      <div className="version-board plan-board">
        {table ? (
          <TableView controller={controller} onMove={nothing} onShow={nothing} />
        ) : (
          <>
            <div className="board-tools" role="toolbar" aria-label={words.board.title}>
              <div className="board-steps">
                <button type="button" className="button" onClick={() => controller.page(-1)} aria-label={tools.earlier}>
                  ←
                </button>
                <button type="button" className="button" onClick={() => controller.toNow()}>
                  {w.atPublishing}
                </button>
                <button type="button" className="button" onClick={() => controller.page(1)} aria-label={tools.later}>
                  →
                </button>
              </div>
              <button type="button" className="button" onClick={() => controller.showAll()}>
                {w.fit}
              </button>
            </div>
            <div className="board-stage">
              <BoardCanvas controller={controller} takeFocus={backToBoard} />
              <FocusGrid controller={controller} keys={keys} cell={cell} />
            </div>
          </>
        )}
        <div className="visually-hidden" role="status" aria-live="polite">
          {status}
        </div>
      </div>
    </>
  );
}
