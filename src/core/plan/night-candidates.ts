/** What both ways of filling a night ask of a mode: whether it has a part that needs nobody, what must be done before it, and how long it is. */

import type { Minute } from "../calendar/minute.ts";
import { present } from "../ground/invariant.ts";
import { type DenseMode, type DenseOp, phaseMinutes } from "../solve/decode/model.ts";

/**
 * How long before people leave the run is tried to begin, in 64ths of the time they are there: for eight hours 0, 8, 15, 30, 60 min
 * and so on. Beside them: the latest begin at which the machine's rule lets it end.
 */
const LEAVING = [0, 1, 2, 4, 8, 16, 24, 32, 48, 62] as const;

export const hasAlone = (mode: DenseMode, op: DenseOp, pieces: number): boolean => aloneLength(mode, op, pieces) > 0;

/** Worked minutes of its phases that need nobody. */
export const aloneLength = (mode: DenseMode, op: DenseOp, pieces: number): Minute =>
  mode.phases.reduce((sum, phase, i) => sum + (needsNobody(op, mode, i) ? phaseMinutes(phase, pieces) : 0), 0);

const needsNobody = (op: DenseOp, mode: DenseMode, phase: number): boolean =>
  op.source.modes[mode.index - present(op.modes[0], "mode").index]?.phases[phase]?.needs.length === 0;

/** Attended minutes that come first, setup apart. */
export function minutesBeforeAlone(mode: DenseMode, op: DenseOp, pieces: number): Minute {
  let sum = 0;
  for (const [i, phase] of mode.phases.entries()) {
    if (needsNobody(op, mode, i)) break;
    sum += phaseMinutes(phase, pieces);
  }
  return sum;
}

/** When people come and leave before the night, and how much of it the machine may work alone. */
export type Evening = { readonly come: Minute; readonly leave: Minute; readonly room: Minute };

/** Begins worth trying, the latest first: what of `alone` does not fit into the night has to be over before people leave. */
export function beginsBefore({ come, leave, room }: Evening, attended: Minute, alone: Minute, now: Minute): readonly Minute[] {
  const before = [...LEAVING.map((share) => Math.ceil((share * (leave - come)) / 64)), Math.max(0, alone - room)];
  return [...new Set(before.map((minutes) => Math.max(now, leave - minutes - attended)))].sort((a, b) => b - a);
}
