/** Published versions looked back at: one of them as it stood, and two of them side by side. */
import { z } from "zod";
import { planChangesSchema, versionHeadSchema } from "./plan.ts";
import { checkResultSchema, costSchema, planningProblemSchema, planSchema } from "./planning-problem.ts";

/** What a board needs to show it: the problem of then, its plan, the checker's word of then. */
export const versionPlanSchema = z
  .object({
    ...versionHeadSchema.shape,
    kept: z.boolean().meta({ description: "false: the shop of then was not kept, and the problem is that of now." }),
    problem: planningProblemSchema,
    plan: planSchema,
    check: checkResultSchema,
  })
  .meta({ id: "VersionPlan" });
export type VersionPlan = z.infer<typeof versionPlanSchema>;

export const measuresSchema = z
  .object({
    conflicts: z.int(),
    notPlanned: z.int().meta({ description: "Of the conflicts those that are work without a place." }),
    cost: costSchema,
    end: z.int().meta({ description: "Minute of the latest end." }),
    lateOrders: z.int(),
    lateMinutes: z.int(),
    setupMinutes: z.int(),
    waitingMinutes: z.int(),
    unsocialPersonMinutes: z.int(),
    unattendedNightMinutes: z.int(),
  })
  .meta({ id: "PlanMeasures" });
export type Measures = z.infer<typeof measuresSchema>;

const sideSchema = z.object({
  version: z.int().nullable().meta({ description: "null: the draft of now." }),
  publishedAt: z.string().nullable(),
  by: z.string(),
  note: z.string(),
  measures: measuresSchema.nullable().meta({ description: "As things stood when it was published; null: not kept." }),
});

export const versionComparisonSchema = z
  .object({
    first: sideSchema,
    second: sideSchema,
    changes: planChangesSchema.meta({ description: "From the first to the second, as the second saw the shop." }),
    orders: z
      .array(
        z.object({
          order: z.string(),
          name: z.string(),
          due: z.int().nullable(),
          ends: z.tuple([z.int().nullable(), z.int().nullable()]),
          moved: z.int().nullable().meta({ description: "Minutes later in the second; null: missing in one." }),
        }),
      )
      .meta({ description: "Orders whose end differs." }),
    doneBetween: z.int().meta({ description: "Operations of the first that were done before the second; they are no change." }),
    gone: z.array(z.string()).meta({ description: "Operations of the first that have left the order book." }),
  })
  .meta({ id: "VersionComparison" });
export type VersionComparison = z.infer<typeof versionComparisonSchema>;
