/**
 * A plan: for every operation that is not done, its lots; for each lot its mode, its worked intervals phase by phase
 * from now on, and the crew of each need. A plan is never re-derived from starts alone.
 */
import type { Intervals } from "../calendar/intervals.ts";
import type { Minute } from "../calendar/minute.ts";
import type { ModeId, OperationId } from "../orders/operation.ts";
import type { CrewId } from "../plant/crew.ts";

export type PlannedPhase = {
  /** Index of the phase in the mode. Phases of 0 minutes are left out. */
  readonly phase: number;
  /** Worked minutes, sorted, disjoint; from now on for a running lot. */
  readonly work: Intervals;
  /** Crew of each need, in the order of the phase's needs. */
  readonly crews: readonly CrewId[];
};

export type PlannedLot = {
  readonly mode: ModeId;
  readonly pieces: number;
  /** The lot occupies its machines from start to end. For a running lot, the start it really had. */
  readonly start: Minute;
  readonly end: Minute;
  readonly phases: readonly PlannedPhase[];
};

export type PlannedOperation = {
  readonly operation: OperationId;
  /** Starts not decreasing; a running lot comes first. Done lots are not repeated here: they stand in the problem. */
  readonly lots: readonly PlannedLot[];
};

export type Plan = { readonly operations: readonly PlannedOperation[] };
