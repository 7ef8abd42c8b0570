/**
 * The four classical planning problems as plain arrays: what the published benchmark files say and nothing more.
 * All times are whole numbers, all indices start at 0, everything is released at 0, the objective is the makespan.
 * They are the special cases of the planning problem for which strong dedicated searches are known.
 */

/** One visit of a job to one machine. */
export type JobShopOperation = { readonly machine: number; readonly duration: number };

/** Job shop: each job's operations in their order; a machine works on one operation at a time. */
export type JobShop = {
  readonly machines: number;
  readonly jobs: readonly (readonly JobShopOperation[])[];
};

/** Flexible job shop: each operation runs on one of its alternatives. */
export type FlexibleJobShop = {
  readonly machines: number;
  readonly jobs: readonly (readonly (readonly JobShopOperation[])[])[];
};

/** Job shop with setups: a machine must be changed over between families, and before its first operation. */
export type JobShopWithSetups = {
  readonly machines: number;
  readonly jobs: readonly (readonly (JobShopOperation & { readonly family: number })[])[];
  /** Setup before the first operation on any machine, by its family. */
  readonly firstSetup: readonly number[];
  /** setup[done][next]: time on the machine between the two. */
  readonly setup: readonly (readonly number[])[];
};

/** Project scheduling with renewable supplies: activities, finish-to-start links, constant capacities. */
export type Project = {
  readonly capacities: readonly number[];
  readonly activities: readonly ProjectActivity[];
};

export type ProjectActivity = {
  readonly duration: number;
  /** Amount of each supply, as long as capacities. */
  readonly demands: readonly number[];
  readonly successors: readonly number[];
};
