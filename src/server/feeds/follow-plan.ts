/**
 * Keeps the events in step with the plan in force: a new event gets a UID, a changed one a higher SEQUENCE, one that is gone
 * is cancelled and kept a while, so that calendars hear of it. What has ended is history and stays as it was. Runs in the
 * transaction that publishes, or when a feed is asked for and the events speak of an older version or of other held slots. O(events).
 */
import { createHash } from "node:crypto";
import type { Problem } from "../../core/problem/problem.ts";
import { instantOf } from "../actions/dates.ts";
import { addEntries, allEntries, changeEntry, type EntryRow, forgetEntries, stampEntries } from "../store/feed-store.ts";
import type { Store } from "../store/store.ts";
import type { CalendarEvent } from "./calendar-events.ts";

const DAY_MS = 86_400_000;
/** Long enough for calendars that look once a week, and for a look back at what was done. */
const CANCELLED_KEPT_DAYS = 30;
const ENDED_KEPT_DAYS = 60;

/** `clock`: the time on the wall, which the shop's own may differ from when it stands still. */
export async function followPlan(
  store: Store,
  problem: Problem,
  events: readonly CalendarEvent[],
  version: number,
  clock: Date,
): Promise<void> {
  const now = instantOf(problem, problem.now);
  await forgetEntries(store, daysBefore(clock, CANCELLED_KEPT_DAYS), daysBefore(now, ENDED_KEPT_DAYS));
  const known = new Map(
    (await allEntries(store)).map((entry) => [keyOf(entry.audience, entry.operationId, entry.lot, entry.part), entry]),
  );
  const fresh: CalendarEvent[] = [];
  for (const told of events) {
    const key = keyOf(told.audience, told.operation, told.lot, told.part);
    const entry = known.get(key);
    known.delete(key);
    if (!entry) {
      fresh.push(told);
      continue;
    }
    const event = withItsBegin(told, entry, now);
    const hash = hashOf(event);
    if (entry.hash === hash && entry.cancelledAt === null) continue;
    await changeEntry(store, entry, {
      hash,
      body: event.body,
      startAt: event.start,
      endAt: event.end,
      version,
      changedAt: clock,
      cancelledAt: null,
    });
  }
  await addEntries(
    store,
    fresh.map((event) => ({
      audience: event.audience,
      operationId: event.operation,
      lot: event.lot,
      part: event.part,
      hash: hashOf(event),
      body: event.body,
      startAt: event.start,
      endAt: event.end,
      version,
      changedAt: clock,
    })),
  );
  for (const gone of known.values()) {
    if (gone.cancelledAt === null && gone.endAt > now && !isDone(problem, gone))
      await changeEntry(store, gone, { changedAt: clock, cancelledAt: clock });
  }
  await stampEntries(store, version);
}

export const keyOf = (...parts: readonly (string | number)[]): string => JSON.stringify(parts);
const daysBefore = (now: Date, days: number): Date => new Date(now.getTime() - days * DAY_MS);

export const hashOf = ({ start, end, body }: CalendarEvent): string =>
  createHash("sha256")
    .update(JSON.stringify([start.getTime(), end.getTime(), body]))
    .digest("base64url");

/** A plan made while work runs shows it from now on only; its event goes on from where it began. */
function withItsBegin(event: CalendarEvent, entry: EntryRow, now: Date): CalendarEvent {
  const goesOn = entry.startAt < event.start && event.start <= now && entry.endAt >= event.start;
  return goesOn ? { ...event, start: entry.startAt } : event;
}

/** Work reported as done has left the plan, though it may have ended earlier than its event says. */
function isDone(problem: Problem, { operationId, lot }: EntryRow): boolean {
  const operation = problem.operations.find(({ id }) => id === operationId);
  return operation !== undefined && operation.progress.done.length > lot;
}
