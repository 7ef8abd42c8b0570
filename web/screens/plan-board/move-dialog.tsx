/** "Move ...": everything a drag does, by tapping - machines with their first fits, a start, the checker's verdict before anything changes. */
import { useEffect, useMemo, useState } from "react";
import { localText } from "../../../src/core/calendar/wall-clock.ts";
import { check } from "../../../src/core/check/checker.ts";
import type { ModeId, Operation } from "../../../src/core/orders/operation.ts";
import { newConflicts } from "../../board/conflict-list.ts";
import { applyEdit, type PlanEdit } from "../../board/plan-edit.ts";
import { Dialog } from "../../parts/dialog.tsx";
import { words } from "../../words/words.ts";
import type { BoardController } from "./board-controller.ts";
import { machinesOfBar } from "./describe.ts";
import { useBoard } from "./use-board.ts";

type MoveDialogProps = {
  readonly controller: BoardController;
  readonly operation: Operation;
  readonly onMove: (operation: Operation, mode: ModeId, start: number, planned: PlanEdit) => void;
  readonly onClose: () => void;
};

export function MoveDialog({ controller, operation, onMove, onClose }: MoveDialogProps) {
  const model = useBoard(controller, "model");
  const { time, problem } = model.shop;
  const { move, panel } = words.board;
  const lot = model.planned.get(operation.id)?.lots[0];
  const [mode, setMode] = useState<ModeId>(lot?.mode ?? operation.modes[0]?.id ?? "");
  const [fits, setFits] = useState<ReadonlyMap<ModeId, number | null>>(new Map());
  const startText = (minute: number): string => localText(time.clock, minute).slice(0, 16);
  const [text, setText] = useState(lot ? startText(lot.start) : "");

  useEffect(() => {
    controller.fitsFor(
      operation.id,
      operation.modes.map(({ id }) => id),
      (of, minute) => setFits((known) => new Map(known).set(of, minute)),
    );
  }, [controller, operation]);

  const start = text === "" ? null : time.minuteOf(text, "begin");
  const asked = useMemo(() => {
    if (start === null || mode === "") return null;
    const planned = controller.placed(operation.id, mode, Math.max(start, problem.now));
    if (!planned) return null;
    const edit: PlanEdit = { note: "", changes: [{ operation: operation.id, planned }] };
    return {
      edit,
      planned,
      conflicts: newConflicts(model.check.conflicts, check(problem, applyEdit(model.plan, edit)).conflicts),
    };
  }, [controller, operation, mode, start, problem, model]);
  const real = asked?.planned.lots[0]?.start;

  return (
    <Dialog
      title={lot ? move.title(operation.id) : move.placeTitle(operation.id)}
      onClose={onClose}
      foot={
        <>
          <button type="button" className="button" onClick={onClose}>
            {move.keep}
          </button>
          <button
            type="button"
            className="button button-main"
            disabled={!asked}
            onClick={() => asked && real !== undefined && onMove(operation, mode, real, asked.edit)}
          >
            {real === undefined ? move.verdictNone : move.act(time.short(real))}
          </button>
        </>
      }
    >
      <p className="quiet">{move.text}</p>
      <fieldset className="board-modes">
        <legend>{move.machine}</legend>
        {operation.modes.map((offered) => {
          const fit = fits.get(offered.id);
          return (
            <div key={offered.id} className="board-mode">
              <label className="check">
                <input type="radio" name="mode" checked={mode === offered.id} onChange={() => setMode(offered.id)} />
                {machinesOfBar(model, { mode: offered })}
              </label>
              <span className="quiet">
                {move.firstFit}: {fit === undefined ? words.board.paint.asking : fit === null ? move.none : time.short(fit)}
              </span>
              <button
                type="button"
                className="button button-small"
                disabled={typeof fit !== "number"}
                onClick={() => {
                  if (typeof fit !== "number") return;
                  setMode(offered.id);
                  setText(startText(fit));
                }}
              >
                {move.take}
              </button>
            </div>
          );
        })}
      </fieldset>
      <div className="field">
        <label htmlFor="move-start">
          {move.start} ({time.zone})
        </label>
        <input id="move-start" type="datetime-local" step={300} value={text} onChange={(event) => setText(event.target.value)} />
        {text !== "" && start === null ? <span className="field-fault">{move.invalid}</span> : null}
      </div>
      <div role="status" className={asked && asked.conflicts.length > 0 ? "notice notice-bad" : "notice"}>
        {asked === null ? (
          move.verdictNone
        ) : asked.conflicts.length === 0 ? (
          words.board.lift.checked
        ) : (
          <ul>
            {asked.conflicts.slice(0, 5).map((conflict) => (
              <li key={`${conflict.kind}-${conflict.interval[0]}-${conflict.operations.join()}`}>{conflict.sentence}</li>
            ))}
            {asked.conflicts.length > 5 ? <li>{words.board.lift.more(asked.conflicts.length - 5)}</li> : null}
          </ul>
        )}
      </div>
      {panel.asking && fits.size < operation.modes.length ? <p className="quiet">{panel.asking}</p> : null}
    </Dialog>
  );
}
