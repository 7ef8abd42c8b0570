/**
 * Requests: an engineer asks for rig time; a planner accepts, offers another slot or declines with a reason; whoever asked agrees,
 * asks on or withdraws. The order is in the book only while it is accepted or a slot is held for it.
 */
import { z } from "zod";
import { campaignSchema } from "../campaign/campaign-schema.ts";
import { minutes } from "../file/field.ts";
import { orderBodySchema } from "./order.ts";
import { planSchema } from "./planning-problem.ts";

export const REQUEST_STATES = ["asked", "countered", "accepted", "declined", "withdrawn"] as const;
export type RequestState = (typeof REQUEST_STATES)[number];

const said = z.string().trim().max(2000);
const reason = said.min(1, "expected a reason: whoever asked has to read it");

export const requestInputSchema = z
  .strictObject({
    order: orderBodySchema.meta({ description: "The order as it would be; pins and progress are not for requesters." }),
    campaign: campaignSchema.nullable().default(null).meta({ description: "The campaign it was made from; null: none." }),
    note: said.default(""),
  })
  .meta({ id: "RequestInput" });
export type RequestInput = z.infer<typeof requestInputSchema>;

const minute = z.int();
export const messageSchema = z.object({
  at: z.string(),
  by: z.string(),
  said: z.enum([...REQUEST_STATES, "agreed", "askedAgain"]),
  text: z.string(),
});
export type RequestMessage = z.infer<typeof messageSchema>;

export const offerSchema = z.object({
  start: minute,
  end: minute,
  machines: z.array(z.string()),
  until: minute.meta({ description: "The slot is held until this minute." }),
});
export type RequestOffer = z.infer<typeof offerSchema>;

const head = {
  number: z.int(),
  title: z.string(),
  requester: z.string(),
  mine: z.boolean().meta({ description: "Whoever reads this asked for it." }),
  state: z.enum(REQUEST_STATES),
  lapsed: z
    .boolean()
    .meta({ description: "A slot that was offered ran out, or the acceptance was taken back; the request is open again." }),
  order: z.string().meta({ description: "Number of the order; in the book when accepted or while a slot is held." }),
  note: z.string(),
  earliest: minute,
  wantedBy: minute.nullable(),
  offer: offerSchema.nullable().meta({ description: "The slot that is held, or was offered last." }),
  hold: z.string().nullable().meta({ description: "Id of the hold, while a slot is held." }),
  lastMessage: messageSchema,
  createdAt: z.string(),
  changedAt: z.string(),
  revision: z.int().meta({ description: "As an ETag it stands in quotes." }),
};
export const requestSummarySchema = z.object(head).meta({ id: "RequestSummary" });
export type RequestSummary = z.infer<typeof requestSummarySchema>;
export const requestListSchema = z.object({ items: z.array(requestSummarySchema) }).meta({ id: "RequestList" });

export const requestSchema = z
  .object({
    ...head,
    body: orderBodySchema,
    campaign: campaignSchema.nullable(),
    messages: z.array(messageSchema).meta({ description: "What was said, oldest first." }),
  })
  .meta({ id: "Request" });
export type RequestView = z.infer<typeof requestSchema>;

export const acceptInputSchema = z
  .strictObject({
    plan: planSchema
      .nullable()
      .default(null)
      .meta({ description: "The draft with the order in it; null: it comes into the book unplanned." }),
    note: said.default(""),
  })
  .meta({ id: "AcceptInput" });
export const counterInputSchema = z
  .strictObject({
    plan: planSchema.meta({ description: "The draft with the order in the slot that is offered." }),
    until: minutes("Minute until which the slot is held."),
    note: reason.meta({ description: "Why this slot and not the one asked for." }),
  })
  .meta({ id: "CounterInput" });
export const declineInputSchema = z.strictObject({ note: reason }).meta({ id: "DeclineInput" });
export const sayInputSchema = z.strictObject({ note: said.default("") }).meta({ id: "SayInput" });
