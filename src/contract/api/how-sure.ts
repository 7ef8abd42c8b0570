/** The latest answer to "how sure is this plan", whoever asked: screens show it with what it is about and whether it still stands. */
import { z } from "zod";
import { riskAnswerSchema } from "./questions/risk.ts";

export const howSureSchema = z
  .object({
    latest: z
      .object({
        askedBy: z.string(),
        finishedAt: z.string(),
        draftRevision: z.int(),
        stale: z.boolean().meta({ description: "The shop or the draft has changed since." }),
        answer: riskAnswerSchema,
      })
      .nullable()
      .meta({ description: "null: nobody has asked within a day." }),
  })
  .meta({ id: "HowSure" });
export type HowSure = z.infer<typeof howSureSchema>;
