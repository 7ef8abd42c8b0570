/**
 * A test campaign as an engineer asks for it: what is under test, what a rig must be able to do, how long by which estimate, in
 * which sessions, alone or attended. It becomes an order (campaign-to-order.ts); what stands here is kept with the request, so that
 * the form can be opened again.
 */
import { z } from "zod";
import { AMOUNT_MAX, entity, idOf, listOf, minutes, moment, notes, whole } from "../file/field.ts";

export const campaignWorkSchema = z.discriminatedUnion("kind", [
  entity({ kind: z.literal("minutes"), minutes: minutes("Time on the rig, without getting ready.") }),
  entity({
    kind: z.literal("estimate"),
    estimator: z.string().min(1).max(100).meta({ description: "Kind of the estimate, for example test-grid." }),
    inputs: z.record(z.string().max(100), z.number()).meta({ description: "Its inputs by name; each name carries its unit." }),
    point: z
      .enum(["best", "likely", "worst"])
      .default("likely")
      .meta({ description: "Which of the three durations is planned." }),
  }),
]);

export const campaignSchema = entity({
  title: z
    .string()
    .trim()
    .min(1, "a campaign needs a title")
    .max(150)
    .meta({ description: "What is tested and why, in a line." }),
  notes: notes.optional(),
  articles: listOf(
    entity({ kit: idOf("kit"), count: whole(1, AMOUNT_MAX, "How many.").default(1) }),
    "Articles under test, fixtures and sensors: kits that the campaign holds.",
  ).default([]),
  holdArticles: z
    .boolean()
    .default(false)
    .meta({ description: "true: they stay with the campaign from first to last session; false: free between sessions." }),
  needs: listOf(
    entity({
      name: z.string().min(1).max(100).meta({ description: "Name of the ability, for example torque." }),
      unit: z.string().max(20).default("").meta({ description: "Unit of both ends." }),
      from: z.number().nullable().default(null).meta({ description: "Lowest value needed; null: does not matter." }),
      to: z.number().nullable().default(null).meta({ description: "Highest value needed; null: does not matter." }),
    }),
    "Ranges that the rig must reach.",
  ).default([]),
  backToBack: z.boolean().default(false).meta({ description: "Two rigs coupled, both held." }),
  rigs: z
    .array(idOf("machine"))
    .max(1000)
    .nullable()
    .default(null)
    .meta({ description: "Only these rigs; null: every rig that can." }),
  family: z
    .string()
    .max(100)
    .nullable()
    .default(null)
    .meta({ description: "Setup family of a setup table: coupling or adapter; null: changes nothing." }),
  startTemperature: z
    .int()
    .nullable()
    .default(null)
    .meta({ description: "Chamber temperature to begin at, thousandths of a degree Celsius, for rigs with a temperature rule." }),
  calibrations: listOf(
    z.string().min(1).max(100),
    "Names of calibrations that must be valid to the end of each session.",
  ).default([]),
  draws: listOf(
    entity({ supply: idOf("supply"), amount: whole(1, AMOUNT_MAX, "Amount while the test runs.") }),
    "Supplies drawn.",
  ).default([]),
  work: campaignWorkSchema,
  unattended: z
    .boolean()
    .default(false)
    .meta({ description: "The test itself needs nobody. Local rules for unattended running come first." }),
  mayPause: z.boolean().default(true).meta({ description: "An attended test may rest over breaks and nights." }),
  skill: z.string().min(1).max(100).meta({ description: "Skill of who gets it ready, attends and unloads." }),
  people: whole(1, AMOUNT_MAX, "How many of them, in hundredths of a person.").default(100),
  sessionLeast: minutes("Shortest session.").default(60),
  sessionMost: minutes("Longest session.").default(480),
  prepareMinutes: minutes("Getting ready before each session, beside what the setup table asks for.").default(45),
  warmUpMinutes: minutes("Warm-up of transducers before each session, attended.").default(30),
  zeroBeforeMinutes: minutes("Zero check before each session, attended.").default(5),
  zeroAfterMinutes: minutes("Zero check after each session, attended.").default(10),
  clearMinutes: minutes("Unloading after each session.").default(20),
  restMinutes: minutes("Least time between two sessions, for cooling down.").default(0),
  sameRig: z.boolean().default(true).meta({ description: "All sessions on the same rig or pair." }),
  earliest: moment("Not before: article on hand.").default(0),
  wantedBy: moment("Wanted by; null: as soon as it fits. A date means its 24:00.").nullable().default(null),
  weight: whole(0, AMOUNT_MAX, "Weight of its lateness.").default(1),
}).meta({
  id: "Campaign",
  description: "A test campaign as asked for; it becomes an order with one operation for each session.",
});
export type Campaign = z.infer<typeof campaignSchema>;
export type CampaignInput = z.input<typeof campaignSchema>;
export type CampaignWork = Campaign["work"];
