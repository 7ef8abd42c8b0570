/**
 * A bar exactly where the hand holds it, against calendars: phases back to back from the asked start, each as long as it works.
 * Used when the nearest allowed begin lies too far from the pointer, so that the bar stays under it and the checker can say what is
 * wrong there (closed, nobody on site). Lots keep their distances. Pure.
 */
import { totalMinutes } from "../../src/core/calendar/intervals.ts";
import type { PlannedLot, PlannedOperation, PlannedPhase } from "../../src/core/problem/plan.ts";

/** As far as a begin may be pushed without saying so: a bar let go just before a shift starts with it. */
export const PUSH_MAX = 30;

export function asAsked(planned: PlannedOperation, firstFree: number, start: number): PlannedOperation {
  const head = planned.lots[firstFree];
  if (!head) return planned;
  const shift = start - head.start;
  return {
    operation: planned.operation,
    lots: planned.lots.map((lot, i) => (i < firstFree ? lot : backToBack(lot, lot.start + shift))),
  };
}

function backToBack(lot: PlannedLot, start: number): PlannedLot {
  let at = start;
  const phases = lot.phases.map((phase): PlannedPhase => {
    const from = at;
    at += totalMinutes(phase.work);
    return { ...phase, work: [[from, at]] };
  });
  return { ...lot, start, end: at, phases };
}
