/**
 * Residual profile: what is left of one crew, supply or kit over time, as break points kept in buckets of 1,024 minutes. Adding
 * and taking are exact and undo each other in any order (equal neighbours in a bucket always merge), so a plan's profile never
 * depends on how it was reached. Search and change touch only the buckets concerned: O(break points there), usually a handful.
 * Outside the span it was made for nothing is left and nothing is kept.
 */
import type { StepFunction } from "../../calendar/step-function.ts";

const BITS = 10;
const MINUTES = 1 << BITS;
const STRIDE_FIRST = 16;
const BEYOND = 0x3fffffff;

/** Room that a bucket has needed so far for the same resource: the next plan of it need not grow again. */
const strides = new WeakMap<StepFunction, number>();

export class Profile {
  private readonly begin: number;
  private readonly end: number;
  private readonly buckets: number;
  private readonly step: StepFunction;
  private stride: number;
  private at: Int32Array;
  private value: Int32Array;
  private readonly count: Int32Array;

  constructor(step: StepFunction, begin: number, end: number) {
    this.step = step;
    this.stride = strides.get(step) ?? STRIDE_FIRST;
    this.begin = begin;
    this.buckets = Math.max(1, ((end - begin + MINUTES - 1) >> BITS) + 1);
    this.end = begin + this.buckets * MINUTES;
    this.at = new Int32Array(this.buckets * this.stride);
    this.value = new Int32Array(this.buckets * this.stride);
    this.count = new Int32Array(this.buckets).fill(1);
    for (let b = 0; b < this.buckets; b++) this.at[b * this.stride] = begin + b * MINUTES;
    for (let i = 0; i < step.at.length; i++) {
      const level = step.value[i]!;
      if (level !== 0) this.add(step.at[i]!, step.at[i + 1] ?? this.end, level);
    }
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
      if (this.count[b]! + 2 > this.stride) this.grow();
      if (a === bucketStart && z === bucketEnd) {
        const base = b * this.stride;
        for (let i = base; i < base + this.count[b]!; i++) this.value[i] = this.value[i]! + delta;
      } else this.addWithin(b, a, z, bucketEnd, delta);
    }
  }

  private addWithin(b: number, start: number, end: number, bucketEnd: number, delta: number): void {
    const { at, value } = this;
    const base = b * this.stride;
    let top = base + this.count[b]!;
    let i = base;
    while (i + 1 < top && at[i + 1]! <= start) i++;
    let j = i;
    while (j + 1 < top && at[j + 1]! < end) j++;
    const splitStart = at[i]! !== start;
    const splitEnd = end !== bucketEnd && !(j + 1 < top && at[j + 1]! === end);
    const added = Number(splitStart) + Number(splitEnd);
    const levelAtEnd = value[j]!;
    if (added > 0) {
      for (let k = top - 1; k > j; k--) {
        at[k + added] = at[k]!;
        value[k + added] = value[k]!;
      }
      top += added;
      if (splitEnd) {
        at[j + added] = end;
        value[j + added] = levelAtEnd;
      }
      if (splitStart) {
        for (let k = j; k > i; k--) {
          at[k + 1] = at[k]!;
          value[k + 1] = value[k]!;
        }
        at[i + 1] = start;
        value[i + 1] = value[i]!;
        i++;
        j++;
      }
    }
    for (let k = i; k <= j; k++) value[k] = value[k]! + delta;
    // equal neighbours merge at both ends; inside, differences are unchanged
    if (j + 1 < top && value[j + 1]! === value[j]!) {
      top--;
      for (let k = j + 1; k < top; k++) {
        at[k] = at[k + 1]!;
        value[k] = value[k + 1]!;
      }
    }
    if (i > base && value[i]! === value[i - 1]!) {
      top--;
      for (let k = i; k < top; k++) {
        at[k] = at[k + 1]!;
        value[k] = value[k + 1]!;
      }
    }
    this.count[b] = top - base;
  }

  private grow(): void {
    const stride = this.stride * 2;
    const at = new Int32Array(this.buckets * stride);
    const value = new Int32Array(this.buckets * stride);
    for (let b = 0; b < this.buckets; b++) {
      const from = b * this.stride;
      at.set(this.at.subarray(from, from + this.count[b]!), b * stride);
      value.set(this.value.subarray(from, from + this.count[b]!), b * stride);
    }
    this.stride = stride;
    strides.set(this.step, stride);
    this.at = at;
    this.value = value;
  }

  /**
   * The end of the last stretch in [start, end) where less than `amount` is left (the stretch followed to its real end),
   * or -1 when there is none.
   */
  shortUntil(start: number, end: number, amount: number): number {
    if (start >= end) return -1;
    if (end > this.end || start < this.begin) return amount > 0 ? BEYOND : -1;
    const { at, value, count, stride, begin } = this;
    const first = (start - begin) >> BITS;
    for (let b = (end - 1 - begin) >> BITS; b >= first; b--) {
      const base = b * stride;
      let i = base + count[b]! - 1;
      while (at[i]! >= end) i--;
      for (; i >= base; i--) {
        if (value[i]! < amount) return this.follow(b, i, amount);
        if (at[i]! <= start) return -1;
      }
    }
    return -1;
  }

  /** The end of the shortage that holds at entry i of bucket b. */
  private follow(b: number, i: number, amount: number): number {
    const { at, value, count, stride } = this;
    let k = i + 1;
    for (let c = b; c < this.buckets; c++) {
      const base = c * stride;
      if (c > b) k = base;
      for (; k < base + count[c]!; k++) if (value[k]! >= amount) return at[k]!;
    }
    return BEYOND;
  }

  /** The begin of the first stretch in [start, end) where less than `amount` is left, or -1. */
  shortFrom(start: number, end: number, amount: number): number {
    if (start >= end) return -1;
    if (end > this.end || start < this.begin) return amount > 0 ? start : -1;
    const { at, value, count, stride, begin } = this;
    const last = (end - 1 - begin) >> BITS;
    for (let b = (start - begin) >> BITS; b <= last; b++) {
      const base = b * stride;
      const top = base + count[b]!;
      for (let i = base; i < top && at[i]! < end; i++) {
        if (i + 1 < top && at[i + 1]! <= start) continue;
        if (value[i]! < amount) return Math.max(at[i]!, start);
      }
    }
    return -1;
  }
}
