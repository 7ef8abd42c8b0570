/**
 * One sweep over the uses of one resource: the unbroken stretches in which more is used than there is, each with all
 * that use it there and the largest excess. O((uses + steps) log uses). Knows no resource by name.
 * Uses are kept as columns of numbers, and numbers alone say first whether anything is too much; who, only when something is.
 */
import type { Interval, Minute } from "../calendar/minute.ts";
import type { StepFunction } from "../calendar/step-function.ts";
import { inOrderOf } from "./order-of.ts";

export type Stretch<User> = { readonly interval: Interval; readonly users: ReadonlySet<User>; readonly excess: number };

type Use<User> = { readonly interval: Interval; readonly amount: number; readonly user: User };

/** The uses of one resource, in any order. */
export class Uses<User> {
  private readonly starts: Minute[] = [];
  private readonly ends: Minute[] = [];
  private readonly amounts: number[] = [];
  private readonly users: User[] = [];

  add([start, end]: Interval, amount: number, user: User): void {
    if (amount <= 0 || start >= end) return;
    this.starts.push(start);
    this.ends.push(end);
    this.amounts.push(amount);
    this.users.push(user);
  }

  /** Only minutes from `from` on are looked at. `capacity` null: 1 at all times. */
  stretchesOfExcess(capacity: StepFunction | null, from: Minute): Stretch<User>[] {
    if (this.isEnough(capacity, from)) return [];
    const uses = this.users.map((user, i): Use<User> => {
      return { interval: [this.starts[i] as Minute, this.ends[i] as Minute], amount: this.amounts[i] as number, user };
    });
    return stretchesOfExcess(uses, capacity, from);
  }

  /** Whether nothing is too much at any minute. */
  private isEnough(capacity: StepFunction | null, from: Minute): boolean {
    const { starts, ends, amounts } = this;
    // What is over by `from`, or uses nothing, is swept along: it is taken back in the same minute.
    const byStart = inOrderOf(starts);
    const byEnd = inOrderOf(ends);
    const count = starts.length;
    let used = 0;
    let there = capacity === null ? 1 : 0;
    let s = 0;
    let e = 0;
    let c = 0;
    while (e < count) {
      const begin = s < count ? (starts[byStart[s] as number] as Minute) : Number.POSITIVE_INFINITY;
      const end = ends[byEnd[e] as number] as Minute;
      const step = capacity?.at[c] ?? Number.POSITIVE_INFINITY;
      const minute = Math.max(from, Math.min(begin, end, step));
      for (; e < count && (ends[byEnd[e] as number] as Minute) <= minute; e++) used -= amounts[byEnd[e] as number] as number;
      for (; s < count && (starts[byStart[s] as number] as Minute) <= minute; s++)
        used += amounts[byStart[s] as number] as number;
      for (; capacity !== null && (capacity.at[c] ?? Number.POSITIVE_INFINITY) <= minute; c++)
        there = capacity.value[c] as number;
      if (used > there && used > 0) return false;
    }
    return true;
  }
}

/** Only minutes from `from` on are looked at. `capacity` null: 1 at all times. */
function stretchesOfExcess<User>(uses: readonly Use<User>[], capacity: StepFunction | null, from: Minute): Stretch<User>[] {
  const ahead = uses.filter(({ interval, amount }) => amount > 0 && interval[0] < interval[1] && interval[1] > from);
  const starts = ahead.toSorted((a, b) => a.interval[0] - b.interval[0]);
  const ends = ahead.toSorted((a, b) => a.interval[1] - b.interval[1]);
  const out: Stretch<User>[] = [];
  const active = new Set<Use<User>>();
  let open: { start: Minute; users: Set<User>; excess: number } | null = null;
  let used = 0;
  let there = capacity === null ? 1 : 0;
  let s = 0;
  let e = 0;
  let c = 0;
  while (e < ends.length) {
    // The next minute at which anything changes; then everything that changes there.
    const step = capacity?.at[c] ?? Number.POSITIVE_INFINITY;
    const minute = Math.max(from, Math.min(ends[e]?.interval[1] ?? step, starts[s]?.interval[0] ?? step, step));
    const began: Use<User>[] = [];
    for (let use = ends[e]; use !== undefined && use.interval[1] <= minute; use = ends[++e]) {
      active.delete(use);
      used -= use.amount;
    }
    for (let use = starts[s]; use !== undefined && use.interval[0] <= minute; use = starts[++s]) {
      active.add(use);
      began.push(use);
      used += use.amount;
    }
    for (; capacity !== null && (capacity.at[c] ?? Number.POSITIVE_INFINITY) <= minute; c++) there = capacity.value[c] as number;
    const excess = active.size === 0 ? 0 : used - there;
    if (excess > 0) {
      if (open === null) open = { start: minute, users: new Set([...active].map(({ user }) => user)), excess };
      for (const { user } of began) open.users.add(user);
      open.excess = Math.max(open.excess, excess);
    } else if (open !== null) {
      out.push({ interval: [open.start, minute], users: open.users, excess: open.excess });
      open = null;
    }
  }
  return out;
}
