/** The seeded generator: fixed stream, range, spread, unrelated neighbours. */
import { describe, expect, test } from "vitest";
import { createRandom, shuffled } from "../../../src/core/ground/prng.ts";

describe("createRandom", () => {
  test("the same seed gives the same stream, another seed another", () => {
    const words = (seed: number): number[] => {
      const random = createRandom(seed);
      return Array.from({ length: 20 }, () => random.fork());
    };
    expect(words(42)).toEqual(words(42));
    expect(words(42)).not.toEqual(words(43));
    expect(words(1)).not.toEqual(words(1 + 2 ** 32));
  });

  test("int stays in range and every value comes up about equally often", () => {
    const random = createRandom(7);
    const counts = new Array<number>(10).fill(0);
    for (let i = 0; i < 100_000; i += 1) {
      const value = random.int(10);
      counts[value] = (counts[value] ?? Number.NaN) + 1;
    }
    // Chi-square with 9 degrees of freedom: 27.9 is the 0.1 % point of the standard tables.
    const chi = counts.reduce((sum, count) => sum + (count - 10_000) ** 2 / 10_000, 0);
    expect(chi).toBeLessThan(27.9);
  });

  test("first values of neighbouring seeds are unrelated", () => {
    const firsts = Array.from({ length: 2000 }, (_, seed) => createRandom(seed).next());
    const mean = firsts.reduce((sum, x) => sum + x, 0) / firsts.length;
    expect(Math.abs(mean - 0.5)).toBeLessThan(0.03);
    const lagged = firsts.slice(1).reduce((sum, x, i) => sum + (x - 0.5) * ((firsts[i] ?? 0) - 0.5), 0) / 1999;
    expect(Math.abs(lagged * 12)).toBeLessThan(0.1);
  });

  test("a seed that is no whole number is refused", () => {
    expect(() => createRandom(0.5)).toThrow(/whole number/);
  });
});

test("shuffled keeps the members and leaves its argument alone", () => {
  const list = [1, 2, 3, 4, 5];
  const result = shuffled(list, createRandom(3));
  expect([...result].sort()).toEqual(list);
  expect(list).toEqual([1, 2, 3, 4, 5]);
});
