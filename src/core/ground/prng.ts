/**
 * Seeded pseudo-random numbers: the only source of chance in the core. The same seed gives the same stream on every machine.
 * Promises reproducibility and good statistical spread; not fit for secrets.
 * Source: D. Blackman, S. Vigna, Scrambled linear pseudorandom number generators, ACM Trans. Math. Software 47(4), 2021
 * (xoshiro128**, 32-bit words, period 2^128 - 1). The state is filled from the seed by the 32-bit finaliser of MurmurHash3
 * (A. Appleby, 2008, public domain) over a Weyl sequence, so neighbouring seeds give unrelated streams.
 */
import { invariant } from "./invariant.ts";

export type Random = {
  /** Uniform in [0, 1), 32 bits of it random. */
  next(): number;
  /** Uniform whole number in [0, n), for 1 <= n <= 2^32. The bias is below n / 2^32. */
  int(n: number): number;
  /** A seed for an independent stream, for example of one worker or one instance. */
  fork(): number;
};

const WEYL_STEP = 0x9e3779b9; // 2^32 divided by the golden ratio

const scramble = (word: number): number => {
  let x = word;
  x = Math.imul(x ^ (x >>> 16), 0x85ebca6b);
  x = Math.imul(x ^ (x >>> 13), 0xc2b2ae35);
  return (x ^ (x >>> 16)) | 0;
};

/** A stream from a whole-number seed; seeds beyond 32 bits use their low and high words. */
export const createRandom = (seed: number): Random => {
  invariant(Number.isSafeInteger(seed), `a seed must be a whole number, got ${seed}`);
  const low = seed | 0;
  const high = Math.floor(seed / 0x1_0000_0000) | 0;
  let a = scramble(low + WEYL_STEP);
  // the first output is made from b alone, so b must hang on both words of the seed
  let b = scramble(high + Math.imul(WEYL_STEP, 2)) ^ scramble(low + Math.imul(WEYL_STEP, 5));
  let c = scramble(low ^ Math.imul(WEYL_STEP, 3));
  let d = scramble(high + Math.imul(WEYL_STEP, 4)) | 1; // the all-zero state would stay zero

  const word = (): number => {
    const five = Math.imul(b, 5);
    const result = Math.imul((five << 7) | (five >>> 25), 9);
    const t = b << 9;
    c ^= a;
    d ^= b;
    b ^= c;
    a ^= d;
    c ^= t;
    d = (d << 11) | (d >>> 21);
    return result >>> 0;
  };

  return {
    next: () => word() / 0x1_0000_0000,
    int: (n) => Math.floor((word() / 0x1_0000_0000) * n),
    fork: word,
  };
};

/** A random order of the list, as a new list (Fisher-Yates, in Durstenfeld's form, CACM 7(7), 1964). */
export const shuffled = <T>(list: readonly T[], random: Random): T[] => {
  const result = [...list];
  for (let i = result.length - 1; i > 0; i -= 1) {
    const j = random.int(i + 1);
    const held = result[i] as T;
    result[i] = result[j] as T;
    result[j] = held;
  }
  return result;
};
