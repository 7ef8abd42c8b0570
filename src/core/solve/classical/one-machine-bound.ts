/**
 * Jackson's preemptive schedule: the exact optimum of one machine with heads and tails when work may be interrupted, and so a
 * lower bound when it may not. O(n log n) in the number of operations.
 * Sources: J.R. Jackson, An extension of Johnson's results on job lot scheduling, Naval Research Logistics Quarterly 3, 1956;
 * J. Carlier, The one-machine sequencing problem, European Journal of Operational Research 11, 1982.
 */
export type OneMachineOperation = {
  /** Earliest start. */
  readonly head: number;
  readonly duration: number;
  /** Time that must follow after its end. */
  readonly tail: number;
};

/** `endOf` translates a time of the schedule before the tail is added: for a machine that is not always open. */
export function jacksonPreemptiveBound(
  operations: readonly OneMachineOperation[],
  endOf: (time: number) => number = (time) => time,
): number {
  const byHead = [...operations].sort((a, b) => a.head - b.head);
  const left: { tail: number; rest: number }[] = []; // available work, a heap with the longest tail on top
  let bound = 0;
  let time = 0;
  let arriving = 0;

  const push = (item: { tail: number; rest: number }): void => {
    left.push(item);
    for (let k = left.length - 1; k > 0; ) {
      const up = (k - 1) >> 1;
      if (left[up].tail >= left[k].tail) break;
      [left[up], left[k]] = [left[k], left[up]];
      k = up;
    }
  };
  const pop = (): void => {
    const last = left.pop();
    if (last === undefined || left.length === 0) return;
    left[0] = last;
    for (let k = 0; ; ) {
      let best = 2 * k + 1;
      if (best >= left.length) break;
      if (best + 1 < left.length && left[best + 1].tail > left[best].tail) best += 1;
      if (left[k].tail >= left[best].tail) break;
      [left[best], left[k]] = [left[k], left[best]];
      k = best;
    }
  };

  while (arriving < byHead.length || left.length > 0) {
    if (left.length === 0) time = Math.max(time, byHead[arriving].head);
    while (arriving < byHead.length && byHead[arriving].head <= time) {
      const { duration, tail, head } = byHead[arriving];
      if (duration > 0) push({ tail, rest: duration });
      else bound = Math.max(bound, endOf(head) + tail);
      arriving += 1;
    }
    if (left.length === 0) continue;
    const top = left[0];
    const until = arriving < byHead.length ? byHead[arriving].head : Number.POSITIVE_INFINITY;
    const worked = Math.min(top.rest, until - time);
    time += worked;
    top.rest -= worked;
    if (top.rest === 0) {
      bound = Math.max(bound, endOf(time) + top.tail);
      pop();
    }
  }
  return bound;
}
