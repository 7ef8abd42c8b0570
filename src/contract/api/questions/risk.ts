/** "How sure is this plan?": chances and dates by order from simulated courses of the plan. */
import { z } from "zod";
import { riskProfileSchema } from "../../risk-profile.ts";
import { scenarioIdSchema } from "../scenario-id.ts";
import { overRestSchema } from "./over-rest.ts";

export const riskInputSchema = z
  .strictObject({
    kind: z.literal("risk"),
    scenario: scenarioIdSchema,
    runs: z.int().min(200).max(100_000).default(2000).meta({ description: "Simulated courses of the plan." }),
    seed: z.int().min(0).max(2_147_483_647).nullable().default(null).meta({ description: "null: one of its own." }),
  })
  .meta({ id: "RiskInput" });

const share = z.number().min(0).max(1);
const dates = z
  .object({ p50: z.int().nullable(), p80: z.int().nullable(), p95: z.int().nullable() })
  .meta({ description: "Ends that so many of 100 courses do not pass; null: beyond the horizon." });

export const riskAnswerSchema = z
  .object({
    runs: z.int(),
    seed: z.int(),
    end: dates,
    orders: z.array(
      z.object({
        order: z.string(),
        due: z.int().nullable(),
        planned: z.int(),
        onTime: share.nullable().meta({ description: "Share of courses; null: nothing was promised." }),
        onTimeError: z.number().nullable().meta({ description: "Half width of its 95 % interval." }),
        dates,
        overRest: overRestSchema.meta({
          description:
            "Where it is due while its people are away: when they leave and come back, the share of courses that end only after that, and of those that end within an hour of it.",
        }),
      }),
    ),
    operations: z
      .array(z.object({ operation: z.string(), decidesEnd: share, decidesLateness: share }))
      .meta({ description: "How often each lay on the chain that decided the end or a lateness; what decides most first." }),
    brokenLags: z
      .array(z.object({ link: z.string(), share }))
      .meta({ description: 'Shares of courses that broke a "use within".' }),
    profile: riskProfileSchema.meta({ description: "What was taken to vary." }),
    measured: z.boolean().meta({ description: "false: nothing of it is the shop's own, all is common practice." }),
  })
  .meta({ id: "RiskAnswer" });
export type RiskAnswer = z.infer<typeof riskAnswerSchema>;
