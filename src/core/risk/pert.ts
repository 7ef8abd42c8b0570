/**
 * Three-point durations: a best, a likely and a worst case. Mean (a + 4m + b) / 6 and variance ((b - a) / 6)^2 are the planning
 * formulae of the PERT method (Malcolm, Roseboom, Clark, Fazar, Operations Research 7(5), 1959); they are a fit, not a law.
 * Samples come from the beta distribution on [a, b] with shapes 1 + 4(m - a)/(b - a) and 1 + 4(b - m)/(b - a): its mean is that
 * mean exactly, its variance is (mean - a)(b - mean)/7, near the planning formula only where m lies in the middle.
 */
import { invariant } from "../ground/invariant.ts";
import type { Random } from "../ground/prng.ts";

export type ThreePoint = { readonly best: number; readonly likely: number; readonly worst: number };

export const pertMean = ({ best, likely, worst }: ThreePoint): number => (best + 4 * likely + worst) / 6;
export const pertVariance = ({ best, worst }: ThreePoint): number => ((worst - best) / 6) ** 2;

/** Variance of the beta distribution that samples are drawn from. */
export function betaVariance(point: ThreePoint): number {
  const mean = pertMean(point);
  return ((mean - point.best) * (point.worst - mean)) / 7;
}

export function sampleThreePoint(point: ThreePoint, random: Random): number {
  const { best, likely, worst } = point;
  invariant(best <= likely && likely <= worst, `best ${best}, likely ${likely}, worst ${worst} do not rise`);
  const range = worst - best;
  if (range === 0) return best;
  const x = sampleGamma(1 + (4 * (likely - best)) / range, random);
  const y = sampleGamma(1 + (4 * (worst - likely)) / range, random);
  return best + (range * x) / (x + y);
}

/** Gamma of scale 1 for shapes >= 1: Marsaglia, Tsang, ACM Trans. Math. Software 26(3), 2000. */
function sampleGamma(shape: number, random: Random): number {
  const d = shape - 1 / 3;
  const c = 1 / Math.sqrt(9 * d);
  for (;;) {
    const x = sampleNormal(random);
    const v = (1 + c * x) ** 3;
    if (v <= 0) continue;
    const u = 1 - random.next();
    if (Math.log(u) < 0.5 * x * x + d - d * v + d * Math.log(v)) return d * v;
  }
}

/** Standard normal: Box, Muller, Annals of Mathematical Statistics 29(2), 1958. */
const sampleNormal = (random: Random): number =>
  Math.sqrt(-2 * Math.log(1 - random.next())) * Math.cos(2 * Math.PI * random.next());

export const sampleExponential = (mean: number, random: Random): number => -mean * Math.log(1 - random.next());

/** P(Z <= z) of the standard normal, to about 1e-7: Abramowitz, Stegun, Handbook of Mathematical Functions, 1964, 26.2.17. */
export function normalBelow(z: number): number {
  const t = 1 / (1 + 0.2316419 * Math.abs(z));
  const tail =
    (Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI)) *
    t *
    (0.31938153 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
  return z >= 0 ? 1 - tail : tail;
}
