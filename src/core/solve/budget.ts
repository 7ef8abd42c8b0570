/** How long a search may go on: so many iterations, or until the caller says stop. Never looks at a clock itself. */
export type Budget = {
  /** Iterations at most; null: the caller's stop ends it. */
  readonly iterations: number | null;
  readonly shouldStop: () => boolean;
  /** The share of it that is spent, 0 to 1, as the caller's clock has it: cooling then spans the whole. */
  readonly spent?: (() => number) | undefined;
};

/**
 * Cooling needs an end to aim at. With an iteration budget, or when the caller says how much of the time is spent, it spans the whole;
 * without, it runs in rounds, the first of so many iterations and each twice as long as the one before, every one of them cooled to
 * the end: good early, better later, but never as good as one long cooling (300 operations, 28,000 steps: 68 against 78 % below the rule).
 */
export const FIRST_ROUND = 4_000;

/** Iterations between two looks at `shouldStop`: steps cost 20 microseconds to 3 ms (10,000 operations, busy machine). */
export const STOP_CHECK_EVERY = 8;
