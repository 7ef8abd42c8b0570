/**
 * Wall-clock times of one IANA zone as plan minutes, and back. The only place where a time zone is asked for its offset.
 * Promises: a wall time that the clocks skip counts with the offset before the gap, one that occurs twice is the first
 * occurrence (RFC 5545, section 3.3.5). Pure: the zone data are fixed tables, no clock is read - which is why the local-time
 * constructors of the date library are not used (they guess from the present offset when a time is ambiguous).
 * Assumes at most one clock change within any two days and offsets of whole minutes, true of all zones in use since 1973.
 */
import { IANAZone } from "luxon";
import { invariant } from "../ground/invariant.ts";
import type { Minute } from "./minute.ts";
import type { CalendarDate, WallTime } from "./specification.ts";

const MINUTE_MS = 60_000;
const DAY_MINUTES = 1440;
const TWO_DAYS = 2 * DAY_MINUTES;

/** Days since 1970-01-01 in the calendar of the zone: dates as numbers, so that they can be counted. */
export type DayNumber = number;

export type WallClock = {
  /** The plan minute at which the wall clock first shows `minutes` after 00:00 of that day (1440: 00:00 of the next). */
  minuteAt(day: DayNumber, minutes: number): Minute;
  /** What the wall clock shows at a plan minute, and how far it then is ahead of UTC. */
  shownAt(minute: Minute): { readonly day: DayNumber; readonly minutes: number; readonly offset: number };
  /** The plan minute of an instant in milliseconds since 1970; not whole when the instant is not minute-aligned. */
  minuteOfInstant(milliseconds: number): number;
};

export const isZone = (zone: string): boolean => IANAZone.isValidZone(zone);

/** A clock of the zone that counts from the origin, an instant in ISO 8601 with offset or Z. */
export function wallClock(zone: string, origin: string): WallClock {
  invariant(isZone(zone), `unknown time zone ${zone}`);
  const originMs = Date.parse(origin);
  invariant(Number.isSafeInteger(originMs) && originMs % MINUTE_MS === 0, `origin ${origin} is not a minute-aligned instant`);
  const originMinute = originMs / MINUTE_MS;
  const offsetAt = offsetsOf(zone);
  return {
    minuteAt(day, minutes) {
      const wall = day * DAY_MINUTES + minutes;
      const before = offsetAt(wall - DAY_MINUTES);
      const after = offsetAt(wall + DAY_MINUTES);
      const first = wall - before;
      const second = wall - after;
      const instant = offsetAt(first) !== before && offsetAt(second) === after ? second : first;
      return instant - originMinute;
    },
    shownAt(minute) {
      const utc = minute + originMinute;
      const offset = offsetAt(utc);
      const day = Math.floor((utc + offset) / DAY_MINUTES);
      return { day, minutes: utc + offset - day * DAY_MINUTES, offset };
    },
    minuteOfInstant: (milliseconds) => milliseconds / MINUTE_MS - originMinute,
  };
}

/** Offsets by zone, remembered: the tables never change, asking them is slow, and compiling a year of shifts asks for each day dozens of times. */
const known = new Map<string, (utcMinute: number) => number>();

function offsetsOf(zone: string): (utcMinute: number) => number {
  const remembered = known.get(zone);
  if (remembered !== undefined) return remembered;
  const table = IANAZone.create(zone);
  const answers = new Map<number, number>();
  const asked = (utcMinute: number): number => {
    let offset = answers.get(utcMinute);
    if (offset === undefined) {
      offset = table.offset(utcMinute * MINUTE_MS);
      answers.set(utcMinute, offset);
    }
    return offset;
  };
  const offsetAt = (utcMinute: number): number => {
    // alike at both ends, with one change in any two days at most: alike all the time between
    const from = Math.floor(utcMinute / TWO_DAYS) * TWO_DAYS;
    const offset = asked(from);
    return offset === asked(from + TWO_DAYS) ? offset : asked(utcMinute);
  };
  known.set(zone, offsetAt);
  return offsetAt;
}

const two = (value: number): string => String(value).padStart(2, "0");

/** Minutes after 00:00 of `HH:MM`; null when it is none. 24:00 is accepted, as the end of a day. */
export function minutesOfWallTime(text: WallTime): number | null {
  const match = /^([01]\d|2[0-4]):([0-5]\d)$/.exec(text);
  if (!match) return null;
  const minutes = Number(match[1]) * 60 + Number(match[2]);
  return minutes <= DAY_MINUTES ? minutes : null;
}

export const wallTimeOfMinutes = (minutes: number): WallTime => `${two(Math.floor(minutes / 60))}:${two(minutes % 60)}`;

/** Day number of `YYYY-MM-DD`; null when there is no such date. */
export function dayOfDate(text: CalendarDate): DayNumber | null {
  if (!/^\d{4}-\d{2}-\d{2}$/.test(text)) return null;
  const date = new Date(`${text}T00:00:00Z`);
  // Some engines read 30 February as 2 March: only a date that comes back as it was written exists.
  if (Number.isNaN(date.getTime()) || date.toISOString().slice(0, 10) !== text) return null;
  return date.getTime() / MINUTE_MS / DAY_MINUTES;
}

/** Year, month (1-12), day of the month and ISO weekday (Monday = 1) of a day number. */
export function partsOfDay(day: DayNumber): {
  readonly year: number;
  readonly month: number;
  readonly date: number;
  readonly weekday: number;
} {
  const moment = new Date(day * DAY_MINUTES * MINUTE_MS);
  return {
    year: moment.getUTCFullYear(),
    month: moment.getUTCMonth() + 1,
    date: moment.getUTCDate(),
    weekday: ((((day + 3) % 7) + 7) % 7) + 1,
  };
}

export function dateOfDay(day: DayNumber): CalendarDate {
  const { year, month, date } = partsOfDay(day);
  return `${String(year).padStart(4, "0")}-${two(month)}-${two(date)}`;
}

/** `YYYY-MM-DDTHH:MM` as the wall clock shows it, with the offset where the text alone would mean another minute. */
export function localText(clock: WallClock, minute: Minute): string {
  const { day, minutes, offset } = clock.shownAt(minute);
  const text = `${dateOfDay(day)}T${wallTimeOfMinutes(minutes)}`;
  if (clock.minuteAt(day, minutes) === minute) return text;
  const ahead = Math.abs(offset);
  return `${text}${offset < 0 ? "-" : "+"}${two(Math.floor(ahead / 60))}:${two(ahead % 60)}`;
}
