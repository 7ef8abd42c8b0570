/** Calendar feeds: who has which, making one, revoking one. What calendars read is in feed-files.ts. Part of the table in routes.ts. */
import { z } from "zod";
import { feedInputSchema, feedListSchema, feedMadeSchema } from "../../contract/api/feed.ts";
import { feedsOf, makeFeed, revokeFeedOf } from "../feeds/feeds.ts";
import { everyone, type Route, route } from "./route.ts";

export const feedRoutes: readonly Route[] = [
  route({
    method: "get",
    path: "/calendar-feeds",
    allowed: everyone,
    tag: "Calendar feeds",
    summary: "The feeds you have made; an administrator sees everybody's",
    answers: { 200: feedListSchema },
    handle: async ({ office }, { actor }) => ({ status: 200, body: { items: await feedsOf(office, actor) } }),
  }),
  route({
    method: "post",
    path: "/calendar-feeds",
    allowed: everyone,
    tag: "Calendar feeds",
    summary: "A new feed of the published plan; its secret address is told once",
    body: feedInputSchema,
    answers: { 201: feedMadeSchema },
    handle: async ({ office }, { body, actor }) => ({ status: 201, body: await makeFeed(office, actor, body) }),
  }),
  route({
    method: "delete",
    path: "/calendar-feeds/:id",
    allowed: everyone,
    tag: "Calendar feeds",
    summary: "Revoke a feed: its address answers no more",
    params: z.strictObject({ id: z.uuid() }),
    answers: { 204: null },
    async handle({ office }, { params, actor }) {
      await revokeFeedOf(office, actor, params.id);
      return { status: 204 };
    },
  }),
];
