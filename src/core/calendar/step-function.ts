/**
 * A whole-number amount that changes in time: headcounts, supplies, kit counts.
 * `value[i]` holds from `at[i]` (included) to `at[i + 1]` (excluded); before `at[0]` the amount is 0.
 * Normalised: `at` strictly increasing, neighbouring values differ.
 */
import type { Interval, Minute } from "./minute.ts";

export type StepFunction = { readonly at: readonly Minute[]; readonly value: readonly number[] };

export const constantStep = (from: Minute, until: Minute, amount: number): StepFunction =>
  amount === 0 ? { at: [], value: [] } : { at: [from, until], value: [amount, 0] };

/** Builds a step function from pieces that add up where they overlap. */
export function sumOfSteps(pieces: Iterable<{ readonly interval: Interval; readonly amount: number }>): StepFunction {
  const change = new Map<Minute, number>();
  for (const { interval, amount } of pieces) {
    if (interval[0] >= interval[1]) continue;
    change.set(interval[0], (change.get(interval[0]) ?? 0) + amount);
    change.set(interval[1], (change.get(interval[1]) ?? 0) - amount);
  }
  const at: Minute[] = [];
  const value: number[] = [];
  let level = 0;
  for (const minute of [...change.keys()].sort((a, b) => a - b)) {
    const next = level + (change.get(minute) ?? 0);
    if (next !== level) {
      at.push(minute);
      value.push(next);
    }
    level = next;
  }
  return { at, value };
}

export function valueAt(step: StepFunction, minute: Minute): number {
  let low = 0;
  let high = step.at.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if ((step.at[middle] as Minute) <= minute) low = middle + 1;
    else high = middle;
  }
  return low === 0 ? 0 : (step.value[low - 1] as number);
}

/** The stretches within [start, end) where the amount is at least `least`. */
export function intervalsAtLeast(step: StepFunction, least: number, start: Minute, end: Minute): readonly Interval[] {
  if (least <= 0) return start < end ? [[start, end]] : [];
  const out: [Minute, Minute][] = [];
  for (let i = 0; i < step.at.length; i++) {
    if ((step.value[i] as number) < least) continue;
    const from = Math.max(step.at[i] as Minute, start);
    const until = Math.min(step.at[i + 1] ?? end, end);
    if (from >= until) continue;
    const last = out.at(-1);
    if (last && last[1] === from) last[1] = until;
    else out.push([from, until]);
  }
  return out;
}
