/**
 * Events and busy times as iCalendar text (RFC 5545). Times carry the site's zone and its VTIMEZONE. A local time that occurs
 * twice means its first occurrence (3.3.5), but not every reader knows, so such times are written in UTC. There is no METHOD: this is a calendar to
 * read, not an invitation. The same events give the same bytes, whenever they are asked for.
 */
import ICAL from "ical.js";
import { DateTime } from "luxon";
import { tzlib_get_ical_block, tzlib_get_timezones } from "timezones-ical-library";
import type { EventBody } from "./calendar-events.ts";

export type EventToWrite = {
  readonly uid: string;
  readonly sequence: number;
  readonly start: Date;
  readonly end: Date;
  readonly changedAt: Date;
  readonly cancelled: boolean;
  readonly body: EventBody;
};

const PRODUCT = "-//Slotwright//Plan//EN";
/** How often calendars are asked to look again. */
const REFRESH = "PT15M";

// The library counts the space that begins a folded line beside the 75 octets that a line may have (3.1).
ICAL.foldLength = 74;

export function eventsText(name: string, zone: string, events: readonly EventToWrite[]): string {
  const calendar = emptyCalendar(name);
  const zoned = zoneBlock(zone);
  // Without an event there must still be some component (3.6): the rules of a zone are one.
  const rules = zoned ?? (events.length === 0 ? zoneBlock("Etc/UTC") : null);
  if (rules) calendar.addSubcomponent(rules);
  for (const event of events) calendar.addSubcomponent(eventComponent(event, zoned ? zone : null));
  return text(calendar);
}

export type BusyTime = { readonly start: Date; readonly end: Date; readonly type: EventBody["busy"] };

/** `uid` of the feed, so that a later answer replaces the one before. Periods are in UTC and do not overlap. */
export function busyText(
  name: string,
  span: { readonly uid: string; readonly from: Date; readonly until: Date; readonly changedAt: Date },
  times: readonly BusyTime[],
): string {
  const calendar = emptyCalendar(name);
  const busy = new ICAL.Component("vfreebusy");
  busy.addPropertyWithValue("uid", `${span.uid}@slotwright`);
  busy.addPropertyWithValue("dtstamp", utc(span.changedAt));
  busy.addPropertyWithValue("dtstart", utc(span.from));
  busy.addPropertyWithValue("dtend", utc(span.until));
  for (const { type, start, end } of withoutOverlap(times, span.from, span.until)) {
    const property = new ICAL.Property("freebusy");
    property.setParameter("fbtype", type);
    property.setValue(ICAL.Period.fromData({ start: utc(start), end: utc(end) }));
    busy.addProperty(property);
  }
  calendar.addSubcomponent(busy);
  return text(calendar);
}

function emptyCalendar(name: string): ICAL.Component {
  const calendar = new ICAL.Component("vcalendar");
  calendar.addPropertyWithValue("prodid", PRODUCT);
  calendar.addPropertyWithValue("version", "2.0");
  calendar.addPropertyWithValue("calscale", "GREGORIAN");
  // RFC 7986 names them NAME and REFRESH-INTERVAL; older calendars know the X- ones.
  calendar.addPropertyWithValue("name", name);
  calendar.addPropertyWithValue("x-wr-calname", name);
  const refresh = new ICAL.Property("refresh-interval");
  refresh.resetType("duration");
  refresh.setValue(ICAL.Duration.fromString(REFRESH));
  calendar.addProperty(refresh);
  calendar.addPropertyWithValue("x-published-ttl", REFRESH);
  return calendar;
}

/** The last line ends like every other one (3.1). */
const text = (calendar: ICAL.Component): string => `${calendar.toString()}\r\n`;

/** null: the zone is UTC, or its rules are not known; then all times are written in UTC. */
function zoneBlock(zone: string): ICAL.Component | null {
  const known = tzlib_get_timezones();
  if (zone === "UTC" || !known.includes(zone)) return null;
  const [block] = tzlib_get_ical_block(zone);
  if (block === undefined) return null;
  return new ICAL.Component(ICAL.parse(block));
}

const utc = (at: Date): ICAL.Time => ICAL.Time.fromJSDate(at, true);

function eventComponent(event: EventToWrite, zone: string | null): ICAL.Component {
  const component = new ICAL.Component("vevent");
  component.addPropertyWithValue("uid", `${event.uid}@slotwright`);
  component.addPropertyWithValue("dtstamp", utc(event.changedAt));
  component.addPropertyWithValue("last-modified", utc(event.changedAt));
  component.addPropertyWithValue("sequence", event.sequence);
  // Both ends in the same form (3.8.2.2).
  const form = zone === null || [event.start, event.end].some((at) => occursTwice(at, zone)) ? null : zone;
  component.addProperty(timeProperty("dtstart", event.start, form));
  component.addProperty(timeProperty("dtend", event.end, form));
  component.addPropertyWithValue("summary", event.body.summary);
  if (event.body.place !== "") component.addPropertyWithValue("location", event.body.place);
  component.addPropertyWithValue("description", event.body.text);
  component.addPropertyWithValue(
    "status",
    event.cancelled ? "CANCELLED" : event.body.busy === "BUSY-TENTATIVE" ? "TENTATIVE" : "CONFIRMED",
  );
  component.addPropertyWithValue("transp", event.cancelled ? "TRANSPARENT" : "OPAQUE");
  return component;
}

function timeProperty(name: string, at: Date, zone: string | null): ICAL.Property {
  const property = new ICAL.Property(name);
  if (zone === null) property.setValue(utc(at));
  else {
    property.setParameter("tzid", zone);
    const { year, month, day, hour, minute, second } = DateTime.fromJSDate(at, { zone });
    property.setValue(ICAL.Time.fromData({ year, month, day, hour, minute, second }));
  }
  return property;
}

const occursTwice = (at: Date, zone: string): boolean => DateTime.fromJSDate(at, { zone }).getPossibleOffsets().length > 1;

/** What makes unavailable goes before what keeps busy, and that before what is tentative; times of one kind that touch become one. */
const RANK = ["BUSY-UNAVAILABLE", "BUSY", "BUSY-TENTATIVE"] as const;

function withoutOverlap(times: readonly BusyTime[], from: Date, until: Date): readonly BusyTime[] {
  const edges = [...new Set(times.flatMap(({ start, end }) => [start.getTime(), end.getTime()]))]
    .filter((edge) => edge > from.getTime() && edge < until.getTime())
    .sort((a, b) => a - b);
  const moments = [from.getTime(), ...edges, until.getTime()];
  const pieces: BusyTime[] = [];
  for (let i = 0; i + 1 < moments.length; i++) {
    const [start, end] = [moments[i] as number, moments[i + 1] as number];
    const here = times.filter((time) => time.start.getTime() <= start && time.end.getTime() >= end);
    const type = RANK.find((kind) => here.some((time) => time.type === kind));
    if (type === undefined) continue;
    const last = pieces.at(-1);
    if (last?.type === type && last.end.getTime() === start) pieces[pieces.length - 1] = { ...last, end: new Date(end) };
    else pieces.push({ type, start: new Date(start), end: new Date(end) });
  }
  return pieces;
}
