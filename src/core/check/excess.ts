/**
 * One sweep over the uses of one resource: the unbroken stretches in which more is used than there is, each with all
 * that use it there and the largest excess. O((uses + steps) log uses). Knows no resource by name.
 */
import type { Interval, Minute } from "../calendar/minute.ts";
import type { StepFunction } from "../calendar/step-function.ts";

export type Use<User> = { readonly interval: Interval; readonly amount: number; readonly user: User };
export type Stretch<User> = { readonly interval: Interval; readonly users: ReadonlySet<User>; readonly excess: number };

/** Only minutes from `from` on are looked at. `capacity` null: 1 at all times. */
export function stretchesOfExcess<User>(
  uses: readonly Use<User>[],
  capacity: StepFunction | null,
  from: Minute,
): Stretch<User>[] {
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
