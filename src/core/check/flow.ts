/**
 * flowBroken and restedThoughWorkable: solid work is never interrupted, work per piece only between pieces, and nothing
 * rests by choice. One conflict of each kind for each phase; amount = minutes of the interruptions, and minutes that
 * could have been worked instead of resting. The wait before a phase begins is free (phases.ts has its limits).
 */

import { totalMinutes } from "../calendar/intervals.ts";
import type { Interval, Minute } from "../calendar/minute.ts";
import type { Lot, PhaseOfLot } from "./lots.ts";
import { pieceEnds } from "./pieces.ts";
import { conflictOf, type Scene } from "./scene.ts";
import { sayDuration, sayPhase } from "./wording.ts";
import { firstFit, workableWithin } from "./workable.ts";

type Rest = {
  readonly interval: Interval;
  /** Minutes of work before it. */
  readonly after: Minute;
};

export function checkFlow(scene: Scene, { phases }: Lot): void {
  for (const phase of phases) {
    if (phase.work.length < 2) continue;
    // Rests of before now are past and gone.
    const rests = restsOf(phase).filter(({ interval }) => interval[1] > scene.problem.now);
    if (rests.length === 0) continue;
    if (phase.phase.flow === "solid") writeBroken(scene, phase, rests);
    else if (phase.phase.flow === "pausable") checkPausable(scene, phase, rests);
    else if (phase.worked === scene.wanted(phase)) checkPiecewise(scene, phase, rests);
  }
}

function restsOf({ work }: PhaseOfLot): readonly Rest[] {
  const rests: Rest[] = [];
  let after = 0;
  for (let i = 1; i < work.length; i++) {
    const [start, end] = work[i - 1] as Interval;
    const [next] = work[i] as Interval;
    after += end - start;
    rests.push({ interval: [end, next], after });
  }
  return rests;
}

function checkPausable(scene: Scene, phase: PhaseOfLot, rests: readonly Rest[]): void {
  let first: Interval | null = null;
  let minutes = 0;
  for (const { interval } of rests) {
    const [from, until] = interval;
    const fit = firstFit(scene.look, phase, { from, until, length: 1, handedOn: from });
    if (fit === null) continue;
    first ??= [fit, until];
    minutes += totalMinutes(workableWithin(scene.look, phase, fit, until));
  }
  if (first !== null) writeRested(scene, phase, first, minutes);
}

/** The pieces are laid over the worked minutes: a rest inside one breaks it, a rest between two may have been too long. */
function checkPiecewise(scene: Scene, phase: PhaseOfLot, rests: readonly Rest[]): void {
  const ends = pieceEnds(scene, phase);
  const nextPiece = new Map<Minute, Minute>(ends.map((end, i) => [end, (ends[i + 1] ?? end) - end]));
  const inside = rests.filter(({ after }) => !nextPiece.has(after));
  if (inside.length > 0) writeBroken(scene, phase, inside);
  let first: Interval | null = null;
  let minutes = 0;
  for (const { interval, after } of rests) {
    const length = nextPiece.get(after);
    if (length === undefined) continue;
    const [from, until] = interval;
    const fit = firstFit(scene.look, phase, { from, until, length, handedOn: from });
    if (fit === null) continue;
    first ??= [fit, until];
    minutes += until - fit;
  }
  if (first !== null) writeRested(scene, phase, first, minutes);
}

function writeBroken({ at, name, write }: Scene, { lot, phase }: PhaseOfLot, rests: readonly Rest[]): void {
  const first = rests[0]?.interval;
  if (first === undefined) return;
  const minutes = totalMinutes(rests.map(({ interval }) => interval));
  const what = phase.flow === "solid" ? "must not be interrupted" : "may rest only between pieces";
  const sentence = `${sayPhase(phase.kind)} of ${name(lot.operation)} ${what}, but stops at ${at(first[0])} for ${sayDuration(first[1] - first[0])}.`;
  write(conflictOf("flowBroken", [lot.operation.id], null, first, minutes, sentence));
}

function writeRested({ at, name, write }: Scene, { lot, phase }: PhaseOfLot, first: Interval, minutes: Minute): void {
  const sentence = `${sayPhase(phase.kind)} of ${name(lot.operation)} rests from ${at(first[0])} to ${at(first[1])} though it could work, ${sayDuration(minutes)} in all.`;
  write(conflictOf("restedThoughWorkable", [lot.operation.id], null, first, minutes, sentence));
}
