/**
 * A project as flat arrays, with the supplies packed into as few 31-bit words as possible so that one subtraction tests several
 * supplies at once: each supply has a field with one guard bit above its capacity; a borrow clears the guard.
 * `mirror` is the same project with time running backwards (rule: write each algorithm for one direction of time).
 */
import { invariant } from "../../ground/invariant.ts";
import type { Project } from "../../problem/classical.ts";

export type ProjectNetwork = {
  readonly size: number;
  readonly duration: Int32Array;
  /** Predecessors and successors, row by row: those of a are predList[predFirst[a] .. predFirst[a + 1]). */
  readonly predFirst: Int32Array;
  readonly predList: Int32Array;
  readonly succFirst: Int32Array;
  readonly succList: Int32Array;
  /** Words per minute of the profile. */
  readonly words: number;
  /** demand[a * words + w], fields without guard bits. */
  readonly demand: Int32Array;
  /** Everything free: capacities with the guard bits set. */
  readonly free: Int32Array;
  readonly guard: Int32Array;
  /** Longest path before and after each activity, its own duration excluded. */
  readonly head: Int32Array;
  readonly tail: Int32Array;
  /** Sum of durations: no schedule without pauses is longer. */
  readonly horizon: number;
};

const WORD_BITS = 30; // stays clear of the sign bit

export function projectNetwork(project: Project): ProjectNetwork {
  const { activities, capacities } = project;
  const size = activities.length;
  const duration = Int32Array.from(activities, (activity) => activity.duration);
  const successors = activities.map((activity) => [...new Set(activity.successors)]);
  const predecessors: number[][] = activities.map(() => []);
  for (const [a, list] of successors.entries()) for (const b of list) predecessors[b].push(a);
  const [predFirst, predList] = rows(predecessors);
  const [succFirst, succList] = rows(successors);

  const fields: { word: number; shift: number; guardBit: number }[] = [];
  let word = 0;
  let used = 0;
  for (const capacity of capacities) {
    invariant(
      Number.isInteger(capacity) && capacity >= 0 && capacity < 2 ** (WORD_BITS - 1),
      `capacity ${capacity} cannot be packed`,
    );
    const width = Math.max(1, 32 - Math.clz32(capacity)) + 1;
    if (used + width > WORD_BITS) {
      word += 1;
      used = 0;
    }
    fields.push({ word, shift: used, guardBit: used + width - 1 });
    used += width;
  }
  const words = word + 1;
  const demand = new Int32Array(size * words);
  const free = new Int32Array(words);
  const guard = new Int32Array(words);
  for (const [r, field] of fields.entries()) {
    free[field.word] |= (capacities[r] << field.shift) | (1 << field.guardBit);
    guard[field.word] |= 1 << field.guardBit;
    for (const [a, activity] of activities.entries()) {
      const amount = activity.demands[r];
      invariant(amount >= 0 && amount <= capacities[r], `activity ${a} asks for ${amount} of supply ${r} with ${capacities[r]}`);
      demand[a * words + field.word] |= amount << field.shift;
    }
  }
  const head = longestBefore(duration, predFirst, succFirst, succList);
  const tail = longestBefore(duration, succFirst, predFirst, predList);
  const horizon = duration.reduce((sum, d) => sum + d, 0);
  return { size, duration, predFirst, predList, succFirst, succList, words, demand, free, guard, head, tail, horizon };
}

/** The same project backwards in time. */
export function mirror(network: ProjectNetwork): ProjectNetwork {
  return {
    ...network,
    predFirst: network.succFirst,
    predList: network.succList,
    succFirst: network.predFirst,
    succList: network.predList,
    head: network.tail,
    tail: network.head,
  };
}

function rows(lists: readonly (readonly number[])[]): [Int32Array, Int32Array] {
  const first = new Int32Array(lists.length + 1);
  for (const [k, list] of lists.entries()) first[k + 1] = first[k] + list.length;
  return [first, Int32Array.from(lists.flat())];
}

function longestBefore(duration: Int32Array, predFirst: Int32Array, succFirst: Int32Array, succList: Int32Array): Int32Array {
  const size = duration.length;
  const head = new Int32Array(size);
  const open = new Int32Array(size);
  const ready: number[] = [];
  for (let a = 0; a < size; a += 1) {
    open[a] = predFirst[a + 1] - predFirst[a];
    if (open[a] === 0) ready.push(a);
  }
  let seen = 0;
  for (let a = ready.pop(); a !== undefined; a = ready.pop()) {
    seen += 1;
    for (let k = succFirst[a]; k < succFirst[a + 1]; k += 1) {
      const b = succList[k];
      head[b] = Math.max(head[b], head[a] + duration[a]);
      open[b] -= 1;
      if (open[b] === 0) ready.push(b);
    }
  }
  invariant(seen === size, "the precedence links of a project must not form a cycle");
  return head;
}
