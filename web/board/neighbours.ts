/** Steps of the keyboard from one bar to another: along a row, between rows by time, along an order, through troubles. Pure. */
import type { Bar } from "./bar.ts";
import type { BoardModel } from "./board-model.ts";
import { type Camera, minuteAtX, xOf } from "./camera.ts";

export type Step = "left" | "right" | "up" | "down" | "home" | "end" | "previousOfOrder" | "nextOfOrder";
export type Trouble = "conflict" | "late" | "rush";

const laneOf = (bar: Bar): number => bar.lanes[0] ?? 0;

/** The bar to begin with: the first planned one that is at or after now, else any. */
export function firstBar(model: BoardModel, now: number): Bar | null {
  let best: Bar | null = null;
  for (const bar of model.bars)
    if (bar.end > now && (!best || laneOf(bar) < laneOf(best) || (laneOf(bar) === laneOf(best) && bar.start < best.start)))
      best = bar;
  return best ?? model.bars[0] ?? null;
}

export function stepFrom(model: BoardModel, from: Bar, step: Step, camera: Camera, width: number): Bar | null {
  const row = model.onLane[laneOf(from)]?.bars ?? [];
  const at = row.findIndex(({ key }) => key === from.key);
  switch (step) {
    case "left":
      return row[at - 1] ?? null;
    case "right":
      return row[at + 1] ?? null;
    case "home":
      return row.find((bar) => xOf(camera, bar.start) >= 0) ?? null;
    case "end":
      return row.filter((bar) => xOf(camera, bar.start) < width).at(-1) ?? null;
    case "up":
    case "down": {
      const way = step === "up" ? -1 : 1;
      for (let lane = laneOf(from) + way; lane >= 0 && lane < model.onLane.length; lane += way) {
        const near = nearestInTime(model.onLane[lane]?.bars ?? [], from);
        if (near) return near;
      }
      return null;
    }
    case "previousOfOrder":
    case "nextOfOrder": {
      const own = barsOfOrder(model, from.order.id);
      const index = own.findIndex(({ key }) => key === from.key);
      return own[index + (step === "nextOfOrder" ? 1 : -1)] ?? null;
    }
  }
}

function nearestInTime(bars: readonly Bar[], from: Bar): Bar | null {
  const middle = (from.start + Math.min(from.end, from.start + 240)) / 2;
  let best: Bar | null = null;
  let bestGap = Number.POSITIVE_INFINITY;
  for (const bar of bars) {
    const gap = bar.start <= middle && bar.end > middle ? 0 : Math.min(Math.abs(bar.start - middle), Math.abs(bar.end - middle));
    if (gap < bestGap) {
      best = bar;
      bestGap = gap;
    }
  }
  return best;
}

export const barsOfOrder = (model: BoardModel, order: string): readonly Bar[] =>
  model.bars.filter((bar) => bar.order.id === order).sort((a, b) => a.start - b.start || a.key.localeCompare(b.key));

/** Bars in trouble, each once, in the order of their list; the step goes round. */
export function troubled(model: BoardModel, trouble: Trouble): readonly Bar[] {
  const out: Bar[] = [];
  const add = (bar: Bar | undefined): void => {
    if (bar && !out.includes(bar)) out.push(bar);
  };
  if (trouble === "conflict") {
    for (const { number } of model.conflicts.placed) add(model.bars.find((bar) => bar.conflicts.includes(number - 1)));
  } else if (trouble === "late") {
    for (const { last } of model.late) add(model.bars.filter((bar) => bar.operation.id === last).at(-1));
  } else for (const order of model.rush) add(barsOfOrder(model, order.id).find((bar) => bar.state !== "done"));
  return out;
}

export function stepTrouble(model: BoardModel, from: Bar | null, trouble: Trouble, back: boolean): Bar | null {
  const list = troubled(model, trouble);
  if (list.length === 0) return null;
  const at = from ? list.findIndex(({ key }) => key === from.key) : -1;
  const next = at < 0 ? (back ? list.length - 1 : 0) : (at + (back ? -1 : 1) + list.length) % list.length;
  return list[next] ?? null;
}

/** Position of a bar in its row, counted from 1. */
export function placeInRow(model: BoardModel, bar: Bar): { readonly index: number; readonly count: number } {
  const row = model.onLane[laneOf(bar)]?.bars ?? [];
  return { index: row.findIndex(({ key }) => key === bar.key) + 1, count: row.length };
}

export const minuteInMiddle = (camera: Camera, width: number): number => minuteAtX(camera, width / 2);
