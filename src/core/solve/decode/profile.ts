/**
 * Residual profile: what is left of one crew, supply or kit over time, as sorted break points. Adding and taking are exact
 * and undo each other in any order (equal neighbours always merge), so a plan's profile never depends on how it was reached.
 * Search O(log n), change O(n) by one block move, which at a few thousand points is below a microsecond.
 */
import type { StepFunction } from "../../calendar/step-function.ts";

const FAR_BEFORE = -0x3fffffff;

export class Profile {
  at: Int32Array;
  value: Int32Array;
  count: number;

  constructor(step: StepFunction) {
    const size = Math.max(64, step.at.length * 2 + 64);
    this.at = new Int32Array(size);
    this.value = new Int32Array(size);
    this.at[0] = FAR_BEFORE;
    this.count = 1;
    for (let i = 0; i < step.at.length; i++) {
      const minute = step.at[i]!;
      const level = step.value[i]!;
      if (level === this.value[this.count - 1]!) continue;
      this.at[this.count] = minute;
      this.value[this.count] = level;
      this.count++;
    }
  }

  /** Index of the piece that holds the minute. */
  private indexOf(minute: number): number {
    const at = this.at;
    let low = 0;
    let high = this.count - 1;
    while (low < high) {
      const middle = (low + high + 1) >>> 1;
      if (at[middle]! <= minute) low = middle;
      else high = middle - 1;
    }
    return low;
  }

  private grow(): void {
    const at = new Int32Array(this.at.length * 2);
    const value = new Int32Array(this.at.length * 2);
    at.set(this.at);
    value.set(this.value);
    this.at = at;
    this.value = value;
  }

  /** Adds delta (negative: takes) over [start, end). */
  add(start: number, end: number, delta: number): void {
    if (start >= end || delta === 0) return;
    if (this.count + 2 > this.at.length) this.grow();
    const at = this.at;
    const value = this.value;
    let i = this.indexOf(start);
    // the index of the first piece at or after start, split where needed
    let added = 0;
    const splitStart = at[i]! !== start;
    let j = i;
    while (j + 1 < this.count && at[j + 1]! < end) j++;
    const splitEnd = j + 1 >= this.count || at[j + 1]! !== end;
    const levelAtEnd = value[j]!;
    if (splitStart) added++;
    if (splitEnd) added++;
    if (added > 0) {
      at.copyWithin(j + 1 + added, j + 1, this.count);
      value.copyWithin(j + 1 + added, j + 1, this.count);
      this.count += added;
      if (splitEnd) {
        at[j + added] = end;
        value[j + added] = levelAtEnd;
      }
      if (splitStart) {
        // pieces i+1..j move one to the right
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
    // merge equal neighbours at both ends; inside, differences are unchanged
    if (j + 1 < this.count && value[j + 1]! === value[j]!) this.drop(j + 1);
    if (i > 0 && value[i]! === value[i - 1]!) this.drop(i);
  }

  private drop(i: number): void {
    this.at.copyWithin(i, i + 1, this.count);
    this.value.copyWithin(i, i + 1, this.count);
    this.count--;
  }

  /**
   * The end of the last stretch in [start, end) where less than `amount` is left (the stretch followed to its real end),
   * or -1 when there is none.
   */
  shortUntil(start: number, end: number, amount: number): number {
    const at = this.at;
    const value = this.value;
    let low = this.indexOf(start);
    let found = -1;
    while (low < this.count && at[low]! < end) {
      if (value[low]! < amount) found = low;
      low++;
    }
    if (found < 0) return -1;
    found++;
    while (found < this.count && value[found]! < amount) found++;
    return found >= this.count ? 0x3fffffff : at[found]!;
  }

  /** The begin of the first stretch in [start, end) where less than `amount` is left, or -1. */
  shortFrom(start: number, end: number, amount: number): number {
    const at = this.at;
    const value = this.value;
    let i = this.indexOf(start);
    while (i < this.count && at[i]! < end) {
      if (value[i]! < amount) return at[i]! > start ? at[i]! : start;
      i++;
    }
    return -1;
  }

  leastIn(start: number, end: number): number {
    let i = this.indexOf(start);
    let least = this.value[i]!;
    for (i++; i < this.count && this.at[i]! < end; i++) if (this.value[i]! < least) least = this.value[i]!;
    return least;
  }
}
