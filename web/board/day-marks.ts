/**
 * For the farthest zoom: conflicts and late orders of a machine's days, joined with their counts where their marks would touch. The
 * joining begins at the first day of the machine, so it does not change while the view moves. Pure, remembered per model and zoom.
 */
import type { BoardModel } from "./board-model.ts";
import { daySharesOf } from "./day-shares.ts";

export type DayMark = { readonly minute: number; readonly conflicts: number; readonly late: number };

/** Two counts beside each other take so many pixels. */
export const MARK_ROOM = 34;

const remembered = new WeakMap<BoardModel, { readonly scale: number; readonly lanes: Map<number, readonly DayMark[]> }>();

/** By time; `scale` is pixels per minute. */
export function dayMarksOf(model: BoardModel, lane: number, scale: number): readonly DayMark[] {
  let known = remembered.get(model);
  if (known?.scale !== scale) {
    known = { scale, lanes: new Map() };
    remembered.set(model, known);
  }
  const found = known.lanes.get(lane);
  if (found) return found;
  const { ticks } = model.shop;
  const out: DayMark[] = [];
  const days = [...daySharesOf(model, lane)].filter(([, { conflicts, late }]) => conflicts + late > 0);
  for (const [day, { conflicts, late }] of days.sort(([a], [b]) => a - b)) {
    const minute = ticks.dayStart(day);
    const last = out.at(-1);
    if (last && (minute - last.minute) * scale <= MARK_ROOM)
      out[out.length - 1] = { minute: last.minute, conflicts: last.conflicts + conflicts, late: last.late + late };
    else out.push({ minute, conflicts, late });
  }
  known.lanes.set(lane, out);
  return out;
}
