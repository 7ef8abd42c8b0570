/** Who did what to what, and when: the audit trail as administrators and planners read it. */
import { z } from "zod";
import { pageQuerySchema } from "./shop.ts";

export const auditQuerySchema = pageQuerySchema.extend({
  subject: z.string().max(200).optional().meta({ description: "Part of what it was done to, for example `order 2101`." }),
});
export const auditListSchema = z
  .object({
    items: z.array(
      z.object({
        id: z.string(),
        at: z.string(),
        actor: z.string(),
        action: z.string(),
        subject: z.string(),
        detail: z.unknown().meta({ description: "What was there before and what after, as far as it was kept." }),
      }),
    ),
    page: z.int(),
    size: z.int(),
    total: z.int(),
  })
  .meta({ id: "AuditList" });
