/** Slots held for orders. Part of the table in routes.ts. */
import { z } from "zod";
import { holdInputSchema, holdListSchema, holdSchema } from "../../contract/api/hold.ts";
import { confirmHold, holdSlot, listHolds, releaseHold } from "../actions/hold-slot.ts";
import { everyone, planners, type Route, route } from "./route.ts";

const byHold = z.object({ id: z.uuid() });

export const holdRoutes: readonly Route[] = [
  route({
    method: "get",
    path: "/holds",
    allowed: everyone,
    tag: "Holds",
    summary: "Slots held now, and the latest that were confirmed, released or ran out",
    answers: { 200: holdListSchema },
    handle: async ({ office }) => ({ status: 200, body: await listHolds(office) }),
  }),
  route({
    method: "post",
    path: "/holds",
    allowed: planners,
    tag: "Holds",
    summary: "Keep a slot for an order until a moment; it then frees itself",
    body: holdInputSchema,
    answers: { 201: holdSchema },
    ifMatch: "required",
    limit: "large",
    async handle({ office }, { body, actor, expected }) {
      const hold = await holdSlot(office, actor, body, expected);
      return { status: 201, body: hold, location: "/api/v1/holds" };
    },
  }),
  ...(
    [
      ["confirm", confirmHold, "Make a held slot an order like any other"],
      ["release", releaseHold, "Free a held slot now"],
    ] as const
  ).map(([word, action, summary]) =>
    route({
      method: "post",
      path: `/holds/:id/${word}`,
      allowed: planners,
      tag: "Holds",
      summary,
      params: byHold,
      answers: { 200: holdSchema },
      handle: async ({ office }, { params, actor }) => ({ status: 200, body: await action(office, actor, params.id) }),
    }),
  ),
];
