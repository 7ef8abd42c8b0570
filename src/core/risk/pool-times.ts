/**
 * Who works for what in one replayed course: the minutes crews and supplies are taken, first come first served in the plan's order of
 * work. Nobody waits idle for work that has not come: what is ready goes first where it ends in time. Amounts follow the headcount
 * and the supply minute by minute; work past closing takes nobody from others. Kept by day, so that a look costs what a day holds.
 */
import type { Interval, Minute } from "../calendar/minute.ts";
import { type StepFunction, valueAt } from "../calendar/step-function.ts";

/** A crew or a supply, by its row among the pools, and how much of it the phase takes while it works. */
export type PoolUse = { readonly pool: number; readonly amount: number };

/** begin, end, amount, node; begin, end, ... of what is taken on one day. */
type Taken = number[];
const FIELDS = 4;

const DAY = 1440;

export class PoolTimes {
  /** Node that held what the last look wanted. */
  blocker = -1;
  private readonly limits: readonly StepFunction[];
  private readonly days: Map<number, Taken>[];

  constructor(limits: readonly StepFunction[]) {
    this.limits = limits;
    this.days = limits.map(() => new Map());
  }

  clear(): void {
    for (const days of this.days) for (const list of days.values()) list.length = 0;
  }

  take(node: number, uses: readonly PoolUse[], work: readonly Interval[]): void {
    for (const { pool, amount } of uses) {
      const days = this.days[pool] as Map<number, Taken>;
      for (const [begin, end] of work) {
        for (let day = Math.floor(begin / DAY); day * DAY < end; day++) {
          const [first, last] = [Math.max(begin, day * DAY), Math.min(end, (day + 1) * DAY)];
          const known = days.get(day);
          if (known === undefined) days.set(day, [first, last, amount, node]);
          else known.push(first, last, amount, node);
        }
      }
    }
  }

  /** The first minute from which another try makes sense; -1: it may work so. */
  blockedUntil(uses: readonly PoolUse[], work: readonly Interval[]): Minute {
    for (const { pool, amount } of uses) {
      const days = this.days[pool] as Map<number, Taken>;
      const limit = this.limits[pool] as StepFunction;
      for (const [begin, end] of work) {
        for (let day = Math.floor(begin / DAY); day * DAY < end; day++) {
          const taken = days.get(day);
          if (taken === undefined || taken.length === 0) continue;
          const until = this.shortUntil(taken, limit, amount, Math.max(begin, day * DAY), Math.min(end, (day + 1) * DAY));
          if (until >= 0) return until;
        }
      }
    }
    return -1;
  }

  private shortUntil(taken: Taken, limit: StepFunction, amount: number, begin: Minute, end: Minute): Minute {
    let until = this.shortAt(taken, limit, amount, begin);
    for (let i = 0; until < 0 && i < taken.length; i += FIELDS) {
      const at = taken[i] as number;
      if (at > begin && at < end) until = this.shortAt(taken, limit, amount, at);
    }
    for (let i = firstAfter(limit.at, begin); until < 0 && i < limit.at.length && (limit.at[i] as Minute) < end; i++)
      until = this.shortAt(taken, limit, amount, limit.at[i] as Minute);
    return until;
  }

  /** The end of the first use to end of those at a minute that has too little left; -1: enough. */
  private shortAt(taken: Taken, limit: StepFunction, amount: number, at: Minute): Minute {
    let used = 0;
    let until = Number.POSITIVE_INFINITY;
    let node = -1;
    for (let i = 0; i < taken.length; i += FIELDS) {
      const end = taken[i + 1] as number;
      if ((taken[i] as number) > at || end <= at) continue;
      used += taken[i + 2] as number;
      if (end < until) {
        until = end;
        node = taken[i + 3] as number;
      }
    }
    if (used === 0) return -1;
    const most = valueAt(limit, at);
    if (most < amount || used + amount <= most) return -1;
    this.blocker = node;
    return until;
  }
}

function firstAfter(list: readonly Minute[], minute: Minute): number {
  let low = 0;
  let high = list.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if ((list[middle] as Minute) <= minute) low = middle + 1;
    else high = middle;
  }
  return low;
}
