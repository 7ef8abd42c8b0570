/** Holds: a slot kept for an order until a minute; confirmed or released by somebody before it, it frees itself at it. */
import { z } from "zod";
import { minutes } from "../file/field.ts";
import { orderBodySchema } from "./order.ts";
import { planSchema } from "./planning-problem.ts";

/** promise: told to a customer. request: offered to somebody who asked for a rig. */
export const HOLD_PURPOSES = ["promise", "request"] as const;
export const HOLD_STATES = ["held", "confirmed", "expired", "released"] as const;

export const holdInputSchema = z
  .strictObject({
    order: z
      .union([z.string().min(1).max(100), orderBodySchema])
      .meta({ description: "The id of an order of the book, or a new order that comes into it." }),
    plan: planSchema.meta({ description: "The whole draft with the order in it." }),
    until: minutes("Minute at which the slot frees itself."),
    note: z.string().max(500).default(""),
    purpose: z.enum(HOLD_PURPOSES).default("promise"),
  })
  .meta({ id: "HoldInput" });
export type HoldInput = z.infer<typeof holdInputSchema>;

export const holdSchema = z
  .object({
    id: z.string(),
    order: z.string(),
    until: z.int().meta({ description: "Minute." }),
    purpose: z.enum(HOLD_PURPOSES),
    state: z.enum(HOLD_STATES),
    note: z.string(),
    heldBy: z.string(),
    heldAt: z.string(),
    endedBy: z.string().nullable(),
    endedAt: z.string().nullable(),
    keepsOrder: z.boolean().meta({ description: "The order was in the book before, so it stays there when the slot is freed." }),
  })
  .meta({ id: "Hold" });
export type HoldView = z.infer<typeof holdSchema>;

export const holdListSchema = z.object({ items: z.array(holdSchema) }).meta({ id: "HoldList" });

/** A slot held now, as the plan shows it. */
export const heldSlotSchema = z
  .object({
    id: z.string(),
    order: z.string(),
    until: z.int(),
    heldBy: z.string(),
    purpose: z.enum(HOLD_PURPOSES),
    note: z.string(),
  })
  .meta({ id: "HeldSlot" });
export type HeldSlot = z.infer<typeof heldSlotSchema>;
