/**
 * Lower bound of a flexible job shop (setups, if any, are left out, which only lowers it): the longest job by shortest
 * alternatives; Jackson's preemptive bound of each machine over the operations that have no other; and, for sets of machines,
 * the work of all operations that cannot leave the set, spread evenly, plus the least head and tail. Never above the optimum.
 */
import { evenlyChosen } from "./evenly-chosen.ts";
import type { FlexibleInstance } from "./flexible-graph.ts";
import { jacksonPreemptiveBound, type OneMachineOperation } from "./one-machine-bound.ts";

const SETS_MAX = 2048;
const WORK_MAX = 20_000_000; // sets times operations times thresholds: well under a second
const THRESHOLDS_MAX = 60; // heads tried per set

export function flexibleBound(instance: FlexibleInstance): number {
  const operations: (OneMachineOperation & { readonly machines: readonly number[] })[] = [];
  let bound = 0;
  for (const job of instance.jobs) {
    const shortest = job.map((operation) => Math.min(...operation.choices.map((choice) => choice.duration)));
    const total = shortest.reduce((sum, d) => sum + d, 0);
    bound = Math.max(bound, total);
    let head = 0;
    for (const [k, operation] of job.entries()) {
      const machines = [...new Set(operation.choices.map((choice) => choice.machine))].sort((a, b) => a - b);
      operations.push({ head, duration: shortest[k], tail: total - head - shortest[k], machines });
      head += shortest[k];
    }
  }
  const setsMax = Math.min(SETS_MAX, Math.ceil(WORK_MAX / (Math.max(1, operations.length) * THRESHOLDS_MAX)));
  for (const set of machineSets(
    operations.map((operation) => operation.machines),
    setsMax,
  )) {
    const inside = operations.filter((operation) => operation.machines.every((m) => set.has(m)));
    if (inside.length === 0) continue;
    if (set.size === 1) bound = Math.max(bound, jacksonPreemptiveBound(inside));
    else bound = Math.max(bound, spreadBound(inside, set.size));
  }
  return bound;
}

/** Best over head thresholds of: threshold + work that starts at or after it / machines + least tail. */
function spreadBound(inside: readonly OneMachineOperation[], machines: number): number {
  const byTail = [...inside].sort((a, b) => b.tail - a.tail);
  let bound = 0;
  for (const from of evenlyChosen([...new Set(inside.map((operation) => operation.head))], THRESHOLDS_MAX)) {
    let work = 0;
    for (const { head, duration, tail } of byTail) {
      if (head < from) continue;
      work += duration;
      bound = Math.max(bound, from + Math.ceil(work / machines) + tail);
    }
  }
  return bound;
}

/** Every operation's own set, their pairwise unions up to a ceiling, and the set of all; own sets always count. */
function machineSets(lists: readonly (readonly number[])[], setsMax: number): ReadonlySet<number>[] {
  const known = new Map<string, ReadonlySet<number>>();
  const add = (machines: Iterable<number>): void => {
    const sorted = [...new Set(machines)].sort((a, b) => a - b);
    known.set(sorted.join(","), new Set(sorted));
  };
  for (const list of lists) add(list);
  add(lists.flat());
  const own = [...known.values()];
  for (const a of own) {
    for (const b of own) {
      if (known.size >= setsMax) return [...known.values()];
      add([...a, ...b]);
    }
  }
  return [...known.values()];
}
