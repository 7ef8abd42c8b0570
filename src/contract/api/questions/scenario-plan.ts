/** A plan for a scenario: its changed shop, planned from the plan it has. Whoever asked keeps it with the scenario, or not. */
import { z } from "zod";
import { planSchema } from "../planning-problem.ts";
import { scenarioIdSchema } from "../scenario-id.ts";

export const scenarioPlanInputSchema = z
  .strictObject({
    kind: z.literal("scenarioPlan"),
    scenario: scenarioIdSchema,
    seconds: z
      .number()
      .min(0.1)
      .max(600)
      .default(15)
      .meta({ description: "It also ends when called off, with the best so far." }),
    iterations: z.int().min(1).max(10_000_000).optional().meta({ description: "Instead of seconds: the same plan every time." }),
  })
  .meta({ id: "ScenarioPlanInput" });

export const scenarioPlanAnswerSchema = z
  .object({
    plan: planSchema,
    conflicts: z.int(),
    cost: z.number(),
    iterations: z.number(),
    before: z
      .object({ conflicts: z.int(), cost: z.number() })
      .meta({ description: "The plan it began with, in the changed shop." }),
  })
  .meta({ id: "ScenarioPlanAnswer" });
