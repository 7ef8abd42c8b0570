/** "What would help?" for a late order: changes of the shop, each tried by a short search, ranked by lateness removed per hour added. */
import { z } from "zod";
import { idOf } from "../../file/field.ts";
import { scenarioChangeSchema } from "../../scenario/change.ts";
import { planSchema } from "../planning-problem.ts";
import { scenarioIdSchema } from "../scenario-id.ts";

export const leversInputSchema = z
  .strictObject({
    kind: z.literal("levers"),
    scenario: scenarioIdSchema,
    order: idOf("order"),
    due: z.int().optional().meta({ description: "As if it were promised for this minute; left out: its own due date." }),
    buyDays: z
      .number()
      .min(0.5)
      .max(366)
      .nullable()
      .default(null)
      .meta({ description: "Days until a bought part is here; null: buying is not tried." }),
    steps: z.int().min(1).max(100_000).optional().meta({ description: "Search steps for each lever." }),
  })
  .meta({ id: "LeversInput" });

const standing = z.object({ finish: z.int(), late: z.int() });

export const leversAnswerSchema = z
  .object({
    order: z.string(),
    due: z.int(),
    before: z.object({ finish: z.int().nullable(), late: z.int() }),
    searched: standing.nullable().meta({ description: "What the same search finds without any lever." }),
    ranked: z.array(
      standing.extend({
        kind: z.enum(["hour", "day", "machineHour", "qualify", "split", "buy"]),
        change: scenarioChangeSchema,
        removed: z.int().meta({ description: "Minutes of lateness less than without the lever." }),
        added: z.int().meta({ description: "Minutes that a crew or machine is there longer; 0: none." }),
        perHour: z.number().nullable().meta({ description: "Minutes of lateness removed per hour added; null: no hours." }),
        others: z.number().meta({ description: "Weight x minutes that other orders are later; negative: earlier." }),
        plan: planSchema.nullable().meta({ description: "The plan that shows it; given for the first few." }),
      }),
    ),
    tried: z.int(),
    total: z.int(),
    leftOut: z.int().meta({ description: "Thought of and not tried." }),
  })
  .meta({ id: "LeversAnswer" });
