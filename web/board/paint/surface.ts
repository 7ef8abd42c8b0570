/** What every layer paints with: a context at a density, colours, patterns, labels, and the geometry of the board. */
import { BOARD, ROW } from "../../tokens/tokens.ts";
import type { BoardModel } from "../board-model.ts";
import type { Camera, Tier } from "../camera.ts";
import { tierOf, xOf } from "../camera.ts";
import type { BoardChain } from "../chain.ts";
import type { StripProfile } from "../demand.ts";
import type { Ghosts } from "../ghosts.ts";
import { type Density, laneTops } from "../lanes.ts";
import type { Labels } from "./labels.ts";
import type { Palette } from "./palette.ts";
import type { Patterns } from "./patterns.ts";

export type BoardSize = {
  readonly width: number;
  readonly height: number;
  readonly names: number;
  readonly axis: number;
  readonly strip: number;
};

/** What the board is asked to show. Strings come in finished, so that painting knows no language. */
export type BoardView = {
  readonly camera: Camera;
  readonly size: BoardSize;
  readonly density: Density;
  readonly chosenOrder: string | null;
  readonly focusKey: string | null;
  readonly showPublished: boolean;
  readonly showLinks: boolean;
  readonly strip: StripProfile | null;
  /** While a bar is in the hand: its key, machines that can take it, and what the names column answers. */
  readonly lift: LiftView | null;
  /** An offered plan, drawn over the one that lies. */
  readonly ghosts?: Ghosts | null;
  /** The chain of work that was asked for. */
  readonly chain?: BoardChain | null;
  readonly words: PaintWords;
  /** Minute of now, which goes on while the page stays open. */
  readonly now: number;
};

export type LiftView = {
  readonly key: string;
  readonly can: ReadonlySet<number>;
  /** Per lane what the answer column says. */
  readonly answers: ReadonlyMap<number, string>;
  readonly target: number | null;
  readonly refused: boolean;
  readonly heading: string;
};

export type PaintWords = {
  readonly machineOrRig: string;
  readonly nextFree: string;
  readonly benchGroup: string;
  /** Machines that belong to no group. */
  readonly noGroup: string;
  readonly benchRow: (slot: number) => string;
  readonly night: string;
  readonly closed: string;
  readonly shift: (names: readonly string[], people: string) => string;
  readonly now: (time: string) => string;
  readonly frozenUntil: (time: string) => string;
  readonly publishedHere: (number: string) => string;
  readonly held: (until: string) => string;
  readonly waits: (duration: string) => string;
  readonly paused: (duration: string) => string;
  readonly duration: (minutes: number) => string;
  readonly people: (hundredths: number) => string;
  readonly dayName: (day: number) => string;
  readonly weekName: (day: number) => string;
  readonly monthName: (day: number) => string;
  readonly clockTime: (shown: number) => string;
  readonly short: (minute: number) => string;
};

export type Surface = {
  readonly ctx: CanvasRenderingContext2D;
  readonly density: number;
  readonly palette: Palette;
  readonly patterns: Patterns;
  readonly labels: Labels;
};

/** Geometry of one frame. */
export type Scene = {
  readonly model: BoardModel;
  readonly view: BoardView;
  readonly tier: Tier;
  readonly tops: readonly number[];
  readonly row: (typeof ROW)[Density];
  /** Time area in pixels. */
  readonly width: number;
  readonly height: number;
  readonly start: number;
  readonly end: number;
  /** Words and marks of what reaches beyond these stay between them; a piece of a sheet (sheet.ts) has no such edges. */
  readonly edges: { readonly left: number; readonly right: number };
  /** First and last lane that can be seen (inclusive). */
  readonly firstLane: number;
  readonly lastLane: number;
  x(minute: number): number;
  y(lane: number): number;
};

export const boardSize = (width: number, height: number, strip: boolean, names: number = BOARD.names): BoardSize => ({
  width,
  height,
  names,
  axis: BOARD.axis,
  strip: strip ? BOARD.strip : 0,
});

export const timeArea = (size: BoardSize): { readonly width: number; readonly height: number } => ({
  width: Math.max(40, size.width - size.names),
  height: Math.max(40, size.height - size.axis - size.strip),
});

export function sceneOf(model: BoardModel, view: BoardView, surfaceDensity: number): Scene {
  const { camera } = view;
  const { width, height } = timeArea(view.size);
  const tops = laneTops(model.lanes, view.density);
  const count = model.lanes.list.length;
  let firstLane = 0;
  while (firstLane < count && (tops[firstLane + 1] as number) <= camera.top) firstLane++;
  let lastLane = firstLane;
  while (lastLane + 1 < count && (tops[lastLane + 1] as number) < camera.top + height) lastLane++;
  const top = Math.round(camera.top * surfaceDensity) / surfaceDensity;
  return {
    model,
    view,
    tier: tierOf(camera),
    tops,
    row: ROW[view.density],
    width,
    height,
    start: camera.left,
    end: camera.left + width / camera.scale,
    edges: { left: 0, right: width },
    firstLane,
    lastLane: Math.min(lastLane, count - 1),
    x: (minute) => Math.round(xOf(camera, minute) * surfaceDensity) / surfaceDensity,
    y: (lane) => (tops[lane] ?? 0) - top,
  };
}

/** Of a left end far outside, a whole number of pattern repeats nearer: dots, dashes and hatches stay in step with it. */
const REPEAT = 120; // of 4, 5, 6, 8 and 10 pixels
export const cutLeft = (x: number): number => (x < -REPEAT ? x + Math.floor(-x / REPEAT) * REPEAT : x);

/** A one-device-pixel-sharp rectangle outline inside the box. */
export function outline(ctx: CanvasRenderingContext2D, x: number, y: number, width: number, height: number, line: number): void {
  ctx.lineWidth = line;
  ctx.strokeRect(x + line / 2, y + line / 2, Math.max(0, width - line), Math.max(0, height - line));
}
