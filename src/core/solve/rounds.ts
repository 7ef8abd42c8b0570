/**
 * How threads work together: each makes a round of a fixed amount of work, then their reports are merged in the order of the
 * threads, whichever came first. What follows depends on the reports alone, never on the clock, so (problem, seed, iterations,
 * number of threads) give the same plan. One thread alone never meets anybody: its rounds change nothing.
 */
export type RoundReport = {
  /** Of the best plan of this thread. */
  readonly conflicts: number;
  /** Its weighted cost. */
  readonly total: number;
  /** Proven: no plan without conflicts costs less. */
  readonly lowerBound: number;
  /** Another round would do nothing. */
  readonly finished: boolean;
  readonly iterations: number;
  /** Its best solutions for the other threads, in the encoding of its search, best first. */
  readonly elites: readonly Int32Array[];
};

export type RoundDecision = {
  /** The thread that has the best plan. */
  readonly winner: number;
  /** The best bound of all: what one has proven holds for the others. */
  readonly lowerBound: number;
  /** Threads that make another round, and whom each meets before; empty: the run ends. */
  readonly next: readonly { readonly thread: number; readonly visitors: readonly Int32Array[] }[];
};

/** So many of its best solutions a thread sends to the others. */
export const ELITES = 2;

export function mergeRound(reports: readonly RoundReport[]): RoundDecision {
  let winner = 0;
  reports.forEach((report, thread) => {
    if (betterThan(report, reports[winner] as RoundReport)) winner = thread;
  });
  const best = reports[winner] as RoundReport;
  const lowerBound = reports.reduce((bound, report) => Math.max(bound, report.lowerBound), Number.NEGATIVE_INFINITY);
  if (best.conflicts === 0 && best.total <= lowerBound) return { winner, lowerBound, next: [] };
  const next = reports.flatMap(({ finished }, thread) =>
    finished ? [] : [{ thread, visitors: reports.flatMap(({ elites }, other) => (other === thread ? [] : elites)) }],
  );
  return { winner, lowerBound, next };
}

/** Fewer conflicts, then less cost; between equals the first thread stays. */
export const betterThan = (
  a: { readonly conflicts: number; readonly total: number },
  b: { readonly conflicts: number; readonly total: number },
): boolean => (a.conflicts !== b.conflicts ? a.conflicts < b.conflicts : a.total < b.total);
