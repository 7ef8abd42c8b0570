/** Lays out the board: title block, notices, tools, offers, drawing or table, panel, legend; and leads from one to the other. */
import { startTransition, useCallback, useEffect, useRef, useState } from "react";
import type { PlanView } from "../../../src/contract/api/plan.ts";
import type { Bar } from "../../board/bar.ts";
import { canBeLifted } from "../../board/lift.ts";
import { stepTrouble, type Trouble } from "../../board/neighbours.ts";
import type { Found } from "../../board/search.ts";
import { toast } from "../../parts/toast.tsx";
import { words } from "../../words/words.ts";
import { FitStrip } from "../fit/fit-strip.tsx";
import { useKeptAnswers } from "../fit/kept-answers.ts";
import type { About } from "../trouble/trouble-draft.ts";
import { TroubleStrip } from "../trouble/trouble-strip.tsx";
import { useTrouble } from "../trouble/use-trouble.ts";
import { AsideEdits } from "./aside-edits.tsx";
import { BoardCanvas } from "./board-canvas.tsx";
import type { BoardController } from "./board-controller.ts";
import type { BoardPlace } from "./board-memory.ts";
import { BoardNotices } from "./board-notices.tsx";
import { type BoardQuestion, BoardQuestions } from "./board-questions.tsx";
import { DropOfferStrip } from "./drop-offer.tsx";
import { type BoardKeys, FocusGrid } from "./focus-grid.tsx";
import type { Author } from "./kept-edits.ts";
import { Legend } from "./legend.tsx";
import { PrintSheets } from "./print-sheets.tsx";
import { SidePanel } from "./side-panel.tsx";
import { StationLists } from "./station-lists.tsx";
import { TableView } from "./table-view.tsx";
import { TitleBlock } from "./title-block.tsx";
import { Toolbar } from "./toolbar.tsx";
import { useBoard } from "./use-board.ts";
import { useBoardActs } from "./use-board-acts.ts";
import { useChain, useChainOfAddress } from "./use-chain.ts";
import { usePrinting } from "./use-printing.ts";
import { RUN_SECONDS, useRun } from "./use-run.ts";

const WIDE = "(min-width: 1180px)";

/** Whether the first picture of the board has been painted: what stands beside it is laid out after it. */
function useFirstPictureSeen(): boolean {
  const [seen, setSeen] = useState(false);
  useEffect(() => {
    let asked = requestAnimationFrame(() => {
      asked = requestAnimationFrame(() => startTransition(() => setSeen(true)));
    });
    return () => cancelAnimationFrame(asked);
  }, []);
  return seen;
}

type PlanBoardProps = {
  readonly view: PlanView;
  readonly me: Author;
  readonly mayEdit: boolean;
  readonly onView: (view: PlanView) => PlanView;
  /** The server's draft may have changed: read it again. */
  readonly onStale: () => void;
  /** Where another screen sent whoever comes. */
  readonly place?: BoardPlace | null;
  /** An order named in the address, and whether its chain is drawn. */
  readonly order?: string | undefined;
  readonly chain?: boolean;
};

export function PlanBoard({ view, me, mayEdit, onView, onStale, place = null, order, chain = false }: PlanBoardProps) {
  const [question, setQuestion] = useState<BoardQuestion | null>(null);
  const [table, setTable] = useState(false);
  const [panel, setPanel] = useState(() => window.matchMedia(WIDE).matches);
  const seen = useFirstPictureSeen();
  const cell = useRef<HTMLDivElement>(null);
  const heading = useRef<HTMLHeadingElement>(null);
  const findBox = useRef<HTMLInputElement>(null);
  // Stable: the drawing would let go of a bar in the hand if it changed.
  const backToBoard = useCallback((): void => cell.current?.focus({ preventScroll: true }), []);
  const acts = useBoardActs({
    ...{ view, me, mayEdit, onView, onStale, backToBoard },
    onFrozenDrop: (drop) => setQuestion({ kind: "frozen", drop }),
  });
  const { controller, model, say, repair } = acts;
  useEffect(() => {
    if (place !== null) controller.lookAt(place);
  }, [controller, place]);
  useChain(controller, model);
  useChainOfAddress(controller, order, chain);
  const telling = useTrouble();
  const fitting = useKeptAnswers();
  const openTrouble = useCallback((about: About): void => setQuestion({ kind: "trouble", about }), []);
  const onRunEnded = useCallback(() => onStale(), [onStale]);
  const { run, start, stop } = useRun(onRunEnded, acts.setAlert);
  const { print, printBoard, printLists } = usePrinting(controller);
  const w = words.board;

  const close = (): void => {
    setQuestion(null);
    setTimeout(backToBoard, 0);
  };
  /** An act of a dialog, which closes with it. */
  const closing =
    <A extends readonly unknown[]>(act: (...args: A) => void) =>
    (...args: A): void => {
      act(...args);
      close();
    };
  const show = (bar: Bar): void => {
    setTable(false);
    controller.choose(bar);
    controller.revealBar(bar);
  };
  const askRemove = (bar: Bar): void => {
    if (mayEdit && canBeLifted(bar)) setQuestion({ kind: "remove", bar });
    else say(mayEdit ? w.lift.begun(bar.number) : w.lift.notAllowed);
  };
  const showTrouble = (kind: Trouble): void => {
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
  const keys: BoardKeys = {
    openPanel: () => {
      setPanel(true);
      setTimeout(() => heading.current?.focus(), 0);
    },
    pin: acts.pin,
    remove: askRemove,
    goTo: () => setQuestion({ kind: "goTo" }),
    table: () => setTable(true),
    find: () => findBox.current?.focus(),
    help: () => setQuestion({ kind: "keys" }),
    undo: acts.undo,
    redo: acts.redo,
    say,
    wrong: (bar) => openTrouble({ operation: bar.operation.id }),
    answer: (key) => {
      const { offer } = repair;
      if (offer === null) return false;
      const answer = offer.answers[Number(key) - 1];
      if (answer) acts.takeRepair(answer);
      else if (key === "Escape") acts.leaveRepair();
      else return false;
      return true;
    },
  };

  return (
    // Escape leaves the panel for the board, as Enter went into it.
    // biome-ignore lint/a11y/noStaticElementInteractions: keys of the parts inside bubble to here
    <div
      className="plan-board"
      data-printing={print?.kind}
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
      <h1 className="visually-hidden">{w.title}</h1>
      <TitleBlock
        view={view}
        model={model}
        unsent={acts.unsent}
        canUndo={acts.canUndo}
        canRedo={acts.sync?.canRedo() ?? view.draft.canRedo}
        mayEdit={mayEdit}
        running={run !== null}
        onUndo={acts.undo}
        onRedo={acts.redo}
        onReplan={() => void start(RUN_SECONDS)}
        onPublish={() => setQuestion({ kind: "publish" })}
        onTrouble={showTrouble}
        onWrong={mayEdit ? () => openTrouble({}) : undefined}
      />
      <BoardNotices
        offline={acts.offline}
        alert={acts.alert}
        onAlertRead={() => acts.setAlert(null)}
        run={run}
        onStop={() => void stop()}
      />
      <AsideEdits
        controller={controller}
        model={model}
        edits={acts.aside}
        mayEdit={mayEdit}
        onPutIn={(id) => acts.sync?.putIn(id)}
        onLetGo={(id) => acts.sync?.letGo(id)}
      />
      <Toolbar
        controller={controller}
        table={table}
        panel={panel}
        findBox={findBox}
        onTable={() => setTable(!table)}
        onPanel={() => setPanel(!panel)}
        onPrintBoard={printBoard}
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
          unsent={acts.unsent}
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
      {fitting && !telling.told && !repair.offer ? (
        <FitStrip
          kept={fitting}
          view={view}
          controller={controller}
          model={model}
          unsent={acts.unsent}
          mayEdit={mayEdit}
          say={say}
        />
      ) : null}
      {repair.offer && !telling.told ? (
        <DropOfferStrip
          controller={controller}
          model={model}
          offer={repair.offer}
          say={say}
          onTake={acts.takeRepair}
          onLeave={acts.leaveRepair}
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
        {panel && !table && !seen ? <aside className="board-panel" aria-busy="true" /> : null}
        {panel && !table && seen ? (
          <SidePanel
            controller={controller}
            heading={heading}
            acts={{
              move: (operation) => setQuestion({ kind: "move", operation }),
              pin: acts.pin,
              remove: askRemove,
              wrong: openTrouble,
              startAt: acts.moveTo,
              show,
              table: () => setTable(true),
              cannotHold: () => setQuestion({ kind: "cannotHold" }),
              close: () => setPanel(false),
            }}
          />
        ) : null}
      </div>
      {/* The sheets have a legend of their own; the patterns of a hidden one would hide theirs. */}
      {table || print?.kind === "board" ? null : <Legend drawn={seen} />}
      <div className="visually-hidden" role="status" aria-live="polite" data-testid="board-status">
        {acts.status}
      </div>
      {print?.kind === "board" ? (
        <PrintSheets view={view} model={model} unsent={acts.unsent} now={controller.now()} sheets={print.sheets} />
      ) : null}
      {print?.kind === "lists" ? <StationLists model={model} /> : null}
      <BoardQuestions
        question={question}
        controller={controller}
        model={model}
        revision={view.draft.revision}
        unsent={acts.unsent}
        acts={{
          settle: closing(acts.settle),
          remove: closing(acts.remove),
          moveTo: closing(acts.moveTo),
          goTo: closing((minute: number) => {
            setTable(false);
            controller.goTo(minute);
          }),
          tell: (told) => {
            repair.leave();
            telling.tell(told);
            setQuestion(null);
          },
          planAgain: () => void start(RUN_SECONDS),
          published: closing((version: number) => {
            toast(w.publish.done(version));
            say(w.publish.done(version));
            onStale();
          }),
        }}
        onClose={close}
      />
      <ChosenOrder controller={controller} />
    </div>
  );
}

/** A part of its own: choosing does not lay out the whole board again. */
function ChosenOrder({ controller }: { readonly controller: BoardController }) {
  const order = useBoard(controller, "chosenOrder");
  return order === null ? null : (
    <span hidden data-testid="chosen-order">
      {order}
    </span>
  );
}
