/**
 * Residual profile: what is left of one crew, supply or kit over time, as break points kept in buckets of 1,024 minutes. Adding
 * and taking are exact and undo each other in any order (equal neighbours in a bucket always merge), so a plan's profile never
 * depends on how it was reached. Search and change touch only the buckets concerned: O(break points there), usually a handful.
 * Outside the span it was made for nothing is left and nothing is kept.
 */
import type { StepFunction } from "../../calendar/step-function.ts";

const BITS = 10;
const MINUTES = 1 << BITS;
/** Break points a bucket has room for at first. */
const ROOM_FIRST = 16;
const BEYOND = 0x3fffffff;

/** A profile nothing has been taken from, to begin a plan with; `room` remembers what plans of the resource have needed so far. */
type Blank = {
  readonly begin: number;
  readonly buckets: number;
  room: number;
  points: Int32Array;
  readonly count: Int32Array;
};
const blanks = new WeakMap<StepFunction, Blank>();

export class Profile {
  private readonly begin: number;
  private readonly end: number;
  private readonly buckets: number;
  private readonly step: StepFunction;
  private room: number;
  /** Minute and what is left from there on, by turns; bucket b begins at 2 b room. Side by side, for a look-up waits for memory once. */
  private points: Int32Array;
  private readonly count: Int32Array;

  constructor(step: StepFunction, begin: number, end: number) {
    this.step = step;
    this.begin = begin;
    this.buckets = Math.max(1, ((end - begin + MINUTES - 1) >> BITS) + 1);
    this.end = begin + this.buckets * MINUTES;
    const blank = blanks.get(step);
    if (blank !== undefined && blank.begin === begin && blank.buckets === this.buckets) {
      this.room = blank.room;
      this.points = blank.points.slice();
      this.count = blank.count.slice();
      return;
    }
    this.room = ROOM_FIRST;
    this.points = new Int32Array(2 * this.buckets * this.room);
    this.count = new Int32Array(this.buckets).fill(1);
    for (let b = 0; b < this.buckets; b++) this.points[2 * b * this.room] = begin + b * MINUTES;
    for (let i = 0; i < step.at.length; i++) {
      const level = step.value[i]!;
      if (level !== 0) this.add(step.at[i]!, step.at[i + 1] ?? this.end, level);
    }
    const { buckets, room, points, count } = this;
    blanks.set(step, { begin, buckets, room, points: points.slice(), count: count.slice() });
  }

  /** Adds delta (negative: takes) over [start, end). */
  add(start: number, end: number, delta: number): void {
    const from = Math.max(start, this.begin);
    const until = Math.min(end, this.end);
    if (from >= until || delta === 0) return;
    const first = (from - this.begin) >> BITS;
    const last = (until - 1 - this.begin) >> BITS;
    for (let b = first; b <= last; b++) {
      const bucketStart = this.begin + (b << BITS);
      const bucketEnd = bucketStart + MINUTES;
      const a = Math.max(from, bucketStart);
      const z = Math.min(until, bucketEnd);
      if (this.count[b]! + 2 > this.room) this.grow();
      if (a === bucketStart && z === bucketEnd) {
        const { points } = this;
        const base = 2 * b * this.room;
        for (let i = base + 1, top = base + 2 * this.count[b]!; i < top; i += 2) points[i] = points[i]! + delta;
      } else this.addWithin(b, a, z, bucketEnd, delta);
    }
  }

  private addWithin(b: number, start: number, end: number, bucketEnd: number, delta: number): void {
    const { points } = this;
    const base = 2 * b * this.room;
    let top = base + 2 * this.count[b]!;
    let i = base;
    while (i + 2 < top && points[i + 2]! <= start) i += 2;
    let j = i;
    while (j + 2 < top && points[j + 2]! < end) j += 2;
    const splitStart = points[i]! !== start;
    const splitEnd = end !== bucketEnd && !(j + 2 < top && points[j + 2]! === end);
    const levelAtEnd = points[j + 1]!;
    if (splitStart || splitEnd) {
      const added = splitStart && splitEnd ? 4 : 2;
      for (let k = top - 1; k > j + 1; k--) points[k + added] = points[k]!;
      top += added;
      if (splitEnd) {
        points[j + added] = end;
        points[j + added + 1] = levelAtEnd;
      }
      if (splitStart) {
        for (let k = j + 1; k > i + 1; k--) points[k + 2] = points[k]!;
        points[i + 2] = start;
        points[i + 3] = points[i + 1]!;
        i += 2;
        j += 2;
      }
    }
    for (let k = i + 1; k <= j + 1; k += 2) points[k] = points[k]! + delta;
    // equal neighbours merge at both ends; inside, differences are unchanged
    if (j + 2 < top && points[j + 3]! === points[j + 1]!) {
      top -= 2;
      for (let k = j + 2; k < top; k++) points[k] = points[k + 2]!;
    }
    if (i > base && points[i + 1]! === points[i - 1]!) {
      top -= 2;
      for (let k = i; k < top; k++) points[k] = points[k + 2]!;
    }
    this.count[b] = (top - base) >> 1;
  }

  private grow(): void {
    const room = this.room * 2;
    this.points = withRoom(this.points, this.count, this.room, room);
    this.room = room;
    const blank = blanks.get(this.step);
    if (blank === undefined || blank.room >= room || blank.buckets !== this.buckets) return;
    blank.points = withRoom(blank.points, blank.count, blank.room, room);
    blank.room = room;
  }

  /**
   * The end of the last stretch in [start, end) where less than `amount` is left (the stretch followed to its real end),
   * or -1 when there is none.
   */
  shortUntil(start: number, end: number, amount: number): number {
    if (start >= end) return -1;
    if (end > this.end || start < this.begin) return amount > 0 ? BEYOND : -1;
    const { points, count, room, begin } = this;
    const first = (start - begin) >> BITS;
    for (let b = (end - 1 - begin) >> BITS; b >= first; b--) {
      const base = 2 * b * room;
      let i = base + 2 * (count[b]! - 1);
      while (points[i]! >= end) i -= 2;
      for (; i >= base; i -= 2) {
        if (points[i + 1]! < amount) return this.follow(b, i, amount);
        if (points[i]! <= start) return -1;
      }
    }
    return -1;
  }

  /** The end of the shortage that holds at the break point i of bucket b. */
  private follow(b: number, i: number, amount: number): number {
    const { points, count, room } = this;
    let k = i + 2;
    for (let c = b; c < this.buckets; c++) {
      const base = 2 * c * room;
      if (c > b) k = base;
      for (const top = base + 2 * count[c]!; k < top; k += 2) if (points[k + 1]! >= amount) return points[k]!;
    }
    return BEYOND;
  }

  /** The begin of the first stretch in [start, end) where less than `amount` is left, or -1. */
  shortFrom(start: number, end: number, amount: number): number {
    if (start >= end) return -1;
    if (end > this.end || start < this.begin) return amount > 0 ? start : -1;
    const { points, count, room, begin } = this;
    const last = (end - 1 - begin) >> BITS;
    for (let b = (start - begin) >> BITS; b <= last; b++) {
      const base = 2 * b * room;
      const top = base + 2 * count[b]!;
      for (let i = base; i < top && points[i]! < end; i += 2) {
        if (i + 2 < top && points[i + 2]! <= start) continue;
        if (points[i + 1]! < amount) return Math.max(points[i]!, start);
      }
    }
    return -1;
  }
}

/** The same break points with more room in each bucket. */
function withRoom(points: Int32Array, count: Int32Array, room: number, more: number): Int32Array {
  const out = new Int32Array(2 * count.length * more);
  for (let b = 0; b < count.length; b++) out.set(points.subarray(2 * b * room, 2 * (b * room + count[b]!)), 2 * b * more);
  return out;
}
