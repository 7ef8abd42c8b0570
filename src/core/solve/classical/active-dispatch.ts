/**
 * A random active schedule of a job shop: a start for the search, never worse than sensible hand work.
 * Each round takes the machine on which something can end first and picks one of the operations competing there, now and then
 * by most work remaining, else at random. Returns the linear order in which operations were placed. O(operations x jobs).
 * Source: B. Giffler, G.L. Thompson, Algorithms for solving production-scheduling problems, Operations Research 8(4), 1960.
 */
import type { Random } from "../../ground/prng.ts";
import type { JobShopGraph } from "./job-shop-graph.ts";

export function activeDispatch(graph: JobShopGraph, random: Random, greed: number): Int32Array {
  const { size, jobCount, jobFirst, jobEnd, slotOf, machine, duration, machineCount } = graph;
  const order = new Int32Array(size);
  const next = jobFirst.slice();
  const jobReady = new Int32Array(jobCount);
  const machineReady = new Int32Array(machineCount);
  const workLeft = new Int32Array(jobCount);
  for (const x of slotOf) workLeft[graph.jobOf[x]] += duration[x];
  for (let placed = 0; placed < size; placed += 1) {
    let firstEnd = Number.POSITIVE_INFINITY;
    let busy = -1;
    for (let j = 0; j < jobCount; j += 1) {
      const x = next[j];
      if (x === jobEnd[j]) continue;
      const m = machine[x];
      const end = Math.max(jobReady[j], machineReady[m]) + duration[x];
      if (end < firstEnd || (end === firstEnd && random.int(2) === 0)) {
        firstEnd = end;
        busy = m;
      }
    }
    const byWork = random.next() < greed;
    let chosen = -1;
    let rivals = 0;
    for (let j = 0; j < jobCount; j += 1) {
      const x = next[j];
      if (x === jobEnd[j] || machine[x] !== busy) continue;
      const start = Math.max(jobReady[j], machineReady[busy]);
      // An operation of no duration may start exactly when the first one ends and still compete.
      if (start > firstEnd || (start === firstEnd && duration[x] > 0)) continue;
      rivals += 1;
      if (chosen < 0 || (byWork ? workLeft[j] > workLeft[chosen] : random.int(rivals) === 0)) chosen = j;
    }
    const x = next[chosen];
    const end = Math.max(jobReady[chosen], machineReady[busy]) + duration[x];
    jobReady[chosen] = end;
    machineReady[busy] = end;
    workLeft[chosen] -= duration[x];
    next[chosen] += 1;
    order[placed] = x;
  }
  return order;
}
