/** What was done to one order and its operations, newest first: for whoever looks at the order, not only for administrators. */
import { z } from "zod";

export const orderLogSchema = z
  .object({
    items: z.array(
      z.object({
        id: z.string(),
        at: z.string(),
        actor: z.string(),
        action: z.string(),
        operation: z.string().nullable().meta({ description: "The operation it was done to; null: the order itself." }),
        note: z.string().nullable().meta({ description: "What was said with it." }),
        scrap: z.int().meta({ description: "Pieces reported bad with it." }),
        fields: z.array(z.string()).meta({ description: "Names of the fields that changed, as far as it was kept." }),
      }),
    ),
    total: z.int(),
  })
  .meta({ id: "OrderLog" });
export type OrderLog = z.infer<typeof orderLogSchema>;
