/**
 * Three-point durations drawn from a table: the values that so many 512ths of the draws stay below, straight lines between them.
 * One random number and one look a draw, where the two gammas of `pert.ts` take a dozen logarithms and roots; the distribution is the
 * same to less than a thousandth of its range. Depends on where the likely value lies between the others alone, so a shop needs few.
 */
import { invariant } from "../ground/invariant.ts";
import type { Random } from "../ground/prng.ts";
import type { ThreePoint } from "./pert.ts";

const PARTS = 512;
/** Steps of the integral for each part of the table. */
const FINER = 4;

export type PertTable = { readonly best: number; readonly range: number; readonly below: Float64Array };

/** Tables with a memory: one for each place of the likely value. */
export function pertTables(): (point: ThreePoint) => PertTable {
  const known = new Map<number, Float64Array>();
  return ({ best, likely, worst }) => {
    invariant(best <= likely && likely <= worst, `best ${best}, likely ${likely}, worst ${worst} do not rise`);
    const range = worst - best;
    const place = range === 0 ? 0 : (likely - best) / range;
    let below = known.get(place);
    if (below === undefined) {
      below = quantiles(4 * place);
      known.set(place, below);
    }
    return { best, range, below };
  };
}

export function sampleTable({ best, range, below }: PertTable, random: Random): number {
  if (range === 0) return best;
  const at = random.next() * PARTS;
  const part = Math.floor(at);
  const from = below[part] as number;
  return best + range * (from + (at - part) * ((below[part + 1] as number) - from));
}

/** Quantiles of the density x^p (1 - x)^(4 - p) on [0, 1]: its integral by Simpson's rule, read the other way round. */
function quantiles(p: number): Float64Array {
  const steps = PARTS * FINER;
  const density = (x: number): number => x ** p * (1 - x) ** (4 - p);
  const upTo = new Float64Array(steps + 1);
  for (let i = 0; i < steps; i++) {
    const [a, b] = [i / steps, (i + 1) / steps];
    upTo[i + 1] = (upTo[i] as number) + (density(a) + 4 * density((a + b) / 2) + density(b)) / (6 * steps);
  }
  const whole = upTo[steps] as number;
  const out = new Float64Array(PARTS + 1);
  out[PARTS] = 1;
  for (let part = 1, i = 0; part < PARTS; part++) {
    const wanted = (whole * part) / PARTS;
    while ((upTo[i + 1] as number) < wanted) i++;
    const [low, high] = [upTo[i] as number, upTo[i + 1] as number];
    out[part] = (i + (wanted - low) / (high - low)) / steps;
  }
  return out;
}
