/** What both ways of filling a night ask of a mode: whether it has a part that needs nobody, and what must be done before it. */

import type { Minute } from "../calendar/minute.ts";
import { present } from "../ground/invariant.ts";
import { type DenseMode, type DenseOp, phaseMinutes } from "../solve/decode/model.ts";

/** Minutes before people leave at which the run is tried to begin. */
export const LEAVING = [0, 15, 60, 180, 420] as const;

export const hasAlone = (mode: DenseMode, op: DenseOp, pieces: number): boolean =>
  mode.phases.some((phase, i) => phaseMinutes(phase, pieces) > 0 && needsNobody(op, mode, i));

const needsNobody = (op: DenseOp, mode: DenseMode, phase: number): boolean =>
  op.source.modes[mode.index - present(op.modes[0], "mode").index]?.phases[phase]?.needs.length === 0;

/** Attended minutes that come first, setup apart. */
export function minutesBeforeAlone(mode: DenseMode, pieces: number): Minute {
  let sum = 0;
  for (const phase of mode.phases) {
    if (phase.choices.every((choice) => choice.crews.length === 0)) break;
    sum += phaseMinutes(phase, pieces);
  }
  return sum;
}
