/**
 * What every classical search takes and gives back. A search counts iterations, never reads a clock, and asks often whether
 * to stop, so that a caller can keep any wall-clock limit; the same instance, seed and maxIterations give the same result.
 * It goes in rounds, pausing only between two tries: however often it pauses, a search that meets no visitors ends the same.
 */
export type SearchLimits = {
  readonly seed: number;
  /** Iterations (moves or schedules tried) after which the search ends; without it only shouldStop or a proof ends it. */
  readonly maxIterations?: number;
  /** Asked every millisecond or so of work; true ends the search with the best found. */
  readonly shouldStop?: () => boolean;
  /** Called at each better solution with its makespan, the iterations made and the starts. */
  readonly onImprovement?: (makespan: number, iterations: number, starts: Int32Array) => void;
  /** A bound the caller already knows; a solution that meets it is proven optimal. */
  readonly lowerBound?: number;
  /** Solutions of earlier rounds, in the encoding the search itself returns as `pool`; it starts from them. */
  readonly initialPool?: readonly Int32Array[];
  /** false: leave bounds that take long and the exact search to another thread. */
  readonly prove?: boolean;
};

export type SearchOutcome = {
  readonly makespan: number;
  /** Proven: no solution is shorter. */
  readonly lowerBound: number;
  /** makespan === lowerBound. */
  readonly proven: boolean;
  readonly iterations: number;
  readonly starts: Int32Array;
  /** The best distinct solutions at the end, best first; feed them to the next round. */
  readonly pool: readonly Int32Array[];
};

/** A search between two rounds. */
export type RoundSearch = {
  /** One more round: a second or so of work, the same amount in every search of the same instance. */
  advance(): void;
  /** Spent, stopped or proven: another round would do nothing. */
  readonly finished: boolean;
  outcome(): SearchOutcome;
  /** Solutions found elsewhere join the search, in the encoding of `pool`. */
  meet(visitors: readonly Int32Array[]): void;
  /** A lower bound proven elsewhere. */
  raiseBound(lowerBound: number): void;
};

export function runToEnd<S extends RoundSearch>(search: S): S {
  while (!search.finished) search.advance();
  return search;
}
