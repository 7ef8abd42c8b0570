/**
 * The board for keyboard and screen reader: a transparent grid over the drawing. Every machine is a row with its header; one cell
 * exists, the one that has focus, named in whole sentences. All keys of the board are handled here and only while it has focus.
 */
import { type KeyboardEvent, useEffect, useRef, useSyncExternalStore } from "react";
import type { Bar } from "../../board/bar.ts";
import { xOf } from "../../board/camera.ts";
import { laneTops } from "../../board/lanes.ts";
import { firstBar, placeInRow, type Step, stepFrom, stepTrouble, type Trouble } from "../../board/neighbours.ts";
import { timeArea } from "../../board/paint/surface.ts";
import { words } from "../../words/words.ts";
import { slipOf } from "./answers.ts";
import type { BoardController } from "./board-controller.ts";
import { cellName } from "./describe.ts";

/** What the board cannot do by itself. */
export type BoardKeys = {
  readonly openPanel: () => void;
  readonly pin: (bar: Bar) => void;
  readonly remove: (bar: Bar) => void;
  readonly goTo: () => void;
  readonly table: () => void;
  readonly find: () => void;
  readonly help: () => void;
  readonly undo: () => void;
  readonly redo: () => void;
  readonly say: (text: string) => void;
  /** Something went wrong with this operation. */
  readonly wrong?: (bar: Bar) => void;
  /** Keys of what is offered over the board, while something is: true when one was meant. */
  readonly answer?: (key: string) => unknown;
};

const STEPS: Readonly<Record<string, Step>> = {
  ArrowLeft: "left",
  ArrowRight: "right",
  ArrowUp: "up",
  ArrowDown: "down",
  Home: "home",
  End: "end",
  "[": "previousOfOrder",
  "]": "nextOfOrder",
};
const TROUBLES: Readonly<Record<string, Trouble>> = { c: "conflict", l: "late", r: "rush" };
const ZOOM_STEP = 1.5;

export function FocusGrid({
  controller,
  keys,
  cell,
}: {
  readonly controller: BoardController;
  readonly keys: BoardKeys;
  readonly cell: React.RefObject<HTMLDivElement | null>;
}) {
  const snapshot = useSyncExternalStore(controller.subscribe, controller.snapshot);
  const { model, focusKey, hasFocus, lift, size, camera, options } = snapshot;
  const bar = (focusKey === null ? undefined : model.byKey.get(focusKey)) ?? firstBar(model, model.shop.problem.now) ?? undefined;
  const tops = laneTops(model.lanes, options.density);
  const lane = lift ? lift.lane : (bar?.lanes[0] ?? -1);
  const wanted = useRef(false);

  // When the focused cell moves to another row it is another element: focus follows.
  useEffect(() => {
    if (wanted.current && cell.current && document.activeElement !== cell.current) cell.current.focus({ preventScroll: true });
  });

  // In a small window or with large text the board may reach below the fold: the page brings the focused bar into sight, too.
  // biome-ignore lint/correctness/useExhaustiveDependencies: it is the change of place that asks for it
  useEffect(() => {
    if (hasFocus) cell.current?.scrollIntoView({ block: "nearest", inline: "nearest" });
  }, [hasFocus, focusKey, lane, camera]);

  const onKeyDown = (event: KeyboardEvent): void => {
    if (event.altKey) return;
    const handled = lift ? liftedKey(controller, event, keys) : boardKey(controller, event, keys, bar);
    if (handled) {
      event.preventDefault();
      event.stopPropagation();
    }
  };
  const { width } = timeArea(size);
  const box = bar
    ? {
        left: Math.max(0, Math.min(width - 24, xOf(camera, bar.start))),
        width: Math.max(24, Math.min(width, (bar.end - bar.start) * camera.scale)),
      }
    : { left: 0, width: 24 };
  return (
    <div
      role="grid"
      className="board-grid"
      style={{ width: size.width, height: size.height, transform: `scale(${snapshot.textScale})` }}
      aria-label={words.board.cell.grid}
      aria-rowcount={model.lanes.rows.length}
      aria-colcount={Math.max(2, ...model.onLane.map(({ bars }) => bars.length + 1))}
      onKeyDown={onKeyDown}
      onFocus={() => {
        wanted.current = true;
        controller.setHasFocus(true);
      }}
      onBlur={(event) => {
        const grid = event.currentTarget;
        if (grid.contains(event.relatedTarget)) return;
        // A cell that is replaced blurs to nothing and its successor takes the focus in the same frame: look again after it.
        requestAnimationFrame(() => {
          if (grid.contains(document.activeElement)) return;
          wanted.current = false;
          controller.setHasFocus(false);
        });
      }}
    >
      {model.lanes.rows.map((index, row) => {
        const entry = model.lanes.list[index];
        if (!entry || entry.kind === "group") return null;
        const name = entry.kind === "machine" ? entry.machine.name : words.board.paint.benchRow(entry.slot);
        const count = model.onLane[index]?.bars.length ?? 0;
        const here = bar !== undefined && index === lane;
        const hosts = here || (bar === undefined && row === 0);
        return (
          <div role="row" key={index} aria-rowindex={row + 1} style={{ top: size.axis + (tops[index] ?? 0) - camera.top }}>
            <div role="rowheader" aria-colindex={1}>
              {count === 0 ? `${name}, ${words.board.cell.rowEmpty}` : name}
            </div>
            {hosts ? (
              <div
                role="gridcell"
                ref={cell}
                tabIndex={0}
                aria-colindex={bar ? placeInRow(model, bar).index + 1 : 2}
                aria-selected={hasFocus}
                aria-label={bar ? cellName(model, bar) : words.board.cell.empty}
                style={{ left: size.names + box.left, width: box.width }}
              />
            ) : null}
          </div>
        );
      })}
    </div>
  );
}

function boardKey(controller: BoardController, event: KeyboardEvent, keys: BoardKeys, bar: Bar | undefined): boolean {
  if (!event.ctrlKey && !event.metaKey && keys.answer?.(event.key) === true) return true;
  const { model } = controller.snapshot();
  const { width } = timeArea(controller.snapshot().size);
  const { key, shiftKey } = event;
  const focus = (target: Bar | null): boolean => {
    if (target) controller.focus(target);
    return true;
  };
  if (event.ctrlKey || event.metaKey) {
    if (key.toLowerCase() === "z") shiftKey ? keys.redo() : keys.undo();
    else if (key.toLowerCase() === "y") keys.redo();
    else return false;
    return true;
  }
  const step = STEPS[key];
  if (step && bar) return focus(stepFrom(model, bar, step, controller.camera(), width));
  const trouble = TROUBLES[key.toLowerCase()];
  if (trouble) {
    const target = stepTrouble(model, bar ?? null, trouble, shiftKey);
    if (target) controller.choose(target);
    return focus(target);
  }
  switch (key) {
    case "PageUp":
      controller.page(-1);
      return true;
    case "PageDown":
      controller.page(1);
      return true;
    case "Enter":
      if (bar) controller.choose(bar);
      keys.openPanel();
      return true;
    case "Escape":
      controller.choose(null);
      return true;
    case "m":
    case "M":
      if (bar) controller.liftByKeys(bar);
      return true;
    case "p":
    case "P":
      if (bar) keys.pin(bar);
      return true;
    case "w":
    case "W":
      if (bar) keys.wrong?.(bar);
      return true;
    case "Delete":
      if (bar) keys.remove(bar);
      return true;
    case "+":
    case "=":
      controller.zoom(width / 2, ZOOM_STEP);
      return true;
    case "-":
    case "−":
      controller.zoom(width / 2, 1 / ZOOM_STEP);
      return true;
    case "0":
      controller.showAll();
      return true;
    case "t":
    case "T":
      controller.toNow();
      return true;
    case "g":
    case "G":
      keys.goTo();
      return true;
    case "v":
    case "V":
      keys.table();
      return true;
    case "/":
      keys.find();
      return true;
    case "?":
      keys.help();
      return true;
    default:
      return false;
  }
}

function liftedKey(controller: BoardController, event: KeyboardEvent, keys: BoardKeys): boolean {
  const many = event.shiftKey ? 12 : 1;
  switch (event.key) {
    case "ArrowLeft":
      controller.shift(-many);
      break;
    case "ArrowRight":
      controller.shift(many);
      break;
    case "ArrowUp":
      controller.changeLane(-1);
      break;
    case "ArrowDown":
      controller.changeLane(1);
      break;
    case "f":
    case "F":
      if (!controller.takeFirstFit()) keys.say(words.board.panel.asking);
      break;
    case "Enter":
      controller.drop();
      return true;
    case "Escape":
      controller.putBack();
      return true;
    case "Tab":
      return true;
    default:
      return false;
  }
  const { lift, model } = controller.snapshot();
  if (lift) {
    const slip = slipOf(model, lift);
    keys.say(`${slip.title}. ${slip.lines[0] ?? ""}`);
  }
  return true;
}
