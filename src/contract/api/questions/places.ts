/** "Where would it fit?": the places of a whole new order on each set of machines that can take all of it, moving nobody. */
import { z } from "zod";
import { moment } from "../../file/field.ts";
import { planSchema } from "../planning-problem.ts";
import { scenarioIdSchema } from "../scenario-id.ts";
import { wantedOrderSchema } from "./fit-answer.ts";

const minute = z.int();

export const placesInputSchema = z
  .strictObject({
    kind: z.literal("places"),
    scenario: scenarioIdSchema,
    order: wantedOrderSchema,
    earliest: moment("Begins at or after it; null: the order's release.").nullable().default(null),
    before: moment("Ends at or before it; null: the horizon. A date means its 24:00.").nullable().default(null),
  })
  .meta({ id: "PlacesInput" });

export const placesAnswerSchema = z
  .object({
    order: z.string(),
    due: minute.nullable(),
    places: z
      .array(
        z.object({
          machines: z.array(z.string()),
          start: minute,
          end: minute,
          late: z.int().meta({ description: "Minutes after its due date; 0: in time, or nothing was promised." }),
          nights: z.int().meta({ description: "Nights and other stretches with nobody on site in which it works alone." }),
          nightMinutes: z.int(),
          sessions: z.array(z.object({ operation: z.string(), name: z.string(), start: minute, end: minute })),
          operations: planSchema.shape.operations.meta({ description: "What joins the draft as it lies." }),
        }),
      )
      .meta({ description: "The earliest end first." }),
    full: z.array(z.array(z.string())).meta({ description: "Machines that can take it and have no room." }),
  })
  .meta({ id: "PlacesAnswer" });
export type PlacesAnswer = z.infer<typeof placesAnswerSchema>;
export type OrderPlaceView = PlacesAnswer["places"][number];
