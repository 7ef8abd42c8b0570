/** The one cost of a plan: a sum of whole-number parts times weights that the planner sees and can edit. */
export type CostPart =
  | "tardiness"
  | "disturbance"
  | "waiting"
  | "setup"
  | "unsocial"
  | "flow"
  | "makespan"
  | "maxLateness"
  | "lateOrders";

export type CostWeights = Readonly<Record<CostPart, number>>;

export const COST_PARTS: readonly CostPart[] = [
  "tardiness",
  "disturbance",
  "waiting",
  "setup",
  "unsocial",
  "flow",
  "makespan",
  "maxLateness",
  "lateOrders",
];

/** The defaults of a shop; benchmarks and tests switch makespan, maximum lateness or late orders on alone. */
export const DEFAULT_WEIGHTS: CostWeights = {
  tardiness: 1000,
  disturbance: 50,
  waiting: 10,
  setup: 20,
  unsocial: 100,
  flow: 1,
  makespan: 0,
  maxLateness: 0,
  lateOrders: 0,
};

export const NO_WEIGHTS: CostWeights = {
  tardiness: 0,
  disturbance: 0,
  waiting: 0,
  setup: 0,
  unsocial: 0,
  flow: 0,
  makespan: 0,
  maxLateness: 0,
  lateOrders: 0,
};

/** Each part by itself (unweighted), and the weighted total. */
export type Cost = { readonly parts: Readonly<Record<CostPart, number>>; readonly total: number };
