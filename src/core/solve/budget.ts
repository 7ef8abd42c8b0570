/** How long a search may go on: so many iterations, or until the caller says stop. Never looks at a clock itself. */
export type Budget = {
  /** Iterations at most; null: the caller's stop ends it. */
  readonly iterations: number | null;
  readonly shouldStop: () => boolean;
};

/** Cooling needs an end to aim at; without an iteration budget the schedule runs in rounds of this many and is then repeated. */
export const NOMINAL_ROUND = 200_000;

/** Iterations between two looks at `shouldStop`: steps cost 20-200 microseconds, so a stop is seen well within 20 ms. */
export const STOP_CHECK_EVERY = 32;
