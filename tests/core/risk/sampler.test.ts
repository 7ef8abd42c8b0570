/** Samples against closed forms: beta-PERT moments, exponential stops, the effective time of a machine that stops. */
import { describe, expect, test } from "vitest";
import { createRandom } from "../../../src/core/ground/prng.ts";
import {
  betaVariance,
  normalBelow,
  pertMean,
  pertVariance,
  sampleExponential,
  sampleThreePoint,
  type ThreePoint,
} from "../../../src/core/risk/pert.ts";
import { pertTables, sampleTable } from "../../../src/core/risk/pert-table.ts";
import { sampleRepairs } from "../../../src/core/risk/sampler.ts";

const SAMPLES = 40_000;

function moments(draw: () => number): { mean: number; variance: number; least: number; most: number } {
  let sum = 0;
  let squares = 0;
  let least = Number.POSITIVE_INFINITY;
  let most = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < SAMPLES; i++) {
    const x = draw();
    sum += x;
    squares += x * x;
    least = Math.min(least, x);
    most = Math.max(most, x);
  }
  const mean = sum / SAMPLES;
  return { mean, variance: squares / SAMPLES - mean * mean, least, most };
}

/** Five standard errors: with fixed seeds a right sampler never fails, a wrong formula does. */
const near = (value: number, wanted: number, variance: number): void =>
  expect(Math.abs(value - wanted)).toBeLessThan(5 * Math.sqrt(variance / SAMPLES));

describe("three-point durations", () => {
  const points: ThreePoint[] = [
    { best: 4, likely: 5, worst: 12 },
    { best: 0.9, likely: 1, worst: 1.4 },
    { best: 3, likely: 9, worst: 9 },
    { best: 4, likely: 4, worst: 10 },
  ];
  test.each(points)("samples of %o stay in range, with mean (a + 4m + b) / 6 and the variance of the beta", (point) => {
    const random = createRandom(7);
    const { mean, variance, least, most } = moments(() => sampleThreePoint(point, random));
    expect(least).toBeGreaterThanOrEqual(point.best);
    expect(most).toBeLessThanOrEqual(point.worst);
    near(mean, pertMean(point), betaVariance(point));
    expect(Math.abs(variance / betaVariance(point) - 1)).toBeLessThan(0.05);
  });

  test("with the likely case in the middle the beta has the planning variance of one seventh of a quarter of the range squared", () => {
    // (mean - a)(b - mean) / 7 = (b - a)^2 / 28 there, against (b - a)^2 / 36 of the planning formula.
    const point = { best: 0, likely: 6, worst: 12 };
    expect(betaVariance(point)).toBeCloseTo(144 / 28, 12);
    expect(pertVariance(point)).toBeCloseTo(144 / 36, 12);
  });

  test.each(points)("drawn from the table, too: %o", (point) => {
    const random = createRandom(7);
    const table = pertTables()(point);
    const { mean, variance, least, most } = moments(() => sampleTable(table, random));
    expect(least).toBeGreaterThanOrEqual(point.best);
    expect(most).toBeLessThanOrEqual(point.worst);
    near(mean, pertMean(point), betaVariance(point));
    expect(Math.abs(variance / betaVariance(point) - 1)).toBeLessThan(0.05);
  });

  // closed forms of the beta distribution with whole shapes: (1, 5), (5, 1) and (3, 3)
  test.each([
    { likely: 0, below: (x: number) => 1 - (1 - x) ** 5 },
    { likely: 1, below: (x: number) => x ** 5 },
    { likely: 0.5, below: (x: number) => x ** 3 * (10 - 15 * x + 6 * x * x) },
  ])("the table is the beta distribution where its integral is known: likely at $likely of the range", ({ likely, below }) => {
    const table = pertTables()({ best: 0, likely, worst: 1 });
    const parts = table.below.length - 1;
    table.below.forEach((x, i) => {
      expect(below(x)).toBeCloseTo(i / parts, 4);
    });
    // between two rows of the table, where lines stand for the curve; the first and the last are its steepest
    for (let i = 1; i < parts - 1; i++)
      expect(below(((table.below[i] ?? 0) + (table.below[i + 1] ?? 0)) / 2)).toBeCloseTo((i + 0.5) / parts, 3);
  });

  test("a certain duration is just that", () => {
    expect(sampleTable(pertTables()({ best: 5, likely: 5, worst: 5 }), createRandom(1))).toBe(5);
    expect(sampleThreePoint({ best: 5, likely: 5, worst: 5 }, createRandom(1))).toBe(5);
  });
});

describe("machine stops", () => {
  test("exponential: mean and standard deviation are equal", () => {
    const random = createRandom(3);
    const { mean, variance } = moments(() => sampleExponential(248, random));
    near(mean, 248, 248 ** 2);
    expect(Math.abs(variance / 248 ** 2 - 1)).toBeLessThan(0.06);
  });

  // Hopp, Spearman, Factory Physics, variability chapter: te = t0 / A, ce2 = c0^2 + (1 + cr2) A (1 - A) mr / t0; the worked pair
  // of machines with equal availability, rare long and frequent short stops (t0 15, s0 3.35, cr2 1).
  test.each([
    { meanBetween: 744, meanRepair: 248, ce2: 6.25 },
    { meanBetween: 114, meanRepair: 38, ce2: 1 },
  ])(
    "effective time of stops every $meanBetween lasting $meanRepair: te 20, ce2 about $ce2",
    ({ meanBetween, meanRepair, ce2 }) => {
      const random = createRandom(11);
      const work = 15;
      const { mean, variance } = moments(() => work + sampleRepairs(work, [{ meanBetween, meanRepair }], random));
      const availability = meanBetween / (meanBetween + meanRepair);
      expect(work / availability).toBeCloseTo(20, 9);
      near(mean, 20, variance);
      // The natural variability of the work itself (c0) is not drawn here.
      const withoutOwn = (2 * availability * (1 - availability) * meanRepair) / work;
      expect((3.35 / 15) ** 2 + withoutOwn).toBeCloseTo(ce2, 1);
      expect(Math.abs(variance / mean ** 2 / withoutOwn - 1)).toBeLessThan(0.12);
    },
  );
});

test("the normal distribution, against tabulated values (Abramowitz, Stegun 1964, table 26.1)", () => {
  expect(normalBelow(0)).toBeCloseTo(0.5, 6);
  expect(normalBelow(1)).toBeCloseTo(0.8413447, 6);
  expect(normalBelow(-1.96)).toBeCloseTo(0.0249979, 6);
  expect(normalBelow(1.8181818)).toBeCloseTo(0.9654818, 4);
});
