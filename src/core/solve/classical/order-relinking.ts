/**
 * Path relinking between two linear orders: neighbours in the first order are exchanged at random, but only where the second
 * has them the other way round, until a wished share of the differing machine decisions is settled as in the second.
 * Every order on the way respects the jobs, because both ends do; so nothing needs to be repaired. O(operations squared).
 * Source of the idea: F. Glover, Tabu search and adaptive memory programming, 1997; use on job shops: B. Peng, Z. Lü,
 * T.C.E. Cheng, Computers & OR 53, 2015. Walking in the linear order instead of machine by machine is our own choice.
 */
import type { Random } from "../../ground/prng.ts";
import type { JobShopGraph } from "./job-shop-graph.ts";

/** Number of pairs on one machine that the two orders sequence differently. */
export function machineDistance(graph: JobShopGraph, a: Int32Array, b: Int32Array): number {
  const { size, slots, machine, machineCount } = graph;
  const placeInB = new Int32Array(slots);
  for (let k = 0; k < size; k += 1) placeInB[b[k]] = k;
  const rows: number[][] = Array.from({ length: machineCount }, () => []);
  for (let k = 0; k < size; k += 1) rows[machine[a[k]]].push(placeInB[a[k]]);
  let distance = 0;
  for (const row of rows) {
    for (let i = 0; i < row.length; i += 1) {
      for (let j = i + 1; j < row.length; j += 1) if (row[i] > row[j]) distance += 1;
    }
  }
  return distance;
}

/** An order between the two, `steps` differing machine decisions away from `from`. */
export function relink(graph: JobShopGraph, from: Int32Array, to: Int32Array, steps: number, random: Random): Int32Array {
  const { size, slots, machine } = graph;
  const order = from.slice();
  const placeInTo = new Int32Array(slots);
  for (let k = 0; k < size; k += 1) placeInTo[to[k]] = k;
  let settled = 0;
  // Random picks with a ceiling: a pick hits an inverted pair less often the nearer the goal is.
  for (let tries = size * size * 4; settled < steps && tries > 0; tries -= 1) {
    const k = random.int(size - 1);
    const x = order[k];
    const y = order[k + 1];
    if (placeInTo[x] < placeInTo[y]) continue;
    order[k] = y;
    order[k + 1] = x;
    if (machine[x] === machine[y]) settled += 1;
  }
  return order;
}
