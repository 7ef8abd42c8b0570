/**
 * Taillard's job shops, made from their published seeds: no data file is needed to get ta01 to ta50.
 * Source: E. Taillard, Benchmarks for basic scheduling problems, European Journal of Operational Research 64(2), 1993, 278-285:
 * the generator (Lehmer's, x <- 16807 x mod 2^31 - 1), durations U(1, 99) job by job, machine orders by exchanges, and the
 * seeds below. Regenerated instances equal the published files number for number.
 */
import { invariant } from "../src/core/ground/invariant.ts";
import type { JobShop } from "../src/core/problem/classical.ts";

/** Name, jobs, machines, time seed, machine seed. */
export const TAILLARD_SEEDS: readonly (readonly [string, number, number, number, number])[] = [
  ["ta01", 15, 15, 840612802, 398197754],
  ["ta02", 15, 15, 1314640371, 386720536],
  ["ta03", 15, 15, 1227221349, 316176388],
  ["ta04", 15, 15, 342269428, 1806358582],
  ["ta05", 15, 15, 1603221416, 1501949241],
  ["ta06", 15, 15, 1357584978, 1734077082],
  ["ta07", 15, 15, 44531661, 1374316395],
  ["ta08", 15, 15, 302545136, 2092186050],
  ["ta09", 15, 15, 1153780144, 1393392374],
  ["ta10", 15, 15, 73896786, 1544979948],
  ["ta11", 20, 15, 533484900, 317419073],
  ["ta12", 20, 15, 1894307698, 1474268163],
  ["ta13", 20, 15, 874340513, 509669280],
  ["ta14", 20, 15, 1124986343, 1209573668],
  ["ta15", 20, 15, 1463788335, 529048107],
  ["ta16", 20, 15, 1056908795, 25321885],
  ["ta17", 20, 15, 195672285, 1717580117],
  ["ta18", 20, 15, 961965583, 1353003786],
  ["ta19", 20, 15, 1610169733, 1734469503],
  ["ta20", 20, 15, 532794656, 998486810],
  ["ta21", 20, 20, 1035939303, 773961798],
  ["ta22", 20, 20, 5997802, 1872541150],
  ["ta23", 20, 20, 1357503601, 722225039],
  ["ta24", 20, 20, 806159563, 1166962073],
  ["ta25", 20, 20, 1902815253, 1879990068],
  ["ta26", 20, 20, 1503184031, 1850351876],
  ["ta27", 20, 20, 1032645967, 99711329],
  ["ta28", 20, 20, 229894219, 1158117804],
  ["ta29", 20, 20, 823349822, 108033225],
  ["ta30", 20, 20, 1297900341, 489486403],
  ["ta31", 30, 15, 98640593, 1981283465],
  ["ta32", 30, 15, 1839268120, 248890888],
  ["ta33", 30, 15, 573875290, 2081512253],
  ["ta34", 30, 15, 1670898570, 788294565],
  ["ta35", 30, 15, 1118914567, 1074349202],
  ["ta36", 30, 15, 178750207, 294279708],
  ["ta37", 30, 15, 1549372605, 596993084],
  ["ta38", 30, 15, 798174738, 151685779],
  ["ta39", 30, 15, 553410952, 1329272528],
  ["ta40", 30, 15, 1661531649, 1173386294],
  ["ta41", 30, 20, 1841414609, 1357882888],
  ["ta42", 30, 20, 2116959593, 1546338557],
  ["ta43", 30, 20, 796392706, 1230864158],
  ["ta44", 30, 20, 532496463, 254174057],
  ["ta45", 30, 20, 2020525633, 978943053],
  ["ta46", 30, 20, 524444252, 185526083],
  ["ta47", 30, 20, 1569394691, 487269855],
  ["ta48", 30, 20, 1460267840, 1631446539],
  ["ta49", 30, 20, 198324822, 1937476577],
  ["ta50", 30, 20, 38071822, 1541985579],
];

const MODULUS = 2_147_483_647;
const MULTIPLIER = 16_807; // 16807 * 2^31 stays below 2^53, so plain numbers are exact

function lehmer(seed: number): (low: number, high: number) => number {
  let x = seed;
  return (low, high) => {
    x = (x * MULTIPLIER) % MODULUS;
    return low + Math.floor((x * (high - low + 1)) / MODULUS);
  };
}

/** A job shop by Taillard's recipe from any pair of seeds. */
export function taillardJobShop(jobCount: number, machines: number, timeSeed: number, machineSeed: number): JobShop {
  const duration = lehmer(timeSeed);
  const place = lehmer(machineSeed);
  const durations = Array.from({ length: jobCount }, () => Array.from({ length: machines }, () => duration(1, 99)));
  const jobs = durations.map((row) => {
    const route = Array.from({ length: machines }, (_, m) => m);
    for (let k = 0; k < machines; k += 1) {
      const other = place(k, machines - 1);
      [route[k], route[other]] = [route[other] as number, route[k] as number];
    }
    return row.map((minutes, k) => ({ machine: route[k] as number, duration: minutes }));
  });
  return { machines, jobs };
}

/** One of ta01 to ta50. */
export function taillard(name: string): JobShop {
  const row = TAILLARD_SEEDS.find(([known]) => known === name);
  invariant(row !== undefined, `no seeds are known for "${name}"`);
  return taillardJobShop(row[1], row[2], row[3], row[4]);
}
