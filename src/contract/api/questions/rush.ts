/** "Fit it in": several ways to bring an order into the draft that differ really, side by side. */
import { z } from "zod";
import { MEASURES } from "../../../core/plan/rush-choice.ts";
import { costSchema } from "../planning-problem.ts";
import { scenarioIdSchema } from "../scenario-id.ts";
import { fitAnswerSchema, wantedOrderSchema } from "./fit-answer.ts";

export const rushInputSchema = z
  .strictObject({
    kind: z.literal("rush"),
    scenario: scenarioIdSchema,
    order: wantedOrderSchema,
    iterations: z
      .int()
      .min(0)
      .max(1_000_000)
      .optional()
      .meta({ description: "Search steps of the full re-plan; left out: 200." }),
    answersMost: z.int().min(1).max(20).optional().meta({ description: "Left out: 5." }),
  })
  .meta({ id: "RushInput" });

/** Before which nothing could complete it, and why: from its last work back to a root. */
const soonestSchema = z
  .object({
    finish: z.int().nullable().meta({ description: "No plan completes it sooner; null: none does within the horizon." }),
    reasons: z.array(z.object({ operation: z.string(), start: z.int(), end: z.int(), sentence: z.string() })).meta({
      description:
        "The chain that decides it, from its last work back to the root, as it would lie with all else out of its way.",
    }),
  })
  .meta({ id: "Soonest" });
export type SoonestView = z.infer<typeof soonestSchema>;

export const rushAnswerSchema = z
  .object({
    order: z.string(),
    due: z.int().nullable(),
    before: z.object({
      finish: z.int().nullable().meta({ description: "When the draft completes it; null: it is not planned there." }),
      cost: costSchema,
    }),
    answers: z.array(fitAnswerSchema).meta({ description: "The earliest finish first." }),
    blocked: z.array(z.string()).meta({ description: "Without answers: what stood against the best attempt." }),
    soonest: soonestSchema.nullable().meta({
      description: "Even alone in the shop beside what runs and what is frozen it is not complete before. null: still at it.",
    }),
    settled: z
      .object({ answer: z.int(), open: z.array(z.enum(MEASURES)) })
      .nullable()
      .meta({
        description:
          "Proved: no way that completes the order sooner than the draft is better than that answer (its place in the list) but perhaps in the measures named; none named: there is no other way. null: nothing of that is proved.",
      }),
    tried: z.object({ plans: z.int(), noBetter: z.int(), noSooner: z.int(), broken: z.int() }).nullable().meta({
      description:
        "What became of all plans thought of: no better than an answer in anything; no sooner than the draft; would break a rule. null: still at it.",
    }),
  })
  .meta({ id: "RushAnswers" });
