/**
 * Sorted, disjoint, half-open minute intervals: the compiled form of anything that is open or closed.
 * All functions are pure, take and return normalised lists (sorted, no empty, no touching pairs) and cost
 * O(n) or O(log n). Shared by the checker and the engine, as calendars are.
 */
import type { Interval, Minute } from "./minute.ts";

export type Intervals = readonly Interval[];

/** Sorts, drops empty intervals and merges overlapping or touching ones. */
export function normalise(list: Iterable<Interval>): Intervals {
  const sorted = [...list].filter(([start, end]) => start < end).sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  const out: [Minute, Minute][] = [];
  for (const [start, end] of sorted) {
    const last = out.at(-1);
    if (last && start <= last[1]) last[1] = Math.max(last[1], end);
    else out.push([start, end]);
  }
  return out;
}

export const union = (...lists: readonly Intervals[]): Intervals => normalise(lists.flat());

export function intersect(a: Intervals, b: Intervals): Intervals {
  const out: Interval[] = [];
  for (let i = 0, j = 0; i < a.length && j < b.length; ) {
    const [aStart, aEnd] = a[i] as Interval;
    const [bStart, bEnd] = b[j] as Interval;
    const start = Math.max(aStart, bStart);
    const end = Math.min(aEnd, bEnd);
    if (start < end) out.push([start, end]);
    if (aEnd <= bEnd) i++;
    else j++;
  }
  return out;
}

/** The minutes of a that are not in b. */
export function subtract(a: Intervals, b: Intervals): Intervals {
  const out: Interval[] = [];
  let j = 0;
  for (const [start, end] of a) {
    let at = start;
    while (j < b.length && (b[j] as Interval)[1] <= at) j++;
    for (let k = j; k < b.length && (b[k] as Interval)[0] < end; k++) {
      const [bStart, bEnd] = b[k] as Interval;
      if (at < bStart) out.push([at, bStart]);
      at = Math.max(at, bEnd);
    }
    if (at < end) out.push([at, end]);
  }
  return out;
}

/** Index of the interval that holds the minute, or of the next one; list.length when none follows. */
export function indexAtOrAfter(list: Intervals, minute: Minute): number {
  let low = 0;
  let high = list.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if ((list[middle] as Interval)[1] > minute) high = middle;
    else low = middle + 1;
  }
  return low;
}

export function contains(list: Intervals, minute: Minute): boolean {
  const found = list[indexAtOrAfter(list, minute)];
  return found !== undefined && found[0] <= minute;
}

/** The part of the list inside [start, end). */
export function clip(list: Intervals, start: Minute, end: Minute): Intervals {
  const out: Interval[] = [];
  for (let i = indexAtOrAfter(list, start); i < list.length; i++) {
    const [from, until] = list[i] as Interval;
    if (from >= end) break;
    out.push([Math.max(from, start), Math.min(until, end)]);
  }
  return out;
}

/** Sum of minutes. */
export const totalMinutes = (list: Intervals): number => list.reduce((sum, [start, end]) => sum + end - start, 0);
