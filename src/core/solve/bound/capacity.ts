/**
 * How much of something there is over time, summed up, so that "from when on is so much used up" is a look-up.
 * O(log steps) per question.
 */
import type { StepFunction } from "../../calendar/step-function.ts";
import { FAR } from "../decode/model.ts";

export type Capacity = { readonly at: readonly number[]; readonly value: readonly number[]; readonly before: readonly number[] };

/** `before[i]`: amount times minutes before at[i], counted from the first step. */
export function capacityOf({ at, value }: StepFunction): Capacity {
  const before = [0];
  for (let i = 1; i < at.length; i++) before.push(before[i - 1] + (at[i] - at[i - 1]) * value[i - 1]);
  return { at, value, before };
}

/** Amount times minutes before the minute. */
export function usedBy({ at, value, before }: Capacity, minute: number): number {
  const i = lastAtOrBefore(at, minute);
  return i < 0 ? 0 : before[i] + (minute - at[i]) * value[i];
}

/** The first minute by which so much is there, counted from the first step; FAR when there never is. */
export function minuteOf({ at, value, before }: Capacity, used: number): number {
  if (used <= 0) return at[0] ?? 0;
  const i = firstReaching(before, used) - 1;
  const rate = value[i] ?? 0;
  return rate > 0 ? at[i] + Math.ceil((used - before[i]) / rate) : FAR;
}

function lastAtOrBefore(list: readonly number[], wanted: number): number {
  let low = 0;
  let high = list.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (list[middle] <= wanted) low = middle + 1;
    else high = middle;
  }
  return low - 1;
}

function firstReaching(list: readonly number[], wanted: number): number {
  let low = 0;
  let high = list.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (list[middle] >= wanted) high = middle;
    else low = middle + 1;
  }
  return low;
}
