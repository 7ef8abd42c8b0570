/**
 * What the board remembers outside React: one snapshot, who listens to it, and how the drawing hears that it must paint. The choices of
 * the tool bar outlast the page. It decides nothing.
 */

import type { Bar } from "../../board/bar.ts";
import type { BoardModel } from "../../board/board-model.ts";
import type { Camera } from "../../board/camera.ts";
import type { BoardChain, ChainWish } from "../../board/chain.ts";
import type { StripChoice } from "../../board/demand.ts";
import type { Ghosts } from "../../board/ghosts.ts";
import type { Density } from "../../board/lanes.ts";
import type { Lift } from "../../board/lift.ts";
import { type BoardSize, boardSize } from "../../board/paint/surface.ts";
import type { PlanEdit } from "../../board/plan-edit.ts";

export type BoardOptions = {
  readonly published: boolean;
  readonly links: boolean;
  readonly strip: StripChoice | null;
  readonly density: Density;
};

export type BoardSnapshot = {
  readonly model: BoardModel;
  readonly options: BoardOptions;
  /** Camera at rest, for the scale and the grid. */
  readonly camera: Camera;
  readonly size: BoardSize;
  /** How much larger than usual text is wanted; the whole drawing follows. */
  readonly textScale: number;
  readonly chosenOrder: string | null;
  readonly chosenKey: string | null;
  readonly focusKey: string | null;
  readonly hasFocus: boolean;
  readonly lift: Lift | null;
  /** Pointer while a bar is carried by it, in pixels of the board. */
  readonly pointer: { readonly x: number; readonly y: number } | null;
  readonly hover: { readonly key: string; readonly x: number; readonly y: number } | null;
  readonly mayEdit: boolean;
  /** A plan that is offered, over the one that lies. */
  readonly ghosts: Ghosts | null;
  /** The chain that was asked for, and what came of it; null: none, or not worked out yet. */
  readonly chainWish: ChainWish | null;
  readonly chain: BoardChain | null;
};

/** A stretch of time, and the machine whose row is looked for. */
export type BoardPlace = { readonly from: number; readonly until: number; readonly machine: string | null };

export type Drop = { readonly edit: PlanEdit; readonly lift: Lift; readonly added: number };

export type ControllerEvents = {
  readonly onDrop: (drop: Drop) => void;
  readonly onRefusedLift: (bar: Bar) => void;
  readonly onPutBack: (lift: Lift) => void;
  readonly onLift: (lift: Lift) => void;
};

/** The static picture with all, or only the layer of the bar in the hand. */
export type Paint = "all" | "moving";

export type BoardMemory = {
  snapshot(): BoardSnapshot;
  set(change: Partial<BoardSnapshot>, paint?: Paint | "nothing"): void;
  subscribe(listener: () => void): () => void;
  onRepaint(paint: (what: Paint) => void): void;
  repaint(what: Paint): void;
};

const OPTIONS_KEY = "plan-board.options";
const DEFAULT_OPTIONS: BoardOptions = { published: true, links: true, strip: { kind: "hands" }, density: "normal" };

export function createBoardMemory(model: BoardModel, mayEdit: boolean): BoardMemory {
  let snapshot: BoardSnapshot = {
    model,
    options: storedOptions(),
    camera: { left: 0, scale: 1, top: 0 },
    size: boardSize(800, 500, true),
    textScale: 1,
    chosenOrder: null,
    chosenKey: null,
    focusKey: null,
    hasFocus: false,
    lift: null,
    pointer: null,
    hover: null,
    mayEdit,
    ghosts: null,
    chainWish: null,
    chain: null,
  };
  const listeners = new Set<() => void>();
  /** Set by the canvas. */
  let repaint: (what: Paint) => void = () => {};
  return {
    snapshot: () => snapshot,
    set(change, paint = "all") {
      snapshot = { ...snapshot, ...change };
      for (const listener of listeners) listener();
      if (paint !== "nothing") repaint(paint);
    },
    subscribe(listener) {
      listeners.add(listener);
      return () => void listeners.delete(listener);
    },
    onRepaint(paint) {
      repaint = paint;
    },
    repaint: (what) => repaint(what),
  };
}

function storedOptions(): BoardOptions {
  try {
    return {
      ...DEFAULT_OPTIONS,
      ...(matchMedia("(pointer: coarse)").matches ? { density: "touch" as const } : {}),
      ...(JSON.parse(localStorage.getItem(OPTIONS_KEY) ?? "{}") as Partial<BoardOptions>),
    };
  } catch {
    return DEFAULT_OPTIONS;
  }
}

export function storeOptions(options: BoardOptions): void {
  try {
    localStorage.setItem(OPTIONS_KEY, JSON.stringify(options));
  } catch {
    // Storage is closed to this page: the choice lasts until it is left.
  }
}
