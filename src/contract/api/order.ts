/** The order book. An order carries its operations, and the links and kit spans that end in one of them. */
import { z } from "zod";
import { listOf } from "../file/field.ts";
import { kitSpanSchema, linkSchema } from "../file/link-schema.ts";
import { orderSchema } from "../file/order-schema.ts";
import { pageOf } from "./shop.ts";

export const orderBodySchema = orderSchema
  .extend({
    links: listOf(linkSchema, "Links whose `to` is an operation of this order; `from` may be another order's.").default([]),
    kitSpans: listOf(kitSpanSchema, "Kit spans whose `to` is an operation of this order.").default([]),
  })
  .meta({ id: "OrderWithLinks", description: "An order with its operations, links and kit spans." });
export type OrderBody = z.infer<typeof orderBodySchema>;

/** unplanned: some of its work is not in the draft. late and planned are said of the draft plan. */
export const ORDER_STATES = ["unplanned", "planned", "late", "running", "done"] as const;

export const orderSummarySchema = z
  .object({
    id: z.string(),
    name: z.string(),
    kind: z.enum(["production", "prototype", "campaign", "maintenance"]),
    requester: z.string().nullable(),
    quantity: z.int(),
    weight: z.int(),
    release: z.int().meta({ description: "Minute." }),
    due: z.int().nullable().meta({ description: "Minute; null: nothing was promised." }),
    deadline: z.int().nullable(),
    operations: z.int().meta({ description: "How many." }),
    state: z.enum(ORDER_STATES),
    running: z.boolean(),
    completion: z.int().nullable().meta({ description: "Minute at which the draft completes it; null: not wholly planned." }),
    late: z.int().meta({ description: "Minutes after the due minute; 0: not late." }),
  })
  .meta({ id: "OrderSummary" });
export type OrderSummary = z.infer<typeof orderSummarySchema>;

export const orderListSchema = pageOf(orderSummarySchema).meta({ id: "OrderList" });

export const orderQuerySchema = z.strictObject({
  page: z.coerce.number().int().min(1).max(100_000).default(1),
  size: z.coerce.number().int().min(1).max(500).default(50),
  search: z.string().max(200).optional().meta({ description: "Part of the id, name or requester." }),
  state: z.enum(ORDER_STATES).optional(),
});
export type OrderQuery = z.infer<typeof orderQuerySchema>;
