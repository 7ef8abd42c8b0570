/** Cautions of a plan, and how they are acknowledged: by the name of whoever went through the checklist. */
import { z } from "zod";

export const cautionSchema = z
  .object({
    id: z.string(),
    title: z.string(),
    items: z.array(z.string()),
    operations: z.array(z.string()).meta({ description: "Operations it is about, by start." }),
    sentence: z.string().meta({ description: "What of the plan it is about." }),
  })
  .meta({ id: "Caution", description: "Work that needs care. That none is listed does not say that a plan is safe." });
export type CautionView = z.infer<typeof cautionSchema>;

export const acknowledgementSchema = z
  .strictObject({
    caution: z.string().min(1).max(100),
    by: z.string().trim().min(1).max(200).meta({ description: "Name of whoever went through the checklist." }),
    items: z
      .array(z.string())
      .max(40)
      .optional()
      .meta({ description: "The checklist as it was read; refused when it has changed since." }),
  })
  .meta({ id: "Acknowledgement" });
export type Acknowledgement = z.infer<typeof acknowledgementSchema>;
export const acknowledgementsSchema = z.array(acknowledgementSchema).max(100);

export const acknowledgedCautionSchema = cautionSchema.extend({ by: z.string() }).meta({ id: "AcknowledgedCaution" });
export type AcknowledgedCaution = z.infer<typeof acknowledgedCautionSchema>;

export const cautionListSchema = z.object({ items: z.array(cautionSchema) }).meta({ id: "CautionList" });
export const cautionQuerySchema = z.strictObject({
  operation: z
    .string()
    .max(100)
    .optional()
    .meta({ description: "Cautions of starting this operation now; left out: of the draft." }),
});
