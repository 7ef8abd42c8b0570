/**
 * How early each operation can start and end, were every operation alone in the shop: releases, windows, links and calendars are
 * minded, other work and setups are not. Never later than in any plan without conflicts. O(operations x modes x phases).
 */
import { type DenseMode, type DenseOp, type DensePhase, FAR, type Model, NONE, phaseMinutes, SOLID } from "../decode/model.ts";
import { stretchAt, stretchOfWorked, type WorkCalendar } from "../decode/work-calendar.ts";

/** Work of which nothing has begun and which no plan may leave out: what bounds count on. */
export const isSure = (op: DenseOp): boolean =>
  !op.finished && op.rule === NONE && op.freePieces > 0 && op.donePieces === 0 && op.freePieces === op.source.pieces;

export function earliestTimes(model: Model): { readonly start: Float64Array; readonly end: Float64Array } {
  const start = new Float64Array(model.ops.length).fill(model.now);
  const end = new Float64Array(model.ops.length).fill(model.now);
  for (const index of model.topological) {
    const op = model.ops[index];
    if (!isSure(op)) continue;
    let floor = Math.max(model.now, op.release);
    for (const link of op.before) {
      const from = model.ops[link.from];
      if (link.kind === "transfer") floor = Math.max(floor, isSure(from) ? start[link.from] : floor);
      else if (link.kind === "lag" && isSure(from)) floor = Math.max(floor, end[link.from] + link.minLag);
      else if (link.kind === "lag" && from.doneEnd !== NONE) floor = Math.max(floor, from.doneEnd + link.minLag);
    }
    const own = Math.max(model.now, op.windowStart, op.pinnedStart);
    start[index] = op.prepareEarly ? own : Math.max(own, floor);
    end[index] = op.modes.reduce((first, mode) => Math.min(first, earliestEnd(op, mode, own, floor)), FAR);
  }
  return { start, end };
}

function earliestEnd(op: DenseOp, mode: DenseMode, own: number, floor: number): number {
  // Of several lots the last may be as small as a lot may be.
  const pieces = op.lotsMost > 1 ? Math.min(op.freePieces, op.lotPiecesLeast) : op.freePieces;
  let at = op.prepareEarly ? own : Math.max(own, floor);
  for (const phase of mode.phases) {
    if (op.prepareEarly && !phase.isPrepare) at = Math.max(at, floor);
    const minutes = phaseMinutes(phase, pieces);
    if (minutes > 0) at = endOfPhase(phase, minutes, at);
  }
  return at;
}

function endOfPhase(phase: DensePhase, minutes: number, from: number): number {
  return phase.choices.reduce(
    (first, { calendar }) =>
      Math.min(first, phase.flow === SOLID ? endOfSolid(calendar, minutes, from) : endOfWorked(calendar, minutes, from)),
    FAR,
  );
}

function endOfSolid({ count, starts, ends, ...rest }: WorkCalendar, minutes: number, from: number): number {
  for (let i = stretchAt({ count, starts, ends, ...rest }, from); i < count; i++) {
    const begin = Math.max(starts[i], from);
    if (begin + minutes <= ends[i]) return begin + minutes;
  }
  return FAR;
}

/** Rests are free: as if it could pause at any minute. */
function endOfWorked(calendar: WorkCalendar, minutes: number, from: number): number {
  const i = stretchAt(calendar, from);
  if (i >= calendar.count) return FAR;
  const worked = calendar.before[i] + Math.max(0, from - calendar.starts[i]) + minutes;
  const j = stretchOfWorked(calendar, worked, i);
  return j >= calendar.count ? FAR : calendar.starts[j] + worked - calendar.before[j];
}
