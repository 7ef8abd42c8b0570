/**
 * Who works for what in one replayed course: the minutes crews and supplies are taken, first come first served in the plan's order of
 * work. Nobody waits idle for work that has not come: what is ready goes first where it ends in time. Amounts follow the headcount
 * and the supply minute by minute; work past closing takes nobody from others. Kept by day in lists that every course fills anew,
 * so that a look costs what a day holds.
 */
import type { Minute } from "../calendar/minute.ts";
import { type StepFunction, valueAt } from "../calendar/step-function.ts";
import type { PoolUse } from "./flat-network.ts";
import type { Laid } from "./lay-flat.ts";

/** begin, end, amount, node; begin, end, ... of what is taken on one day. */
type Taken = number[];
const FIELDS = 4;

const DAY = 1440;

export class PoolTimes {
  /** Node that held what the last look wanted. */
  blocker = -1;
  private readonly limits: readonly StepFunction[];
  private readonly firstDay: number;
  private readonly days: number;
  /** By pool and day; only the first `used` numbers count. */
  private readonly lists: (Taken | undefined)[];
  private readonly used: Int32Array;
  private readonly touched: number[] = [];

  /** Nothing is taken before `from`; what lies after `until` takes nobody from others. */
  constructor(limits: readonly StepFunction[], from: Minute, until: Minute) {
    this.limits = limits;
    this.firstDay = Math.floor(from / DAY);
    this.days = Math.floor(until / DAY) - this.firstDay + 1;
    this.lists = new Array(limits.length * this.days);
    this.used = new Int32Array(limits.length * this.days);
  }

  clear(): void {
    for (const row of this.touched) this.used[row] = 0;
    this.touched.length = 0;
  }

  /** The stretches laid are worked by the node. */
  take(node: number, uses: readonly PoolUse[], { work, stretches }: Laid): void {
    for (const { pool, amount } of uses) {
      for (let s = 0; s < stretches; s++) {
        const begin = work[2 * s] as number;
        const end = work[2 * s + 1] as number;
        const last = Math.min(this.days - 1, this.dayOf(end - 1));
        for (let day = this.dayOf(begin); day <= last; day++) {
          const row = pool * this.days + day;
          const used = this.used[row] as number;
          if (used === 0) this.touched.push(row);
          let list = this.lists[row];
          if (list === undefined) {
            list = [];
            this.lists[row] = list;
          }
          const dawn = (this.firstDay + day) * DAY;
          list[used] = Math.max(begin, dawn);
          list[used + 1] = Math.min(end, dawn + DAY);
          list[used + 2] = amount;
          list[used + 3] = node;
          this.used[row] = used + FIELDS;
        }
      }
    }
  }

  /** The first minute from which another try makes sense; -1: it may work so. */
  blockedUntil(uses: readonly PoolUse[], { work, stretches }: Laid): Minute {
    for (const { pool, amount } of uses) {
      const limit = this.limits[pool] as StepFunction;
      for (let s = 0; s < stretches; s++) {
        const begin = work[2 * s] as number;
        const end = work[2 * s + 1] as number;
        const last = Math.min(this.days - 1, this.dayOf(end - 1));
        for (let day = this.dayOf(begin); day <= last; day++) {
          const row = pool * this.days + day;
          const used = this.used[row] as number;
          if (used === 0) continue;
          const dawn = (this.firstDay + day) * DAY;
          const first = Math.max(begin, dawn);
          const until = Math.min(end, dawn + DAY);
          const free = this.shortUntil(this.lists[row] as Taken, used, limit, amount, first, until);
          if (free >= 0) return free;
        }
      }
    }
    return -1;
  }

  private dayOf(minute: Minute): number {
    return Math.floor(minute / DAY) - this.firstDay;
  }

  private shortUntil(taken: Taken, used: number, limit: StepFunction, amount: number, begin: Minute, end: Minute): Minute {
    let all = 0;
    for (let i = 0; i < used; i += FIELDS)
      if ((taken[i] as number) < end && (taken[i + 1] as number) > begin) all += taken[i + 2] as number;
    if (all === 0) return -1;
    const next = firstAfter(limit.at, begin);
    const changes = next < limit.at.length && (limit.at[next] as number) < end;
    if (!changes) {
      const most = next === 0 ? 0 : (limit.value[next - 1] as number);
      if (most < amount || all + amount <= most) return -1;
    }
    let until = this.shortAt(taken, used, limit, amount, begin);
    for (let i = 0; until < 0 && i < used; i += FIELDS) {
      const at = taken[i] as number;
      if (at > begin && at < end) until = this.shortAt(taken, used, limit, amount, at);
    }
    for (let i = next; until < 0 && i < limit.at.length && (limit.at[i] as Minute) < end; i++)
      until = this.shortAt(taken, used, limit, amount, limit.at[i] as Minute);
    return until;
  }

  /** The end of the first use to end of those at a minute that has too little left; -1: enough. */
  private shortAt(taken: Taken, count: number, limit: StepFunction, amount: number, at: Minute): Minute {
    let used = 0;
    let until = Number.POSITIVE_INFINITY;
    let node = -1;
    for (let i = 0; i < count; i += FIELDS) {
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
