/** Lays out the board and gives every act its words: title block, tools, drawing, panel, legend, dialogs, status. */
import { useCallback, useEffect, useRef, useState } from "react";
import { draftAnswerSchema, type PlanView } from "../../../src/contract/api/plan.ts";
import type { RepairAnswer } from "../../../src/contract/api/questions/trouble.ts";
import type { Operation } from "../../../src/core/orders/operation.ts";
import type { Bar } from "../../board/bar.ts";
import { canBeLifted, realStart } from "../../board/lift.ts";
import { stepTrouble, type Trouble } from "../../board/neighbours.ts";
import { editBetween, type PlanEdit } from "../../board/plan-edit.ts";
import type { Found } from "../../board/search.ts";
import { request } from "../../client/request.ts";
import { toast } from "../../parts/toast.tsx";
import { numberText } from "../../present/amounts.ts";
import { words } from "../../words/words.ts";
import { TellTroubleDialog } from "../trouble/trouble-dialog.tsx";
import type { About } from "../trouble/trouble-draft.ts";
import { TroubleStrip } from "../trouble/trouble-strip.tsx";
import { useTrouble } from "../trouble/use-trouble.ts";
import { machineName } from "./answers.ts";
import { BoardCanvas } from "./board-canvas.tsx";
import type { BoardPlace, Drop } from "./board-controller.ts";
import { FrozenDialog, GoToDialog, KeysDialog, RemoveDialog } from "./board-dialogs.tsx";
import { CannotHoldDialog } from "./cannot-hold.tsx";
import { machinesOfBar } from "./describe.ts";
import { DropOfferStrip } from "./drop-offer.tsx";
import { type BoardKeys, FocusGrid } from "./focus-grid.tsx";
import { Legend } from "./legend.tsx";
import { MoveDialog } from "./move-dialog.tsx";
import { printPicture } from "./print-board.ts";
import { PublishDialog } from "./publish-dialog.tsx";
import { SidePanel } from "./side-panel.tsx";
import { StationLists } from "./station-lists.tsx";
import { TableView } from "./table-view.tsx";
import { TitleBlock } from "./title-block.tsx";
import { Toolbar } from "./toolbar.tsx";
import { useBoard } from "./use-board.ts";
import { useChain, useChainOfAddress } from "./use-chain.ts";
import { freeWork, useDropRepair } from "./use-drop-repair.ts";
import { usePlanBoard } from "./use-plan-board.ts";
import { RUN_SECONDS, useRun } from "./use-run.ts";

type Question =
  | { readonly kind: "frozen"; readonly drop: Drop }
  | { readonly kind: "remove"; readonly bar: Bar }
  | { readonly kind: "move"; readonly operation: Operation }
  | { readonly kind: "goTo" }
  | { readonly kind: "keys" }
  | { readonly kind: "cannotHold" }
  | { readonly kind: "trouble"; readonly about: About }
  | { readonly kind: "publish" };

/** Verdicts while moving come in a stream; a voice needs whole ones. */
const SAY_EVERY_MS = 150;
const WIDE = "(min-width: 1180px)";

type PlanBoardProps = {
  readonly view: PlanView;
  readonly mayEdit: boolean;
  readonly onView: (view: PlanView) => void;
  /** The server's draft may have changed: read it again. */
  readonly onStale: () => void;
  /** Where another screen sent whoever comes. */
  readonly place?: BoardPlace | null;
  /** An order named in the address, and whether its chain is drawn. */
  readonly order?: string | undefined;
  readonly chain?: boolean;
};

export function PlanBoard({ view, mayEdit, onView, onStale, place = null, order, chain = false }: PlanBoardProps) {
  const [question, setQuestion] = useState<Question | null>(null);
  const [table, setTable] = useState(false);
  const [panel, setPanel] = useState(() => window.matchMedia(WIDE).matches);
  const [status, say] = useStatus();
  const [alert, setAlert] = useState<string | null>(null);
  const [print, setPrint] = useState<string | "lists" | null>(null);
  const cell = useRef<HTMLDivElement>(null);
  const heading = useRef<HTMLHeadingElement>(null);
  const findBox = useRef<HTMLInputElement>(null);
  const say_ = words.board;

  const settle = (drop: Drop, reason: string | null): void => {
    const { lift } = drop;
    const machine = machineName(model, lift) || say_.panel.withoutMachine;
    const when = model.shop.time.short(realStart(lift));
    const note = say_.note.moved(lift.number, machine, when);
    repair.dropped(drop);
    memory.sync?.add({ ...drop.edit, note: reason === null ? note : say_.note.because(note, reason) });
    say(
      `${say_.lift.dropped(lift.number, machine, when)} ${drop.added > 0 ? say_.lift.droppedConflict(lift.number, drop.added) : ""}`,
    );
  };
  const memory = usePlanBoard(
    view,
    mayEdit,
    {
      onDrop: (drop) => (drop.lift.frozen ? setQuestion({ kind: "frozen", drop }) : settle(drop, null)),
      onLift: (lift) => say(say_.lift.lifted(lift.number)),
      onPutBack: (lift) => say(say_.lift.putBack(lift.number)),
      onRefusedLift: (bar) => {
        const text = !mayEdit
          ? say_.lift.notAllowed
          : bar.state === "done"
            ? say_.lift.done(bar.number)
            : say_.lift.begun(bar.number);
        say(text);
        toast(text);
      },
    },
    onView,
    setAlert,
  );
  const { controller, model } = memory;
  useEffect(() => {
    if (place !== null) controller.lookAt(place);
  }, [controller, place]);
  useChain(controller, model);
  useChainOfAddress(controller, order, chain);
  const repair = useDropRepair(controller, model);
  const takeRepair = (answer: RepairAnswer): void => {
    if (repair.offer === null) return;
    const kind = words.repair.kinds[answer.kind];
    const text = words.repair.taken(kind, answer.moved.length);
    memory.sync?.add(
      editBetween(freeWork(model, model.plan), freeWork(model, answer.plan), words.repair.note(kind, repair.offer.number)),
    );
    repair.leave();
    say(text);
    toast(text);
    setTimeout(backToBoard, 0);
  };
  const telling = useTrouble();
  const openTrouble = useCallback((about: About): void => setQuestion({ kind: "trouble", about }), []);
  const leaveDrop = (): void => {
    repair.leave();
    setTimeout(backToBoard, 0);
  };
  const chosenOrder = useBoard(controller, "chosenOrder");
  const onRunEnded = useCallback(() => onStale(), [onStale]);
  const { run, start, stop } = useRun(onRunEnded, setAlert);

  // Stable: the drawing would let go of a bar in the hand if it changed.
  const backToBoard = useCallback((): void => cell.current?.focus({ preventScroll: true }), []);
  const close = (): void => {
    setQuestion(null);
    setTimeout(backToBoard, 0);
  };
  const show = (bar: Bar): void => {
    setTable(false);
    controller.choose(bar);
    controller.revealBar(bar);
  };
  const pin = async (bar: Bar): Promise<void> => {
    if (!mayEdit || bar.state !== "planned") return;
    const lifting = bar.pinned;
    const body = {
      operation: bar.operation.id,
      pin: lifting
        ? null
        : { machines: [...bar.mode.machines], start: model.planned.get(bar.operation.id)?.lots[0]?.start ?? bar.start },
    };
    try {
      await request(draftAnswerSchema, "/plan/pins", { method: "POST", body });
      const text = lifting ? say_.sync.unpinned(bar.number) : say_.sync.pinned(bar.number);
      say(text);
      toast(text);
      onStale();
    } catch (error) {
      setAlert(say_.sync.refused(error instanceof Error ? error.message : String(error)));
    }
  };
  const remove = (bar: Bar): void => {
    if (mayEdit && canBeLifted(bar)) setQuestion({ kind: "remove", bar });
    else say(mayEdit ? say_.lift.begun(bar.number) : say_.lift.notAllowed);
  };
  const moveTo = (operation: Operation, mode: string, startAt: number, edit?: PlanEdit): void => {
    const planned = edit?.changes[0]?.planned ?? controller.placed(operation.id, mode, startAt);
    if (!planned) return;
    const machine = machinesOfBar(model, {
      mode: operation.modes.find(({ id }) => id === mode) ?? (operation.modes[0] as Operation["modes"][number]),
    });
    const when = model.shop.time.short(planned.lots[0]?.start ?? startAt);
    memory.sync?.add({ note: say_.note.moved(operation.id, machine, when), changes: [{ operation: operation.id, planned }] });
    say(say_.lift.dropped(operation.id, machine, when));
  };
  const undo = (): void => {
    void memory.sync?.undo().then(() => say(say_.sync.undone));
  };
  const redo = (): void => {
    void memory.sync?.redo().then(() => say(say_.sync.redone));
  };
  const trouble = (kind: Trouble): void => {
    const { chosenKey } = controller.snapshot();
    const bar = stepTrouble(model, chosenKey === null ? null : controller.bar(chosenKey), kind, false);
    if (bar) show(bar);
    else setPanel(true);
  };
  const found = (one: Found): void => {
    setTable(false);
    if (one.kind === "machine") controller.revealMachine(one.id);
    else {
      const bar = one.key === null ? null : controller.bar(one.key);
      if (bar) {
        show(bar);
        controller.focus(bar);
      } else {
        const order = model.shop.operation.get(one.id)?.order;
        if (order) controller.chooseOrder(order);
        setPanel(true);
      }
    }
    setTimeout(backToBoard, 0);
  };
  const openPanel = (): void => {
    setPanel(true);
    setTimeout(() => heading.current?.focus(), 0);
  };
  const keys: BoardKeys = {
    openPanel,
    pin: (bar) => void pin(bar),
    remove,
    goTo: () => setQuestion({ kind: "goTo" }),
    table: () => setTable(true),
    find: () => findBox.current?.focus(),
    help: () => setQuestion({ kind: "keys" }),
    undo,
    redo,
    say,
    wrong: (bar) => openTrouble({ operation: bar.operation.id }),
    answer: (key) => {
      const { offer } = repair;
      if (offer === null) return false;
      const answer = offer.answers[Number(key) - 1];
      if (answer) takeRepair(answer);
      else if (key === "Escape") leaveDrop();
      else return false;
      return true;
    },
  };
  const printBoard = async (): Promise<void> => {
    setPrint(await printPicture(controller));
    setTimeout(() => {
      window.print();
      setPrint(null);
    }, 60);
  };
  const printLists = (): void => {
    setPrint("lists");
    setTimeout(() => {
      window.print();
      setPrint(null);
    }, 60);
  };

  return (
    // Escape leaves the panel for the board, as Enter went into it.
    // biome-ignore lint/a11y/noStaticElementInteractions: keys of the parts inside bubble to here
    <div
      className="plan-board"
      data-printing={print === null ? undefined : print === "lists" ? "lists" : "board"}
      onKeyDown={(event) => {
        if (event.defaultPrevented) return;
        const typing = (event.target as HTMLElement).closest("input, select, textarea, dialog");
        if (typing) return;
        if (event.key === "Escape" && panel && !table) backToBoard();
        else if ((event.key === "v" || event.key === "V") && table) setTable(false);
        else return;
        event.preventDefault();
      }}
    >
      <h1 className="visually-hidden">{say_.title}</h1>
      <TitleBlock
        view={view}
        model={model}
        unsent={memory.unsent}
        canUndo={memory.sync?.canUndo() ?? view.draft.canUndo}
        canRedo={memory.sync?.canRedo() ?? view.draft.canRedo}
        mayEdit={mayEdit}
        running={run !== null}
        onUndo={undo}
        onRedo={redo}
        onReplan={() => void start(RUN_SECONDS)}
        onPublish={() => setQuestion({ kind: "publish" })}
        onTrouble={trouble}
      />
      {memory.offline ? (
        <div className="notice notice-warn" role="status">
          {say_.sync.offline}
        </div>
      ) : null}
      {alert !== null ? (
        <div className="notice notice-bad" role="alert">
          <div>{alert}</div>
          <button type="button" className="button button-small" onClick={() => setAlert(null)}>
            {words.shell.close}
          </button>
        </div>
      ) : null}
      {run ? (
        <div className="board-run" role="status">
          <span className="board-run-mark" aria-hidden="true" />
          <span>
            {run.state === "cancelling"
              ? say_.run.stopping
              : run.progress
                ? `${say_.run.working(run.progress.conflicts, run.progress.seconds)} ${run.progress.cost ? say_.run.cost(numberText(run.progress.cost.total)) : ""}`
                : say_.run.queued}
          </span>
          <button type="button" className="button button-small" disabled={run.state === "cancelling"} onClick={() => void stop()}>
            {say_.run.stop}
          </button>
        </div>
      ) : null}
      <Toolbar
        controller={controller}
        table={table}
        panel={panel}
        findBox={findBox}
        onTable={() => setTable(!table)}
        onPanel={() => setPanel(!panel)}
        onTrouble={mayEdit ? () => openTrouble({}) : undefined}
        onPrintBoard={() => void printBoard()}
        onPrintLists={printLists}
        onGoTo={() => setQuestion({ kind: "goTo" })}
        onKeys={() => setQuestion({ kind: "keys" })}
        onFound={found}
        backToBoard={backToBoard}
      />
      {telling.told ? (
        <TroubleStrip
          controller={controller}
          model={model}
          telling={telling}
          unsent={memory.unsent}
          say={say}
          onTaken={(sentence) => {
            const text = words.trouble.taken(sentence);
            say(text);
            toast(text);
            onStale();
            setTimeout(backToBoard, 0);
          }}
          onNever={() => {
            telling.never();
            setTimeout(backToBoard, 0);
          }}
        />
      ) : null}
      {repair.offer && !telling.told ? (
        <DropOfferStrip
          controller={controller}
          model={model}
          offer={repair.offer}
          say={say}
          onTake={takeRepair}
          onLeave={leaveDrop}
        />
      ) : null}
      <div className="board-middle" data-panel={panel && !table ? "" : undefined}>
        {table ? (
          <TableView controller={controller} onMove={(operation) => setQuestion({ kind: "move", operation })} onShow={show} />
        ) : (
          <div className="board-stage">
            <BoardCanvas
              controller={controller}
              takeFocus={backToBoard}
              onMachine={mayEdit ? (machine) => openTrouble({ machine }) : undefined}
            />
            <FocusGrid controller={controller} keys={keys} cell={cell} />
          </div>
        )}
        {panel && !table ? (
          <SidePanel
            controller={controller}
            heading={heading}
            acts={{
              move: (operation) => setQuestion({ kind: "move", operation }),
              pin: (bar) => void pin(bar),
              remove,
              wrong: openTrouble,
              startAt: moveTo,
              show,
              table: () => setTable(true),
              cannotHold: () => setQuestion({ kind: "cannotHold" }),
              close: () => setPanel(false),
            }}
          />
        ) : null}
      </div>
      {table ? null : <Legend />}
      <div className="visually-hidden" role="status" aria-live="polite" data-testid="board-status">
        {status}
      </div>
      {print !== null && print !== "lists" ? <img className="print-picture" src={print} alt={say_.title} /> : null}
      {print === "lists" ? <StationLists model={model} /> : null}
      {question?.kind === "frozen" ? (
        <FrozenDialog
          number={question.drop.lift.number}
          until={model.shop.time.short(model.shop.problem.freeze ?? model.shop.problem.now)}
          onMove={(reason) => {
            settle(question.drop, reason);
            close();
          }}
          onClose={close}
        />
      ) : null}
      {question?.kind === "remove" ? (
        <RemoveDialog
          number={question.bar.number}
          onRemove={() => {
            const { operation, number } = question.bar;
            memory.sync?.add({ note: say_.note.removed(number), changes: [{ operation: operation.id, planned: null }] });
            say(say_.remove.removed(number));
            close();
          }}
          onClose={close}
        />
      ) : null}
      {question?.kind === "move" ? (
        <MoveDialog
          controller={controller}
          operation={question.operation}
          onMove={(operation, mode, startAt, edit) => {
            moveTo(operation, mode, startAt, edit);
            close();
          }}
          onClose={close}
        />
      ) : null}
      {question?.kind === "goTo" ? (
        <GoToDialog
          time={model.shop.time}
          onGo={(minute) => {
            setTable(false);
            controller.goTo(minute);
            close();
          }}
          onClose={close}
        />
      ) : null}
      {question?.kind === "trouble" ? (
        <TellTroubleDialog
          problem={model.shop.problem}
          time={model.shop.time}
          about={question.about}
          onTell={(told) => {
            repair.leave();
            telling.tell(told);
            setQuestion(null);
          }}
          onClose={close}
        />
      ) : null}
      {question?.kind === "keys" ? <KeysDialog onClose={close} /> : null}
      {question?.kind === "cannotHold" ? (
        <CannotHoldDialog
          problem={model.shop.problem}
          time={model.shop.time}
          onPlanAgain={() => void start(RUN_SECONDS)}
          onClose={close}
        />
      ) : null}
      {question?.kind === "publish" ? (
        <PublishDialog
          model={model}
          revision={view.draft.revision}
          unsent={memory.unsent}
          onPublished={(version) => {
            toast(say_.publish.done(version));
            say(say_.publish.done(version));
            onStale();
            close();
          }}
          onClose={close}
        />
      ) : null}
      {chosenOrder === null ? null : (
        <span hidden data-testid="chosen-order">
          {chosenOrder}
        </span>
      )}
    </div>
  );
}

/** The one polite voice of the board. */
function useStatus(): readonly [string, (text: string) => void] {
  const [text, setText] = useState("");
  const timer = useRef<ReturnType<typeof setTimeout>>(undefined);
  const say = useCallback((next: string): void => {
    clearTimeout(timer.current);
    timer.current = setTimeout(() => setText(next), SAY_EVERY_MS);
  }, []);
  return [text, say];
}
