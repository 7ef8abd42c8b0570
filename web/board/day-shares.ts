/** For the farthest zoom: what a machine's days hold - attended, unattended, waiting minutes. Pure, remembered per model and lane. */
import type { BoardModel } from "./board-model.ts";

export type DayShare = { attended: number; unattended: number; waiting: number; conflicts: number; late: number };

const remembered = new WeakMap<BoardModel, Map<number, ReadonlyMap<number, DayShare>>>();

/** By day number. */
export function daySharesOf(model: BoardModel, lane: number): ReadonlyMap<number, DayShare> {
  let lanes = remembered.get(model);
  if (!lanes) {
    lanes = new Map();
    remembered.set(model, lanes);
  }
  const known = lanes.get(lane);
  if (known) return known;
  const days = new Map<number, DayShare>();
  const { ticks } = model.shop;
  const share = (day: number): DayShare => {
    let found = days.get(day);
    if (!found) {
      found = { attended: 0, unattended: 0, waiting: 0, conflicts: 0, late: 0 };
      days.set(day, found);
    }
    return found;
  };
  for (const bar of model.onLane[lane]?.bars ?? []) {
    let day = ticks.dayAt(bar.start);
    if (bar.conflicts.length > 0) share(day).conflicts += bar.conflicts.length;
    if (bar.late > 0) share(ticks.dayAt(bar.end)).late += 1;
    for (const segment of bar.segments) {
      let at = segment.start;
      day = ticks.dayAt(at);
      while (at < segment.end) {
        const until = Math.min(segment.end, ticks.dayStart(day + 1));
        const into = share(day);
        if (segment.look === "waits" || segment.look === "paused") into.waiting += until - at;
        else if (segment.tall) into.attended += until - at;
        else into.unattended += until - at;
        at = until;
        day++;
      }
    }
  }
  lanes.set(lane, days);
  return days;
}
