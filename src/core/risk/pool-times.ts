/**
 * Who works for what in one replayed course: the minutes crews and supplies are taken, first come first served in the plan's order of
 * work. Nobody waits idle for work that has not come: what is ready goes first where it ends in time. Amounts follow the headcount
 * and the supply minute by minute; work past closing takes nobody from others. Kept by day, so that a look costs what a day holds.
 */
import type { Interval, Minute } from "../calendar/minute.ts";
import { type StepFunction, valueAt } from "../calendar/step-function.ts";

/** A crew or a supply, by its row among the pools, and how much of it the phase takes while it works. */
export type PoolUse = { readonly pool: number; readonly amount: number };

type Taken = { readonly begin: Minute; readonly end: Minute; readonly amount: number; readonly node: number };

const DAY = 1440;

export class PoolTimes {
  /** Node that held what the last look wanted. */
  blocker = -1;
  private readonly limits: readonly StepFunction[];
  private readonly days: Map<number, Taken[]>[];

  constructor(limits: readonly StepFunction[]) {
    this.limits = limits;
    this.days = limits.map(() => new Map());
  }

  clear(): void {
    for (const days of this.days) for (const list of days.values()) list.length = 0;
  }

  take(node: number, uses: readonly PoolUse[], work: readonly Interval[]): void {
    for (const { pool, amount } of uses) {
      const days = this.days[pool] as Map<number, Taken[]>;
      for (const [begin, end] of work) {
        for (let day = Math.floor(begin / DAY); day * DAY < end; day++) {
          const part = { begin: Math.max(begin, day * DAY), end: Math.min(end, (day + 1) * DAY), amount, node };
          const known = days.get(day);
          if (known === undefined) days.set(day, [part]);
          else known.push(part);
        }
      }
    }
  }

  /** The first minute from which another try makes sense; -1: it may work so. */
  blockedUntil(uses: readonly PoolUse[], work: readonly Interval[]): Minute {
    for (const { pool, amount } of uses) {
      const days = this.days[pool] as Map<number, Taken[]>;
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

  private shortUntil(taken: readonly Taken[], limit: StepFunction, amount: number, begin: Minute, end: Minute): Minute {
    const short = (at: Minute): Minute => {
      let used = 0;
      let until = Number.POSITIVE_INFINITY;
      for (const part of taken) {
        if (part.begin > at || part.end <= at) continue;
        used += part.amount;
        if (part.end < until) {
          until = part.end;
          this.blocker = part.node;
        }
      }
      if (used === 0) return -1;
      const most = valueAt(limit, at);
      return most >= amount && used + amount > most ? until : -1;
    };
    let until = short(begin);
    for (let i = 0; until < 0 && i < taken.length; i++) {
      const at = (taken[i] as Taken).begin;
      if (at > begin && at < end) until = short(at);
    }
    for (let i = firstAfter(limit.at, begin); until < 0 && i < limit.at.length && (limit.at[i] as Minute) < end; i++)
      until = short(limit.at[i] as Minute);
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
