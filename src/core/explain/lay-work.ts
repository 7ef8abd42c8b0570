/**
 * How the work of one phase runs through its calendars from a given minute on: solid in one piece, pausable through rests,
 * piecewise from piece end to piece end. Promises the earliest course at or after the minute that breaks no rule of flow,
 * opening, headcount or attendance; knows nothing of other work. O(log n + stretches worked); made for thousands of replays.
 */
import { type Intervals, indexAtOrAfter } from "../calendar/intervals.ts";
import type { Interval, Minute } from "../calendar/minute.ts";
import { isUnattended, type LookUp } from "../check/look-up.ts";
import type { PhaseOfLot } from "../check/lots.ts";
import { workableWithin } from "../check/workable.ts";
import type { Flow } from "../orders/operation.ts";

/** Where a phase may work, and where it may be begun or taken up again. */
export type Course = {
  readonly flow: Flow;
  readonly workable: Intervals;
  /** null: nobody need start it. */
  readonly startable: Intervals | null;
};

/** Pieces end after `offset` + ceil(i x seconds / 60) worked minutes, i = 1..count. */
export type Pieces = { readonly seconds: number; readonly count: number; readonly offset: Minute };

export function courseOf(look: LookUp, phase: PhaseOfLot, from: Minute, until: Minute): Course {
  return {
    flow: phase.phase.flow,
    workable: workableWithin(look, phase, from, until),
    startable: isUnattended(phase.mode, phase.phase.needs) ? look.startable(phase.lot.operation) : null,
  };
}

/** The course does not fit before its calendars end. */
export const NEVER: Minute = Number.POSITIVE_INFINITY;

/**
 * The end of the work begun at the first minute at or after `notBefore`; NEVER: it does not fit. `handedOn`: the minute at which
 * nobody need start it. `out` takes the worked stretches, `laid` only the first worked minute.
 */
export function layWork(
  course: Course,
  minutes: Minute,
  pieces: Pieces | null,
  notBefore: Minute,
  handedOn: Minute | null,
  out: Interval[] | null = null,
  laid: { begin: Minute } | null = null,
): Minute {
  if (laid !== null) laid.begin = notBefore;
  if (minutes <= 0) return notBefore;
  const { workable, startable } = course;
  const inPieces = course.flow === "piecewise" && pieces !== null;
  let done = 0;
  let begun = false;
  for (let i = indexAtOrAfter(workable, notBefore); i < workable.length; i++) {
    const [open, close] = workable[i] as Interval;
    const first = Math.max(open, notBefore);
    // A first stretch too short for solid work, or for a piece, is passed over like a closed one.
    const at = startable === null || (!begun && first === handedOn) ? first : firstIn(startable, first, close);
    if (at >= close) continue;
    const room = close - at;
    const left = minutes - done;
    let takes = Math.min(room, left);
    if (course.flow === "solid" || (course.flow === "piecewise" && !inPieces)) {
      if (room < left) continue;
    } else if (inPieces) takes = wholePieces(pieces, done, takes, minutes);
    if (takes <= 0) continue;
    out?.push([at, at + takes]);
    if (laid !== null && !begun) laid.begin = at;
    begun = true;
    done += takes;
    if (done >= minutes) return at + takes;
  }
  return NEVER;
}

/** Minutes of work after `done` that end at a piece end and fit into the room. */
function wholePieces(pieces: Pieces, done: Minute, room: Minute, minutes: Minute): Minute {
  if (done + room >= minutes) return minutes - done;
  const whole = Math.min(pieces.count, Math.floor(((done + room - pieces.offset) * 60) / pieces.seconds));
  if (whole < 1) return 0;
  return Math.max(0, pieces.offset + Math.ceil((whole * pieces.seconds) / 60) - done);
}

function firstIn(list: Intervals, from: Minute, until: Minute): Minute {
  const found = list[indexAtOrAfter(list, from)];
  return found === undefined ? until : Math.min(until, Math.max(found[0], from));
}
