/** The dialogs of the board: at most one is open, and each says what will happen before it does. */
import type { Operation } from "../../../src/core/orders/operation.ts";
import type { Bar } from "../../board/bar.ts";
import type { BoardModel } from "../../board/board-model.ts";
import type { PlanEdit } from "../../board/plan-edit.ts";
import { TellTroubleDialog } from "../trouble/trouble-dialog.tsx";
import type { About } from "../trouble/trouble-draft.ts";
import type { Told } from "../trouble/use-trouble.ts";
import type { BoardController } from "./board-controller.ts";
import { FrozenDialog, GoToDialog, KeysDialog, RemoveDialog } from "./board-dialogs.tsx";
import type { Drop } from "./board-memory.ts";
import { CannotHoldDialog } from "./cannot-hold.tsx";
import { MoveDialog } from "./move-dialog.tsx";
import { PublishDialog } from "./publish-dialog.tsx";

export type BoardQuestion =
  | { readonly kind: "frozen"; readonly drop: Drop }
  | { readonly kind: "remove"; readonly bar: Bar }
  | { readonly kind: "move"; readonly operation: Operation }
  | { readonly kind: "goTo" }
  | { readonly kind: "keys" }
  | { readonly kind: "cannotHold" }
  | { readonly kind: "trouble"; readonly about: About }
  | { readonly kind: "publish" };

type BoardQuestionsProps = {
  readonly question: BoardQuestion | null;
  readonly controller: BoardController;
  readonly model: BoardModel;
  readonly revision: number;
  readonly unsent: number;
  readonly acts: {
    readonly settle: (drop: Drop, reason: string) => void;
    readonly remove: (bar: Bar) => void;
    readonly moveTo: (operation: Operation, mode: string, startAt: number, edit?: PlanEdit) => void;
    readonly goTo: (minute: number) => void;
    readonly tell: (told: Told) => void;
    readonly planAgain: () => void;
    readonly published: (version: number) => void;
  };
  readonly onClose: () => void;
};

export function BoardQuestions({ question, controller, model, revision, unsent, acts, onClose }: BoardQuestionsProps) {
  if (question === null) return null;
  const { problem, time } = model.shop;
  switch (question.kind) {
    case "frozen":
      return (
        <FrozenDialog
          number={question.drop.lift.number}
          until={time.short(problem.freeze ?? problem.now)}
          onMove={(reason) => acts.settle(question.drop, reason)}
          onClose={onClose}
        />
      );
    case "remove":
      return <RemoveDialog number={question.bar.number} onRemove={() => acts.remove(question.bar)} onClose={onClose} />;
    case "move":
      return <MoveDialog controller={controller} operation={question.operation} onMove={acts.moveTo} onClose={onClose} />;
    case "goTo":
      return <GoToDialog time={time} onGo={acts.goTo} onClose={onClose} />;
    case "trouble":
      return <TellTroubleDialog problem={problem} time={time} about={question.about} onTell={acts.tell} onClose={onClose} />;
    case "keys":
      return <KeysDialog onClose={onClose} />;
    case "cannotHold":
      return <CannotHoldDialog problem={problem} time={time} onPlanAgain={acts.planAgain} onClose={onClose} />;
    case "publish":
      return <PublishDialog model={model} revision={revision} unsent={unsent} onPublished={acts.published} onClose={onClose} />;
  }
}
