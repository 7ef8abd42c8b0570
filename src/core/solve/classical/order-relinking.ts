/**
 * Path relinking between two linear orders: neighbours in the first order are exchanged at random, but only where the second
 * has them the other way round, until a wished number of the differing machine decisions is settled as in the second.
 * Every order on the way respects the jobs, because both ends do; so nothing needs to be repaired. O(operations squared);
 * above a size where that is too slow the places of both orders are blended instead, O(n log n), with the same promise.
 * Source of the idea: F. Glover, Tabu search and adaptive memory programming, 1997; use on job shops: B. Peng, Z. Lü,
 * T.C.E. Cheng, Computers & OR 53, 2015. Walking in the linear order instead of machine by machine is our own choice.
 */
import type { Random } from "../../ground/prng.ts";

const WALK_SIZE_MAX = 1_500; // operations

/** The place of each operation in an order; `slots` is above the largest operation number. */
export function placesIn(order: Int32Array, slots: number): Int32Array {
  const places = new Int32Array(slots);
  for (let k = 0; k < order.length; k += 1) places[order[k]] = k;
  return places;
}

/** Number of pairs on one machine that the order has the other way round than the places say. */
export function machineInversions(order: Int32Array, places: Int32Array, machine: Int32Array, machineCount: number): number {
  const rows: number[][] = Array.from({ length: machineCount }, () => []);
  for (const x of order) rows[machine[x]].push(places[x]);
  let count = 0;
  for (const row of rows) {
    for (let i = 0; i < row.length; i += 1) for (let j = i + 1; j < row.length; j += 1) if (row[i] > row[j]) count += 1;
  }
  return count;
}

/** An order between the two: about `share` of the `differing` machine decisions are as in the order that `places` describes. */
export function relink(
  from: Int32Array,
  places: Int32Array,
  machine: Int32Array,
  differing: number,
  share: number,
  random: Random,
): Int32Array {
  const size = from.length;
  if (size > WALK_SIZE_MAX) return blend(from, places, share);
  const order = from.slice();
  const steps = Math.ceil(differing * share);
  let settled = 0;
  // Random picks with a ceiling: a pick hits an inverted pair less often the nearer the goal is.
  for (let tries = size * size * 4; settled < steps && tries > 0; tries -= 1) {
    const k = random.int(size - 1);
    const x = order[k];
    const y = order[k + 1];
    if (places[x] < places[y]) continue;
    order[k] = y;
    order[k + 1] = x;
    if (machine[x] === machine[y]) settled += 1;
  }
  return order;
}

/** What precedes in both orders precedes in their weighted mean. */
function blend(from: Int32Array, places: Int32Array, share: number): Int32Array {
  const key = new Float64Array(places.length);
  for (let k = 0; k < from.length; k += 1) key[from[k]] = (1 - share) * k + share * places[from[k]];
  return from.slice().sort((x, y) => key[x] - key[y] || places[x] - places[y]);
}
