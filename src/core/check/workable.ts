/**
 * The minutes in which a phase could work, and the first minute from which work fits: what "rests in the others" and
 * "as soon as it fits" are measured against. Other work's use of crews and supplies makes no minute unworkable.
 */
import { clip, type Intervals, intersect, subtract } from "../calendar/intervals.ts";
import type { Minute } from "../calendar/minute.ts";
import { isUnattended, type LookUp } from "./look-up.ts";
import type { PhaseOfLot } from "./lots.ts";

/** Workable minutes of the phase within [from, until). O(stretches there). */
export function workableWithin(look: LookUp, { mode, phase, served }: PhaseOfLot, from: Minute, until: Minute): Intervals {
  let left: Intervals = from < until ? [[from, until]] : [];
  const only = (there: Intervals): void => {
    left = intersect(left, clip(there, from, until));
  };
  for (const { open } of look.placesOf(mode)) only(open);
  for (const { enough } of served) only(enough);
  for (const [id, amount] of drawsOf(phase.draws)) {
    const supply = look.supplies.get(id);
    only(supply === undefined ? [] : look.enough(supply.amount, amount));
  }
  if (isUnattended(mode, phase.needs)) {
    for (const machine of mode.machines) {
      left = subtract(left, clip(look.noWindow(machine), from, until));
      left = subtract(left, clip(look.tooLong(machine), from, until));
    }
  }
  return left;
}

/** What the phase draws of each supply. */
export function drawsOf(draws: readonly { readonly supply: string; readonly amount: number }[]): ReadonlyMap<string, number> {
  const sums = new Map<string, number>();
  for (const { supply, amount } of draws) sums.set(supply, (sums.get(supply) ?? 0) + amount);
  return sums;
}

/**
 * The first minute in [from, until) at which the phase can begin or go on with `length` consecutive workable minutes.
 * An unattended phase needs somebody to start it there, except at `handedOn`, where it just goes on. null: none.
 */
export function firstFit(
  look: LookUp,
  phase: PhaseOfLot,
  range: { readonly from: Minute; readonly until: Minute; readonly length: Minute; readonly handedOn: Minute | null },
): Minute | null {
  const { from, until, length, handedOn } = range;
  const startable = isUnattended(phase.mode, phase.phase.needs) ? look.startable(phase.lot.operation) : null;
  for (const [start, end] of workableWithin(look, phase, from, until - 1 + length)) {
    const last = Math.min(end - length, until - 1);
    if (start > last) continue;
    if (startable === null || start === handedOn) return start;
    const there = clip(startable, start, last + 1)[0];
    if (there !== undefined) return there[0];
  }
  return null;
}
