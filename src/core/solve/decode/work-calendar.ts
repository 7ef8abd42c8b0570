/**
 * Work calendars: the workable minutes of one kind of phase, compressed so that "start + work -> end" of a pausable
 * phase is a look-up, whatever the number of nights between. Promises exact minutes; knows nothing of other work (capacity).
 * Index `i` counts workable stretches; `before[i]` = workable minutes before stretch i. O(1) search through 1,024-minute buckets.
 */
import type { Intervals } from "../../calendar/intervals.ts";

const BUCKET_BITS = 10;

export type WorkCalendar = {
  readonly count: number;
  readonly starts: Int32Array;
  readonly ends: Int32Array;
  /** Start and end of each stretch by turns: a look-up waits for memory once. */
  readonly bounds: Int32Array;
  /** Workable minutes before stretch i; one entry more than stretches. */
  readonly before: Int32Array;
  /** First stretch that ends after the begin of each bucket. */
  readonly bucket: Int32Array;
  readonly first: number;
  /** Stretches up to and including i at whose begin nobody could go on with an unattended phase; null: anybody may. */
  readonly lacksStarter: Int32Array | null;
  /** Stretches in which the phase may begin, when not the same. */
  readonly startable: WorkCalendar | null;
};

export function compileWorkCalendar(list: Intervals, starters: Intervals | null, startable: WorkCalendar | null): WorkCalendar {
  const count = list.length;
  const starts = new Int32Array(count);
  const ends = new Int32Array(count);
  const bounds = new Int32Array(2 * count);
  const before = new Int32Array(count + 1);
  for (let i = 0; i < count; i++) {
    const [from, until] = list[i] as readonly [number, number];
    starts[i] = from;
    ends[i] = until;
    bounds[2 * i] = from;
    bounds[2 * i + 1] = until;
    before[i + 1] = before[i]! + until - from;
  }
  const first = count === 0 ? 0 : starts[0]!;
  const span = count === 0 ? 0 : ends[count - 1]! - first;
  const bucket = new Int32Array((span >> BUCKET_BITS) + 2);
  let at = 0;
  for (let b = 0; b < bucket.length; b++) {
    const minute = first + (b << BUCKET_BITS);
    while (at < count && ends[at]! <= minute) at++;
    bucket[b] = at;
  }
  let lacksStarter: Int32Array | null = null;
  if (starters !== null) {
    lacksStarter = new Int32Array(count);
    let lacking = 0;
    let s = 0;
    for (let i = 0; i < count; i++) {
      while (s < starters.length && (starters[s] as readonly [number, number])[1] <= starts[i]!) s++;
      const held = starters[s];
      if (held === undefined || held[0] > starts[i]!) lacking++;
      lacksStarter[i] = lacking;
    }
    if (lacking === 0) lacksStarter = null;
  }
  return { count, starts, ends, bounds, before, bucket, first, lacksStarter, startable };
}

/** Index of the stretch that holds the minute, or of the next one; `count` when none follows. */
export function stretchAt(calendar: WorkCalendar, minute: number): number {
  const offset = minute - calendar.first;
  if (offset <= 0) return 0;
  const b = offset >> BUCKET_BITS;
  if (b >= calendar.bucket.length) return calendar.count;
  let i = calendar.bucket[b]!;
  const { bounds, count } = calendar;
  while (i < count && bounds[2 * i + 1]! <= minute) i++;
  return i;
}

/** The first minute of the calendar at or after the given one; -1 when none follows. */
export function nextMinute(calendar: WorkCalendar, minute: number): number {
  const i = stretchAt(calendar, minute);
  if (i >= calendar.count) return -1;
  const start = calendar.starts[i]!;
  return Math.max(start, minute);
}

/** The stretch in which the worked minute number `worked` (counted from the begin of the calendar) ends, searched from stretch i on. */
export function stretchOfWorked(calendar: WorkCalendar, worked: number, i: number): number {
  const { before, count } = calendar;
  let low = i;
  if (before[low + 1]! >= worked) return low;
  // gallop: most work ends within a few shifts
  let step = 1;
  let high = low + 1;
  while (high < count && before[high + 1]! < worked) {
    low = high;
    high += step;
    step <<= 1;
  }
  if (high >= count) {
    if (before[count]! < worked) return count;
    high = count - 1;
  }
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (before[middle + 1]! >= worked) high = middle;
    else low = middle + 1;
  }
  return low;
}

/** Nothing is ever workable: for crews that a plan names though the problem does not offer them. */
export const NEVER: WorkCalendar = compileWorkCalendar([], null, null);
