/** The site: its zone, how far ahead it plans, what it calls better. */
import { z } from "zod";
import { minutes } from "../file/field.ts";
import { weightsSchema } from "../file/weights-schema.ts";

const fields = {
  name: z.string().trim().min(1).max(200),
  zone: z.string().min(1).max(100).meta({ description: "IANA time zone, for example Europe/Berlin." }),
  weights: weightsSchema,
  freezeHours: z
    .number()
    .min(0)
    .max(8784)
    .nullable()
    .meta({ description: "Published work that starts within so many hours is frozen; null: nothing is." }),
  horizonDays: z.number().min(1).max(900).meta({ description: "How many days ahead of now are planned." }),
  followsPlan: z.boolean().meta({
    description:
      "true: work counts as begun and ended as published unless somebody reports otherwise. false: only what is reported counts.",
  }),
  clock: z
    .union([z.literal("live"), minutes("The shop stands still at this minute.")])
    .meta({ description: "`live`: now is the time on the wall. A minute: now stands still there (imported files, trials)." }),
};

export const siteInputSchema = z
  .strictObject({ ...fields, clock: fields.clock.optional(), followsPlan: fields.followsPlan.optional() })
  .meta({ id: "SiteInput" });
export const siteSchema = z
  .object({
    ...fields,
    origin: z.string().meta({ description: "Minute 0, an instant in UTC." }),
    now: z.int().meta({ description: "Minute of now." }),
  })
  .meta({ id: "Site" });
export type SiteView = z.infer<typeof siteSchema>;
export type SiteInput = z.infer<typeof siteInputSchema>;
