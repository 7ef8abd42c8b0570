/**
 * When an operation that takes over pieces one transfer lot after the other may begin: no earlier than lets each of its pieces
 * begin after those it waits for are out. The taker rests as its calendars say (a night between two pieces moves the later ones),
 * so the least begin is found by halving: a later begin never lets a piece begin earlier. Exact for the course given.
 * Not seen: that the taker may not end first. O(groups x log(minutes) x stretches).
 */
import type { Minute } from "../calendar/minute.ts";
import { type Course, layWork, NEVER, type Pieces } from "./lay-work.ts";

export type PieceWork = { readonly course: Course; readonly minutes: Minute; readonly pieces: Pieces };
/** So many of the giver's pieces must be out before the taker begins the one that comes after `before` of its own. */
export type Group = { readonly wanted: number; readonly before: number };

/** The least begin at or after `notBefore`; the giver works from `giverBegin`. `handedOn`: as for layWork, of the taker. */
export function takeOverBound(
  giver: PieceWork,
  giverBegin: Minute,
  taker: PieceWork,
  groups: readonly Group[],
  notBefore: Minute,
  handedOn: Minute | null,
): Minute {
  let bound = notBefore;
  for (const { wanted, before } of groups) {
    const given = workedAfter(giver.pieces, wanted);
    const waits = workedAfter(taker.pieces, before);
    // out before now, or begun before now
    if (given <= 0 || waits < 0) continue;
    const out = layWork(giver.course, Math.min(given, giver.minutes), giver.pieces, giverBegin, giverBegin);
    if (out === NEVER) return NEVER;
    if (pieceBegin(taker, before, waits, bound, handedOn) >= out) continue;
    let early = bound;
    let enough = Math.max(bound + 1, out - waits);
    while (enough - early > 1) {
      const middle = Math.floor((early + enough) / 2);
      if (pieceBegin(taker, before, waits, middle, handedOn) >= out) enough = middle;
      else early = middle;
    }
    bound = enough;
  }
  return bound;
}

const workedAfter = ({ seconds, offset }: Pieces, count: number): Minute => offset + Math.ceil((count * seconds) / 60);

/** When the piece after `before` of them begins, if the work begins at or after the minute. */
function pieceBegin(taker: PieceWork, before: number, waits: Minute, notBefore: Minute, handedOn: Minute | null): Minute {
  const { course, minutes, pieces } = taker;
  if (course.flow === "solid") {
    const laid = { begin: 0 };
    return layWork(course, minutes, pieces, notBefore, handedOn, null, laid) === NEVER ? NEVER : laid.begin + waits;
  }
  const until = course.flow === "piecewise" ? Math.min(minutes, workedAfter(pieces, before + 1)) : Math.min(minutes, waits + 1);
  return layWork(course, until, pieces, notBefore, handedOn) - (until - waits);
}
