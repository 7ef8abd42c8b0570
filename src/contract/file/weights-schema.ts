/** Weights of the parts of the cost, in files; what is left out takes the default of a shop. Meaning: core/problem/objective.ts. */
import type { z } from "zod";
import { type CostPart, DEFAULT_WEIGHTS } from "../../core/problem/objective.ts";
import { AMOUNT_MAX, entity, whole } from "./field.ts";

const weight = (part: CostPart, of: string) => whole(0, AMOUNT_MAX, `Weight of ${of}.`).default(DEFAULT_WEIGHTS[part]);

export const weightsSchema = entity({
  tardiness: weight("tardiness", "order weight x minutes late"),
  disturbance: weight("disturbance", "moving published work"),
  waiting: weight("waiting", "minutes in which machines are occupied without work"),
  setup: weight("setup", "setup minutes"),
  unsocial: weight("unsocial", "person-minutes in unsocial shifts"),
  flow: weight("flow", "order weight x minutes from release to completion"),
  makespan: weight("makespan", "the latest end"),
  maxLateness: weight("maxLateness", "the largest lateness"),
  lateOrders: weight("lateOrders", "the weighted number of late orders"),
}).meta({ id: "Weights", description: "Weights of the parts of the cost." });
export type WeightsInFile = z.infer<typeof weightsSchema>;
