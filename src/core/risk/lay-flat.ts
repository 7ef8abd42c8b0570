/**
 * How the work of one phase runs through its calendars in a replayed course: what `explain/lay-work.ts` says, on the plain numbers of
 * `flat-network.ts` and from the stretch of the planned begin on, since a course seldom strays far from the plan. The test of the
 * replay compares the two. Makes no garbage: the stretches worked stay in one list.
 */
import type { Minute } from "../calendar/minute.ts";
import { NEVER } from "../explain/lay-work.ts";
import { type CalendarRows, type FlatNetwork, PIECEWISE, SOLID, UNCUT } from "./flat-network.ts";

/** What was laid last. */
export class Laid {
  /** First worked minute. */
  begin: Minute = 0;
  /** begin, end, begin, end, ... of `stretches` stretches. */
  readonly work: Minute[] = [];
  stretches = 0;
}

/** The pieces of the course: after `offset` + ceil(i x seconds / 60) worked minutes each. */
export type PieceTimes = { seconds: number; offset: number; count: number };

/** The end of the work begun at the first minute at or after `notBefore`; NEVER: it does not fit. `handedOn`: NaN: somebody must start it. */
export function layFlat(
  flat: FlatNetwork,
  node: number,
  minutes: Minute,
  pieces: PieceTimes,
  notBefore: Minute,
  handedOn: Minute,
  laid: Laid,
): Minute {
  laid.begin = notBefore;
  laid.stretches = 0;
  if (minutes <= 0) return notBefore;
  const { opens, closes, workable, startable } = flat;
  const flow = flat.flow[node] as number;
  const mustStart = (startable.from[node] as number) >= 0;
  const until = workable.until[node] as number;
  let done = 0;
  for (let i = rowAt(flat, workable, node, notBefore); i < until; i++) {
    const open = opens[i] as number;
    const close = closes[i] as number;
    const first = open > notBefore ? open : notBefore;
    const at = !mustStart || (done === 0 && first === handedOn) ? first : firstStart(flat, node, first, close);
    if (at >= close) continue;
    const room = close - at;
    const left = minutes - done;
    let takes = Math.min(room, left);
    if (flow === SOLID || flow === UNCUT) {
      if (room < left) continue;
    } else if (flow === PIECEWISE) takes = wholePieces(pieces, done, takes, minutes);
    if (takes <= 0) continue;
    laid.work[2 * laid.stretches] = at;
    laid.work[2 * laid.stretches + 1] = at + takes;
    laid.stretches += 1;
    if (done === 0) laid.begin = at;
    done += takes;
    if (done >= minutes) return at + takes;
  }
  return NEVER;
}

/** The row of the stretch that holds the minute, or of the next one. */
function rowAt({ closes }: FlatNetwork, rows: CalendarRows, node: number, minute: Minute): number {
  const from = rows.from[node] as number;
  const until = rows.until[node] as number;
  let i = rows.hint[node] as number;
  if (i > from && (closes[i - 1] as number) > minute) {
    let [low, high] = [from, i - 1];
    while (low < high) {
      const middle = (low + high) >>> 1;
      if ((closes[middle] as number) > minute) high = middle;
      else low = middle + 1;
    }
    return low;
  }
  while (i < until && (closes[i] as number) <= minute) i++;
  return i;
}

function firstStart(flat: FlatNetwork, node: number, from: Minute, until: Minute): Minute {
  const row = rowAt(flat, flat.startable, node, from);
  if (row >= (flat.startable.until[node] as number)) return until;
  return Math.min(until, Math.max(flat.opens[row] as number, from));
}

/** Minutes of work after `done` that end at a piece end and fit into the room. */
function wholePieces({ seconds, offset, count }: PieceTimes, done: Minute, room: Minute, minutes: Minute): Minute {
  if (done + room >= minutes) return minutes - done;
  const whole = Math.min(count, Math.floor(((done + room - offset) * 60) / seconds));
  if (whole < 1) return 0;
  return Math.max(0, offset + Math.ceil((whole * seconds) / 60) - done);
}
