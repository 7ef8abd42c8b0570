/** Calendar feeds: the published plan of one machine, crew, requester or order under a secret address that calendars can read. */
import { z } from "zod";

export const FEED_AUDIENCES = ["machine", "crew", "requester", "order"] as const;
export const FEED_CONTENTS = ["events", "freeBusy"] as const;

const audience = z.enum(FEED_AUDIENCES);
const subject = z
  .string()
  .min(1)
  .max(200)
  .meta({ description: "Id of the machine, crew or order; or the requester as orders name them." });
const content = z
  .enum(FEED_CONTENTS)
  .default("events")
  .meta({ description: "events: what, where and when. freeBusy: only when, for people who may not see what." });

export const feedSchema = z
  .object({
    id: z.string(),
    audience,
    subject,
    content: z.enum(FEED_CONTENTS),
    name: z.string().meta({ description: "Name of the machine, crew or order." }),
    madeBy: z.string(),
    createdAt: z.string(),
  })
  .meta({ id: "CalendarFeed" });
export type Feed = z.infer<typeof feedSchema>;

export const feedListSchema = z.object({ items: z.array(feedSchema) }).meta({ id: "CalendarFeedList" });

export const feedInputSchema = z.strictObject({ audience, subject, content }).meta({ id: "CalendarFeedInput" });
export type FeedInput = z.infer<typeof feedInputSchema>;

export const feedMadeSchema = z
  .object({
    feed: feedSchema,
    path: z
      .string()
      .meta({ description: "Address below this server. It is told this once; whoever knows it can read the feed." }),
  })
  .meta({ id: "CalendarFeedMade" });
export type FeedMade = z.infer<typeof feedMadeSchema>;
