/** Can we take this contract on? So many orders a week from a date on: where it breaks first, alone and with each help offered. */
import { z } from "zod";
import { newOrdersSchema, scenarioChangeSchema } from "../../scenario/change.ts";
import { planSchema } from "../planning-problem.ts";
import { scenarioIdSchema } from "../scenario-id.ts";

export const contractInputSchema = z
  .strictObject({
    kind: z.literal("contract"),
    scenario: scenarioIdSchema,
    contract: newOrdersSchema,
    helps: z
      .array(z.strictObject({ name: z.string().trim().min(1).max(120), changes: z.array(scenarioChangeSchema).min(1).max(20) }))
      .max(4)
      .default([])
      .meta({ description: "Tried one by one: another machine, a second shift." }),
    seconds: z.number().min(0.1).max(300).default(8).meta({ description: "Search for each." }),
    iterations: z
      .int()
      .min(1)
      .max(10_000_000)
      .optional()
      .meta({ description: "Instead of seconds: the same answer every time." }),
  })
  .meta({ id: "ContractInput" });

const fullness = z.object({
  kind: z.enum(["machine", "crew"]),
  id: z.string(),
  used: z.number().meta({ description: "Open minutes held, person-minutes needed." }),
  there: z.number(),
});

export const contractLoadSchema = z.object({
  weeks: z.array(
    z.object({
      week: z.string().meta({ description: "Monday, YYYY-MM-DD." }),
      start: z.int(),
      end: z.int(),
      due: z.int(),
      late: z.int(),
      worstLate: z.int(),
      load: z.array(fullness),
    }),
  ),
  breaks: z
    .object({
      week: z.string(),
      order: z.string(),
      late: z.int().nullable().meta({ description: "null: it is not planned at all." }),
      whose: z.enum(["contract", "other"]),
      bottleneck: fullness.nullable(),
    })
    .nullable()
    .meta({ description: "null: it holds to the end." }),
  orders: z.int(),
  lateOrders: z.int(),
  harmed: z.array(z.object({ order: z.string(), before: z.int(), after: z.int().nullable() })),
});

export const contractAnswerSchema = z
  .object({
    variants: z.array(
      z.object({
        name: z.string().meta({ description: "Empty: without any help." }),
        changes: z.array(scenarioChangeSchema),
        load: contractLoadSchema,
        conflicts: z.int(),
        plan: planSchema,
      }),
    ),
    total: z.int().meta({ description: "How many were asked for; fewer stand here when it was called off." }),
    machines: z.array(z.object({ id: z.string(), name: z.string() })),
    crews: z.array(z.object({ id: z.string(), name: z.string() })),
  })
  .meta({ id: "ContractAnswer" });
