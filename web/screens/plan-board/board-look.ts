/**
 * Where the board looks: the camera moves at once and goes straight to the painter; React hears of it when it rests. Every movement of
 * the view is here - by hand, by key, by a click in a list - and none leaves the limits of the plan.
 */

import type { Bar } from "../../board/bar.ts";
import {
  type Camera,
  type Extent,
  panned,
  revealing,
  showing,
  snapStep,
  type Viewport,
  withinLimits,
  zoomedAt,
} from "../../board/camera.ts";
import { laneTops } from "../../board/lanes.ts";
import { type BoardSize, boardSize, timeArea } from "../../board/paint/surface.ts";
import type { BoardMemory, BoardPlace } from "./board-memory.ts";

export type BoardLook = ReturnType<typeof createBoardLook>;

const sameSize = (a: BoardSize, b: BoardSize): boolean =>
  a.width === b.width && a.height === b.height && a.names === b.names && a.axis === b.axis && a.strip === b.strip;

/** A still view is one that has not moved for so long. */
const REST_MS = 120;

export function createBoardLook(memory: BoardMemory) {
  let camera = memory.snapshot().camera;
  let placed = false;
  /** Where the first look should go; null: to now. */
  let firstLook: BoardPlace | null = null;
  let moving = false;
  let restTimer: ReturnType<typeof setTimeout> | undefined;

  const viewport = (): Viewport => timeArea(memory.snapshot().size);
  const tops = (): readonly number[] => {
    const { model, options } = memory.snapshot();
    return laneTops(model.lanes, options.density);
  };
  const now = (): number => memory.snapshot().model.shop.problem.now;
  const extent = (): Extent => {
    const { shop } = memory.snapshot().model;
    return { start: shop.ground.start, end: shop.problem.horizon, height: tops().at(-1) ?? 0 };
  };

  const look = (next: Camera, atRest = false): void => {
    camera = withinLimits(next, viewport(), extent());
    clearTimeout(restTimer);
    if (atRest) {
      moving = false;
      memory.set({ camera });
      return;
    }
    moving = true;
    memory.repaint("all");
    restTimer = setTimeout(() => {
      moving = false;
      memory.set({ camera });
    }, REST_MS);
  };

  /** Brings a stretch of a row into view. */
  const reveal = (lane: number, start: number, end: number, from: Camera = camera, margin?: number): void => {
    const all = tops();
    look(revealing(from, { start, end, top: all[lane] ?? 0, bottom: all[lane + 1] ?? 0 }, viewport(), margin), true);
  };

  const lookAt = ({ from, until, machine }: BoardPlace): void => {
    const lane = machine === null ? undefined : memory.snapshot().model.lanes.ofMachine.get(machine);
    const wanted = showing(from, Math.max(until, from + 60), viewport(), camera.top);
    if (lane === undefined) look(wanted, true);
    else reveal(lane, from, from, wanted, 0);
  };

  return {
    camera: (): Camera => camera,
    moving: (): boolean => moving,
    tops,
    viewport,
    reveal,
    close: (): void => clearTimeout(restTimer),
    /** The same place again, where something around it has changed. */
    again: (): void => look(camera, true),

    resize(width: number, height: number, names: number, textScale: number): void {
      const { size: old, textScale: oldScale, options } = memory.snapshot();
      const size = boardSize(width, height, options.strip !== null, names);
      // Whoever watches the frame of the drawing tells its size once more than it changes.
      if (placed && textScale === oldScale && sameSize(size, old)) return;
      memory.set({ size, textScale }, "nothing");
      if (!placed) {
        // First look: a bit of the past, then the next two days.
        placed = true;
        camera = showing(now() - 240, now() - 240 + 2 * 1440 + 480, viewport());
        if (firstLook) {
          lookAt(firstLook);
          return;
        }
      }
      look(camera, true);
    },
    /** A stretch of time, and a machine in view. Before there is a size it is kept for the first look. */
    lookAt(place: BoardPlace): void {
      if (placed) lookAt(place);
      else firstLook = place;
    },
    pan: (dx: number, dy: number): void => look(panned(camera, dx, dy)),
    zoom: (x: number, factor: number): void => look(zoomedAt(camera, x, factor, viewport())),
    zoomAndPan: (x: number, factor: number, dx: number, dy: number): void =>
      look(zoomedAt(panned(camera, dx, dy), x, factor, viewport())),
    zoomTo(span: number): void {
      const { width } = viewport();
      const nowX = (now() - camera.left) * camera.scale;
      const anchor = nowX > 0 && nowX < width ? nowX : width / 2;
      look(zoomedAt(camera, anchor, width / span / camera.scale, viewport()), true);
    },
    page: (ways: number): void => look({ ...camera, left: camera.left + (ways * viewport().width * 0.9) / camera.scale }, true),
    toNow: (): void => look({ ...camera, left: now() - (viewport().width * 0.18) / camera.scale }, true),
    goTo: (minute: number): void => look({ ...camera, left: minute - 40 / camera.scale }, true),
    showAll(): void {
      const last = memory.snapshot().model.bars.reduce((latest, { end }) => Math.max(latest, end), now() + 1440);
      look(showing(now() - 720, last + 360, viewport(), 0), true);
    },
    revealBar: (target: Bar): void => reveal(target.lanes[0] ?? 0, target.start, target.end),
    revealMachine(machine: string): void {
      const lane = memory.snapshot().model.lanes.ofMachine.get(machine);
      const from = Math.max(camera.left, now());
      if (lane !== undefined) reveal(lane, from, from);
    },
    /** Rounded by the wall clock of its day, so that steps stand on full hours on clock-change days too. */
    snapped(minute: number, fine: boolean): number {
      const step = snapStep(camera, fine);
      const { ticks } = memory.snapshot().model.shop;
      const day = ticks.dayStart(ticks.dayAt(minute));
      return day + Math.round((minute - day) / step) * step;
    },
  };
}
