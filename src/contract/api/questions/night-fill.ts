/** "What could run tonight?": unattended work that could start before people leave, night by night, and what makes room for it. */
import { z } from "zod";
import { idOf, whole } from "../../file/field.ts";
import { planSchema } from "../planning-problem.ts";
import { scenarioIdSchema } from "../scenario-id.ts";

const minute = z.int();

export const nightFillInputSchema = z
  .strictObject({
    kind: z.literal("nightFill"),
    scenario: scenarioIdSchema,
    days: whole(1, 28, "Nights that begin within so many days.").default(7),
    machines: z.array(idOf("machine")).max(1000).nullable().default(null).meta({ description: "Only these; null: all." }),
    moves: z.boolean().default(true).meta({ description: "Other work may make room, without becoming late or later." }),
    leastMinutes: whole(1, 1440, "Less than so many night minutes are not worth a change.").default(60),
  })
  .meta({ id: "NightFillInput" });

const use = z.object({
  machine: z.string(),
  week: z.string().meta({ description: "Monday of the week." }),
  start: minute,
  end: minute,
  possible: z.int().meta({ description: "Minutes the machine may work alone while nobody is on site." }),
  used: z.int(),
});

export const nightProposalSchema = z.object({
  operation: z.string(),
  order: z.string(),
  name: z.string(),
  machine: z.string(),
  machineName: z.string(),
  night: z.array(minute).meta({ description: "From the last minute on site to the next." }),
  start: minute,
  end: minute,
  plannedStart: minute.nullable().meta({ description: "Where it stands in the draft; null: not planned." }),
  nightMinutes: z.int().meta({ description: "Minutes worked alone in that night." }),
  gain: z.int().meta({ description: "More night minutes than before, on balance." }),
  moved: z
    .array(z.object({ operation: z.string(), from: minute.nullable(), to: minute.nullable() }))
    .meta({ description: "Work that makes room." }),
  changes: planSchema.shape.operations.meta({
    description: "What lies elsewhere than before it: put into the plan, this one is taken.",
  }),
});
export type NightProposalView = z.infer<typeof nightProposalSchema>;

export const nightFillAnswerSchema = z
  .object({
    proposals: z.array(nightProposalSchema).meta({ description: "As they were found; each builds on those before it." }),
    plan: planSchema.meta({ description: "The draft with all of them." }),
    before: z.array(use),
    after: z.array(use),
  })
  .meta({ id: "NightFillAnswer" });
export type NightFillAnswer = z.infer<typeof nightFillAnswerSchema>;
