/**
 * What lies under a point of the time area. Short bars have a target of 24 pixels; where targets overlap, the nearest centre wins.
 * Pure, O(log n) per row.
 */

import type { Bar } from "./bar.ts";
import { type BoardModel, rangeOf } from "./board-model.ts";
import { type Camera, minuteAtX, xOf } from "./camera.ts";
import { laneAtY } from "./lanes.ts";

export const TARGET_MIN = 24;

export type Hit = { readonly lane: number | null; readonly minute: number; readonly bar: Bar | null };

export function hitTest(model: BoardModel, tops: readonly number[], camera: Camera, x: number, y: number): Hit {
  const lane = laneAtY(tops, y + camera.top);
  const minute = minuteAtX(camera, x);
  const row = lane === null ? undefined : model.onLane[lane];
  if (lane === null || !row) return { lane, minute, bar: null };
  const reach = TARGET_MIN / camera.scale;
  const [from, until] = rangeOf(row, minute - reach, minute + reach);
  let best: Bar | null = null;
  let bestDistance = Number.POSITIVE_INFINITY;
  for (let i = from; i < until; i++) {
    const bar = row.bars[i] as Bar;
    const left = xOf(camera, bar.start);
    const right = xOf(camera, bar.end);
    const centre = (left + right) / 2;
    const half = Math.max(TARGET_MIN / 2, (right - left) / 2);
    if (Math.abs(x - centre) > half) continue;
    // Inside the bar itself beats being near a neighbour's enlarged target.
    const inside = x >= left && x < right;
    const distance = Math.abs(x - centre) / half + (inside ? 0 : 1);
    if (distance < bestDistance) {
      best = bar;
      bestDistance = distance;
    }
  }
  return { lane, minute, bar: best };
}
