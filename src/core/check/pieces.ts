/**
 * Where the pieces of a phase lie in its worked minutes: "its first i pieces take ceil(i x seconds / 60) worked minutes".
 * Of a running phase, piece ends count back from the end of what remains. Shared by the flow and the transfer rule.
 */

import type { Intervals } from "../calendar/intervals.ts";
import type { Minute } from "../calendar/minute.ts";
import { workMinutes } from "../orders/operation.ts";
import type { PhaseOfLot } from "./lots.ts";
import type { Scene } from "./scene.ts";

/** Worked minutes of the phase, as planned from now on, after which the first i pieces are out. 0 or less: out before now. */
export function workedAfterPieces(scene: Scene, { lot, phase, current }: PhaseOfLot, i: number): Minute {
  const taken = workMinutes(phase.work, i);
  if (lot.running !== null && current) return lot.running.remaining - workMinutes(phase.work, lot.running.pieces) + taken;
  return taken + (phase.kind === "prepare" ? scene.setupOf(lot) : 0);
}

/** Worked minutes after each piece that ends from now on. Work that is not per piece is one piece. */
export function pieceEnds(scene: Scene, phase: PhaseOfLot): readonly Minute[] {
  if (phase.phase.work.kind === "fixed") return [scene.wanted(phase)];
  const out: Minute[] = [];
  for (let i = 1; i <= phase.lot.pieces; i++) {
    const after = workedAfterPieces(scene, phase, i);
    if (after > 0) out.push(after);
  }
  return out;
}

/** The minute in which worked minute number `index` (from 0) is worked; null: the plan does not work so many. */
export function workedMinute(work: Intervals, index: number): Minute | null {
  let left = index;
  for (const [start, end] of work) {
    if (left < end - start) return start + left;
    left -= end - start;
  }
  return null;
}
