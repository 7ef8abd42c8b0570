/**
 * Ways of links between bars: out to the right, along a row boundary, in from the left. Of the two vertical legs that are possible
 * (near the start, near the end) the one that crosses fewer bars is taken. Pure.
 */
import type { BoardModel } from "./board-model.ts";
import { rangeOf } from "./board-model.ts";

export type Point = readonly [x: number, y: number];
export type LinkEnds = {
  readonly from: { readonly x: number; readonly y: number; readonly lane: number };
  readonly to: { readonly x: number; readonly y: number; readonly lane: number };
};

const STUB = 8;

/** `boundary(lane, side)` is the y of a row's upper or lower edge, `crossed` counts bars under a vertical at x between two lanes. */
export function linkRoute(
  ends: LinkEnds,
  boundary: (lane: number, side: "above" | "below") => number,
  crossed: (x: number, laneFrom: number, laneTo: number) => number,
): readonly Point[] {
  const { from, to } = ends;
  const out = from.x + STUB;
  const into = to.x - STUB;
  if (from.lane === to.lane) {
    if (into >= out)
      return [
        [from.x, from.y],
        [to.x, to.y],
      ];
    const below = boundary(from.lane, "below");
    return [
      [from.x, from.y],
      [out, from.y],
      [out, below],
      [into, below],
      [into, to.y],
      [to.x, to.y],
    ];
  }
  const down = to.lane > from.lane;
  if (into >= out && Math.abs(into - out) < 2)
    return [
      [from.x, from.y],
      [out, from.y],
      [out, to.y],
      [to.x, to.y],
    ];
  // Early vertical: along the edge of the target's row. Late vertical: along the edge of the source's row.
  const nearTarget = boundary(to.lane, down ? "above" : "below");
  const nearSource = boundary(from.lane, down ? "below" : "above");
  const early = crossed(out, from.lane, to.lane);
  const late = crossed(into, from.lane, to.lane);
  return early <= late
    ? [
        [from.x, from.y],
        [out, from.y],
        [out, nearTarget],
        [into, nearTarget],
        [into, to.y],
        [to.x, to.y],
      ]
    : [
        [from.x, from.y],
        [out, from.y],
        [out, nearSource],
        [into, nearSource],
        [into, to.y],
        [to.x, to.y],
      ];
}

/** Bars that stand at a minute on the lanes strictly between two. */
export function barsBetween(model: BoardModel, minute: number, laneA: number, laneB: number): number {
  let count = 0;
  for (let lane = Math.min(laneA, laneB) + 1; lane < Math.max(laneA, laneB); lane++) {
    const row = model.onLane[lane];
    if (!row) continue;
    const [from, until] = rangeOf(row, minute, minute + 1);
    count += until - from;
  }
  return count;
}
