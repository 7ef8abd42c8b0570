/** The lots, phases and intervals of a plan, as both files hold them. Meaning: core/problem/plan.ts. */
import { z } from "zod";
import { entity, idOf, listOf, moment, PIECES_MAX, whole } from "./field.ts";

const intervalSchema = z
  .tuple([moment("Begin."), moment("End, excluded; a date means its 24:00.")])
  .meta({ id: "Interval", description: "[start, end)" });

const plannedPhaseSchema = entity({
  phase: whole(0, 1000, "Index of the phase in the mode."),
  work: listOf(intervalSchema, "Worked stretches in their order, from now on for running work."),
  crews: listOf(idOf("crew"), "Crew of each need, in the order of the needs.").default([]),
});

const shown = z.string().optional().meta({ description: "Local time for people; written, not read." });

export const plannedLotSchema = entity({
  mode: idOf("mode"),
  pieces: whole(1, PIECES_MAX, "Pieces of the lot."),
  start: moment("Start: it occupies its machines from here on."),
  end: moment("End, excluded."),
  startLocal: shown,
  endLocal: shown,
  phases: listOf(plannedPhaseSchema, "Phases with work, in their order; those of 0 minutes are left out."),
}).meta({ id: "PlannedLot" });

export const plannedOperationSchema = entity({
  operation: idOf("operation"),
  lots: listOf(plannedLotSchema, "Lots, starts not decreasing."),
}).meta({ id: "PlannedOperation" });
export type PlannedOperationInFile = z.infer<typeof plannedOperationSchema>;

export const planBodySchema = entity({
  operations: listOf(plannedOperationSchema, "Every operation that is planned, once."),
}).meta({ id: "Plan" });
export type PlanBodyInFile = z.infer<typeof planBodySchema>;
