/**
 * Pins belong to the order, not to the draft, so the draft's undo knows nothing of them. Promises: the last pin set or lifted here is
 * taken back by undo like every other step, as long as nothing has changed the draft since.
 */
import { useState } from "react";
import { draftAnswerSchema } from "../../../src/contract/api/plan.ts";
import type { Pin } from "../../../src/core/orders/operation.ts";
import type { Bar } from "../../board/bar.ts";
import type { BoardModel } from "../../board/board-model.ts";
import { request } from "../../client/request.ts";
import { words } from "../../words/words.ts";
import type { DraftSync } from "./draft-sync.ts";

type Step = { readonly operation: string; readonly number: string; readonly before: Pin | null; readonly revision: number };

export type Pins = {
  toggle(bar: Bar): void;
  /** Undo means the last pin. */
  readonly canTakeBack: boolean;
  takeBack(): void;
};

export function usePins(
  model: BoardModel,
  sync: DraftSync | null,
  say: { told(text: string): void; refused(text: string): void; changed(): void },
): Pins {
  const [last, setLast] = useState<Step | null>(null);
  const w = words.board.sync;
  const send = (operation: string, number: string, pin: Pin | null, after: (revision: number) => Step | null): void =>
    void request(draftAnswerSchema, "/plan/pins", { method: "POST", body: { operation, pin } }).then(
      ({ value }) => {
        setLast(after(value.draft.revision));
        say.told(pin === null ? w.unpinned(number) : w.pinned(number));
        say.changed();
      },
      (error: unknown) => say.refused(w.refused(error instanceof Error ? error.message : String(error))),
    );
  return {
    toggle({ operation: { id, pin: before }, number, pinned, mode, start: shown }) {
      const start = model.planned.get(id)?.lots[0]?.start ?? shown;
      const pin = pinned ? null : { machines: [...mode.machines], start };
      send(id, number, pin, (revision) => ({ operation: id, number, before, revision }));
    },
    canTakeBack: last !== null && sync !== null && sync.unsent() === 0 && sync.base().draft.revision <= last.revision,
    takeBack() {
      if (last) send(last.operation, last.number, last.before, () => null);
    },
  };
}
