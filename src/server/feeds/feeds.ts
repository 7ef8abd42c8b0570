/**
 * Making, listing, revoking and answering calendar feeds. The secret of an address is 256 random bits and is told once; only
 * its hash is kept. A wrong secret and a revoked one are answered alike: there is nothing.
 */
import { createHash, randomBytes } from "node:crypto";
import type { Feed, FeedInput, FeedMade } from "../../contract/api/feed.ts";
import { subtract } from "../../core/calendar/intervals.ts";
import type { Problem } from "../../core/problem/problem.ts";
import type { Actor } from "../actions/actor.ts";
import { instantOf } from "../actions/dates.ts";
import { currentProblem, type Office, type PlanningState, planningState } from "../actions/planning-state.ts";
import { noSuch, Refused } from "../actions/refused.ts";
import { record } from "../store/audit.ts";
import {
  addFeed,
  type EntryRow,
  entriesOf,
  entriesVersion,
  type FeedRow,
  feedOfSecret,
  listFeeds,
  readFeed,
  revokeFeed,
} from "../store/feed-store.ts";
import { lockSite } from "../store/site-store.ts";
import type { Store } from "../store/store.ts";
import { type Audience, audienceKey, type CalendarEvent, type EventBody } from "./calendar-events.ts";
import { type BusyTime, busyText, eventsText } from "./calendar-text.ts";
import { followPlan, hashOf, keyOf } from "./follow-plan.ts";
import { eventsNow } from "./tentative-events.ts";

const FEEDS_MAX = 100;
const DAY = 1440;
/** A free/busy answer speaks of so many days, or to the horizon. */
const BUSY_DAYS = 56;

const hashed = (secret: string): string => createHash("sha256").update(secret).digest("hex");

export async function feedsOf(office: Office, actor: Actor): Promise<readonly Feed[]> {
  const rows = await listFeeds(office.store, actor.role === "administrator" ? null : actor.id);
  const { problem } = await currentProblem(office);
  return rows.map((row) => feedView(problem, row));
}

export async function makeFeed(office: Office, actor: Actor, input: FeedInput): Promise<FeedMade> {
  const { problem } = await currentProblem(office);
  if (nameOf(problem, input.audience, input.subject) === null)
    throw new Refused("invalid", `There is no ${input.audience} "${input.subject}".`, [
      { pointer: "/subject", message: `expected ${WANTED[input.audience]}` },
    ]);
  if ((await listFeeds(office.store, actor.id)).length >= FEEDS_MAX)
    throw new Refused("conflict", `You have ${FEEDS_MAX} feeds; revoke one that nobody reads any more.`);
  const secret = randomBytes(32).toString("base64url");
  const row = await office.store.inTransaction(async (store) => {
    const made = await addFeed(store, { ...input, secretHash: hashed(secret), madeBy: actor.name, madeById: actor.id });
    await record(store, actor.name, "made", `calendar feed ${made.id}`, input);
    return made;
  });
  return { feed: feedView(problem, row), path: `/feeds/${secret}.ics` };
}

export async function revokeFeedOf(office: Office, actor: Actor, id: string): Promise<void> {
  const feed = await readFeed(office.store, id);
  const own = feed !== null && (actor.role === "administrator" || feed.madeById === actor.id);
  if (!feed || feed.revokedAt !== null || !own) throw noSuch("calendar feed", id);
  await office.store.inTransaction(async (store) => {
    await revokeFeed(store, id, office.clock());
    await record(store, actor.name, "revoked", `calendar feed ${id}`);
  });
}

const WANTED: Readonly<Record<Audience, string>> = {
  machine: "the id of a machine or rig",
  crew: "the id of a crew",
  order: "the id of an order",
  requester: "a requester as orders name them",
};

/** null: there is none. */
function nameOf(problem: Problem, audience: string, subject: string): string | null {
  switch (audience) {
    case "machine":
      return problem.machines.find(({ id }) => id === subject)?.name ?? null;
    case "crew":
      return problem.crews.find(({ id }) => id === subject)?.name ?? null;
    case "order":
      return problem.orders.find(({ id }) => id === subject)?.name ?? null;
    default:
      return problem.orders.some(({ requester }) => requester === subject) ? subject : null;
  }
}

const feedView = (problem: Problem, { id, audience, subject, content, madeBy, createdAt }: FeedRow): Feed => ({
  id,
  audience: audience as Feed["audience"],
  subject,
  content: content as Feed["content"],
  name: nameOf(problem, audience, subject) ?? subject,
  madeBy,
  createdAt: createdAt.toISOString(),
});

export type FeedText = { readonly text: string; readonly etag: string; readonly lastModified: Date | null };

/** What a calendar reads; null: there is no such feed. */
export async function feedText(office: Office, secret: string): Promise<FeedText | null> {
  const feed = await feedOfSecret(office.store, hashed(secret));
  if (!feed) return null;
  const audience = audienceKey(feed.audience as Audience, feed.subject);
  const { problem } = await inStep(office, audience);
  const entries = await entriesOf(office.store, audience);
  const name = `${nameOf(problem, feed.audience, feed.subject) ?? feed.subject} - plan`;
  const changedAt = new Date(Math.max(feed.createdAt.getTime(), ...entries.map((entry) => entry.changedAt.getTime())));
  const text =
    feed.content === "freeBusy"
      ? freeBusy(problem, feed, name, entries, changedAt)
      : eventsText(name, problem.zone, entries.map(eventOf));
  return {
    text,
    etag: `"${createHash("sha256").update(text).digest("base64url").slice(0, 32)}"`,
    lastModified: feed.content === "freeBusy" ? null : changedAt, // busy times also follow the calendar of opening hours
  };
}

/** Events speak of the version in force - one that came with a file was published without them - and of the slots held now. */
async function inStep(office: Office, audience: string): Promise<{ problem: Problem }> {
  const state = await planningState(office);
  if (await speaksOfNow(office.store, state, audience)) return state;
  await office.store.inTransaction(async (store) => {
    await lockSite(store);
    const now = await planningState({ ...office, store, memory: { ...office.memory } });
    const version = now.site.publishedVersion ?? NOTHING_PUBLISHED;
    await followPlan(store, now.problem, await eventsOfState(store, now), version, office.clock());
  });
  return state;
}

/** Version of events that are there before anything is published. */
const NOTHING_PUBLISHED = 0;

const eventsOfState = (store: Store, { problem, plan }: PlanningState): Promise<readonly CalendarEvent[]> =>
  eventsNow(store, { problem, published: problem.published ?? { operations: [] }, draft: plan });

async function speaksOfNow(store: Store, state: PlanningState, audience: string): Promise<boolean> {
  const { publishedVersion } = state.site;
  if (publishedVersion !== null && (await entriesVersion(store)) !== publishedVersion) return false;
  const isTentative = ({ busy }: EventBody): boolean => busy === "BUSY-TENTATIVE";
  const wanted = (await eventsOfState(store, state))
    .filter((event) => event.audience === audience && isTentative(event.body))
    .map((event) => `${keyOf(event.audience, event.operation, event.lot, event.part)} ${hashOf(event)}`);
  const known = (await entriesOf(store, audience))
    .filter(({ body, cancelledAt }) => cancelledAt === null && isTentative(body as EventBody))
    .map(({ operationId, lot, part, hash }) => `${keyOf(audience, operationId, lot, part)} ${hash}`);
  return JSON.stringify(wanted.sort()) === JSON.stringify(known.sort());
}

const eventOf = ({ uid, sequence, startAt, endAt, changedAt, cancelledAt, body }: EntryRow) => ({
  uid,
  sequence,
  start: startAt,
  end: endAt,
  changedAt,
  cancelled: cancelledAt !== null,
  body: body as EventBody,
});

function freeBusy(problem: Problem, feed: FeedRow, name: string, entries: readonly EntryRow[], changedAt: Date): string {
  const from = Math.floor(problem.now / DAY) * DAY;
  const until = Math.min(from + BUSY_DAYS * DAY, Math.floor(problem.horizon / DAY) * DAY);
  const closed = feed.audience === "machine" ? problem.machines.find(({ id }) => id === feed.subject)?.open : undefined;
  const times: readonly BusyTime[] = [
    ...entries
      .filter(({ cancelledAt }) => cancelledAt === null)
      .map((entry) => ({ start: entry.startAt, end: entry.endAt, type: (entry.body as EventBody).busy })),
    ...(closed === undefined ? [] : subtract([[from, until]], closed)).map(([start, end]) => ({
      start: instantOf(problem, start),
      end: instantOf(problem, end),
      type: "BUSY-UNAVAILABLE" as const,
    })),
  ];
  const span = { uid: feed.id, from: instantOf(problem, from), until: instantOf(problem, until), changedAt };
  return busyText(name, span, times);
}
