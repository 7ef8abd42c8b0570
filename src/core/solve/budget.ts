/** How long a search may go on: so many iterations, or until the caller says stop. Never looks at a clock itself. */
export type Budget = {
  /** Iterations at most; null: the caller's stop ends it. */
  readonly iterations: number | null;
  readonly shouldStop: () => boolean;
};

/**
 * Cooling needs an end to aim at. With an iteration budget it spans the whole of it; without, it runs in rounds, the first of so
 * many iterations and each twice as long as the one before, every one of them cooled to the end: good early, better later.
 */
export const FIRST_ROUND = 4_000;

/** Iterations between two looks at `shouldStop`: steps cost 20-200 microseconds, so a stop is seen well within 20 ms. */
export const STOP_CHECK_EVERY = 32;
