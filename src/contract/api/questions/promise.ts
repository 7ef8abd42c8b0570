/** "When can I have it?": an honest date with what it assumes, and how sure it is. */
import { z } from "zod";
import type { Assumption } from "../../../core/plan/promise.ts";
import { scenarioIdSchema } from "../scenario-id.ts";
import { fitAnswerSchema, wantedOrderSchema } from "./fit-answer.ts";
import { overRestSchema } from "./over-rest.ts";

export const promiseInputSchema = z
  .strictObject({
    kind: z.literal("promise"),
    scenario: scenarioIdSchema,
    order: wantedOrderSchema,
    onlyAsItStands: z.boolean().default(false).meta({ description: "Without the search for dates that move others." }),
    runs: z
      .int()
      .min(0)
      .max(100_000)
      .default(2000)
      .meta({ description: "Simulated courses for the dates at a confidence; 0: none." }),
  })
  .meta({ id: "PromiseInput" });

const KINDS = [
  "materialOnHand",
  "pieces",
  "asPlanned",
  "nothingElseOrdered",
  "outsideWork",
  "worksUnattended",
] as const satisfies readonly Assumption["kind"][];

const promiseDateSchema = z.object({
  finish: z.int(),
  fit: fitAnswerSchema,
  confidence: z
    .object({
      runs: z.int(),
      dates: z.array(
        z.object({ percent: z.number(), finish: z.int().nullable().meta({ description: "null: not within the horizon." }) }),
      ),
      decides: z
        .array(z.object({ operation: z.string(), share: z.number() }))
        .default([])
        .meta({ description: "Operations most often on the chain that decided the order's end, by the share of courses." }),
      overRest: overRestSchema.default(null).meta({
        description: "Where its people go home for a day or longer soon after the planned end: how often it runs over.",
      }),
    })
    .nullable(),
});

export const promiseAnswerSchema = z
  .object({
    order: z.string(),
    due: z.int().nullable(),
    asItStands: promiseDateSchema.nullable().meta({ description: "Nobody moves; null: it does not fit before the horizon." }),
    withMoves: promiseDateSchema
      .nullable()
      .meta({ description: "Others move, no promise is broken; null: nothing earlier was found." }),
    assumptions: z.array(z.object({ kind: z.enum([...KINDS, "risk"]), sentence: z.string() })),
    blocked: z.array(z.string()).meta({ description: "Without a date: what stood against the best attempt." }),
  })
  .meta({ id: "PromiseAnswer" });
export type PromiseAnswer = z.infer<typeof promiseAnswerSchema>;
export type PromiseDateView = z.infer<typeof promiseDateSchema>;
