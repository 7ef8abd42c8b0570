/**
 * The addresses that calendars read, `/feeds/<secret>.ics`. No session: the secret is the right to read. Wrong and revoked
 * secrets are answered alike, and tries of one address are counted. A calendar that has the newest text is told so.
 */
import { type Response, Router } from "express";
import { rateLimit } from "express-rate-limit";
import { feedText } from "../feeds/feeds.ts";
import { problem, sendProblem } from "./problem-response.ts";
import type { Server } from "./route.ts";

/** Readings of one address in a minute: many calendars behind one address, and far too few to guess 256 bits. */
const READINGS = 120;
const NAME = /^([A-Za-z0-9_-]{43})\.ics$/;

export function feedFiles({ office }: Server): Router {
  const router = Router();
  router.use(
    rateLimit({
      windowMs: 60_000,
      limit: READINGS,
      standardHeaders: "draft-8",
      legacyHeaders: false,
      handler: (_request, response) =>
        sendProblem(response, problem(429, "Wait a minute and read the calendar again.", idOf(response))),
    }),
  );
  router.get("/:name", async (request, response) => {
    const secret = NAME.exec(request.params.name ?? "")?.[1];
    const feed = secret === undefined ? null : await feedText(office, secret);
    if (!feed) return nothing(response);
    const { text, etag, lastModified } = feed;
    response.setHeader("ETag", etag);
    if (lastModified) response.setHeader("Last-Modified", lastModified.toUTCString());
    response.setHeader("Cache-Control", "private, no-cache");
    if (isKnown(request.get("If-None-Match"), request.get("If-Modified-Since"), etag, lastModified))
      return void response.status(304).end();
    response.setHeader("Content-Disposition", 'inline; filename="plan.ics"');
    response.type("text/calendar; charset=utf-8").send(text);
  });
  router.use((_request, response) => nothing(response));
  return router;
}

const nothing = (response: Response): void =>
  sendProblem(response, problem(404, "There is no calendar at this address (any more).", idOf(response)));

/** RFC 9110, 13.2.2: the tag decides where one is sent, else the time, which knows whole seconds only. */
function isKnown(tags: string | undefined, since: string | undefined, etag: string, lastModified: Date | null): boolean {
  if (tags !== undefined) return tags.split(",").some((tag) => [etag, `W/${etag}`, "*"].includes(tag.trim()));
  if (since === undefined || lastModified === null) return false;
  return Math.floor(lastModified.getTime() / 1000) * 1000 <= Date.parse(since);
}

const idOf = (response: { getHeader(name: string): unknown }): string => String(response.getHeader("X-Request-Id") ?? "");
