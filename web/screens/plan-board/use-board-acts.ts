/**
 * What a planner does to the draft from the board, each with its note for the history and its words for the status: dropping, taking a
 * repair, moving by list, taking out, pinning, undo and redo. The edits go through the draft's queue; nothing is decided here.
 */
import { useCallback, useEffect, useState } from "react";
import type { PlanView } from "../../../src/contract/api/plan.ts";
import type { RepairAnswer } from "../../../src/contract/api/questions/trouble.ts";
import type { Operation } from "../../../src/core/orders/operation.ts";
import type { Bar } from "../../board/bar.ts";
import type { BoardModel } from "../../board/board-model.ts";
import { realStart } from "../../board/lift.ts";
import { editBetween, type PlanEdit } from "../../board/plan-edit.ts";
import { toast } from "../../parts/toast.tsx";
import { words } from "../../words/words.ts";
import { machineName } from "./answers.ts";
import type { BoardController } from "./board-controller.ts";
import type { Drop } from "./board-memory.ts";
import { machinesOfBar } from "./describe.ts";
import type { AsideEdit, DraftSync } from "./draft-sync.ts";
import type { Author } from "./kept-edits.ts";
import { type DropRepair, freeWork, useDropRepair } from "./use-drop-repair.ts";
import { usePins } from "./use-pins.ts";
import { usePlanBoard } from "./use-plan-board.ts";
import { useStatus } from "./use-status.ts";

/** Long enough for the first picture to be seen. */
const WARM_MS = 1500;
const WARM_APART_MS = 250;

type Wanted = {
  readonly view: PlanView;
  /** Who sits here: edits go out in their name only. */
  readonly me: Author;
  readonly mayEdit: boolean;
  readonly onView: (view: PlanView) => PlanView;
  readonly onStale: () => void;
  /** Frozen work was dropped: it is asked why. */
  readonly onFrozenDrop: (drop: Drop) => void;
  readonly backToBoard: () => void;
};

export type BoardActs = {
  readonly controller: BoardController;
  readonly model: BoardModel;
  readonly sync: DraftSync | null;
  readonly unsent: number;
  readonly offline: boolean;
  readonly aside: readonly AsideEdit[];
  readonly repair: DropRepair;
  readonly status: string;
  readonly say: (text: string) => void;
  readonly alert: string | null;
  readonly setAlert: (text: string | null) => void;
  settle(drop: Drop, reason: string | null): void;
  takeRepair(answer: RepairAnswer): void;
  leaveRepair(): void;
  pin(bar: Bar): void;
  moveTo(operation: Operation, mode: string, startAt: number, edit?: PlanEdit): void;
  remove(bar: Bar): void;
  readonly canUndo: boolean;
  undo(): void;
  redo(): void;
};

export function useBoardActs({ view, me, mayEdit, onView, onStale, onFrozenDrop, backToBoard }: Wanted): BoardActs {
  const [status, say] = useStatus();
  const [alert, setAlert] = useState<string | null>(null);
  const w = words.board;
  const told = useCallback(
    (text: string): void => {
      say(text);
      toast(text);
    },
    [say],
  );

  const settle = (drop: Drop, reason: string | null): void => {
    const { lift } = drop;
    const machine = machineName(model, lift) || w.panel.withoutMachine;
    const when = model.shop.time.short(realStart(lift));
    const note = w.note.moved(lift.number, machine, when);
    repair.dropped(drop);
    sync?.add({ ...drop.edit, note: reason === null ? note : w.note.because(note, reason) });
    say(`${w.lift.dropped(lift.number, machine, when)} ${drop.added > 0 ? w.lift.droppedConflict(lift.number, drop.added) : ""}`);
  };
  const memory = usePlanBoard(
    view,
    me,
    mayEdit,
    {
      onDrop: (drop) => (drop.lift.frozen ? onFrozenDrop(drop) : settle(drop, null)),
      onLift: (lift) => say(w.lift.lifted(lift.number)),
      onPutBack: (lift) => say(w.lift.putBack(lift.number)),
      onRefusedLift: (bar) =>
        told(!mayEdit ? w.lift.notAllowed : bar.state === "done" ? w.lift.done(bar.number) : w.lift.begun(bar.number)),
    },
    onView,
    setAlert,
  );
  const { controller, model, sync } = memory;
  const repair = useDropRepair(controller, model);
  const pins = usePins(model, sync, { told, refused: setAlert, changed: onStale });
  const { warm } = repair;
  const { problem } = model.shop;
  // One after the other: each of them takes a while, and between them the page listens.
  useEffect(() => {
    if (!mayEdit) return;
    const steps = [controller.warmJudge, () => warm(problem), controller.warmHand];
    const timers = steps.map((step, i) => setTimeout(step, WARM_MS + i * WARM_APART_MS));
    return () => timers.forEach(clearTimeout);
  }, [controller, warm, mayEdit, problem]);

  return {
    ...memory,
    repair,
    status,
    say,
    alert,
    setAlert,
    settle,
    takeRepair(answer) {
      if (repair.offer === null) return;
      const kind = words.repair.kinds[answer.kind];
      sync?.add(
        editBetween(freeWork(model, model.plan), freeWork(model, answer.plan), words.repair.note(kind, repair.offer.number)),
      );
      repair.leave();
      told(words.repair.taken(kind, answer.moved.length));
      setTimeout(backToBoard, 0);
    },
    leaveRepair() {
      repair.leave();
      setTimeout(backToBoard, 0);
    },
    pin(bar) {
      if (mayEdit && bar.state === "planned") pins.toggle(bar);
    },
    moveTo(operation, modeId, startAt, edit) {
      const planned = edit?.changes[0]?.planned ?? controller.placed(operation.id, modeId, startAt);
      const mode = operation.modes.find(({ id }) => id === modeId) ?? operation.modes[0];
      if (!planned || !mode) return;
      const machine = machinesOfBar(model, { mode });
      const when = model.shop.time.short(planned.lots[0]?.start ?? startAt);
      sync?.add({ note: w.note.moved(operation.id, machine, when), changes: [{ operation: operation.id, planned }] });
      say(w.lift.dropped(operation.id, machine, when));
    },
    remove({ operation, number }) {
      sync?.add({ note: w.note.removed(number), changes: [{ operation: operation.id, planned: null }] });
      say(w.remove.removed(number));
    },
    canUndo: pins.canTakeBack || (sync?.canUndo() ?? view.draft.canUndo),
    undo: () => (pins.canTakeBack ? pins.takeBack() : void sync?.undo().then(() => say(w.sync.undone))),
    redo: () => void sync?.redo().then(() => say(w.sync.redone)),
  };
}
