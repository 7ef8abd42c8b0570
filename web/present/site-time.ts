/**
 * Plan minutes as the people of the site read them: always in the site's zone, always with the day unless it is today.
 * Also the way back, from what is typed into date and time fields to moments of the contract.
 * A date without a time stays a date: the contract reads it as 00:00 of a begin and 24:00 of an end.
 */

import type { Moment } from "../../src/contract/file/field.ts";
import { minuteOfMoment, type Side } from "../../src/contract/file/moment.ts";
import {
  dateOfDay,
  localText,
  partsOfDay,
  type WallClock,
  wallClock,
  wallTimeOfMinutes,
} from "../../src/core/calendar/wall-clock.ts";
import { LOCALE } from "./locale.ts";

export type SiteTime = {
  readonly zone: string;
  readonly origin: string;
  readonly now: number;
  readonly clock: WallClock;
  /** "Thu 12 Nov". */
  day(minute: number): string;
  /** "Thu 12 Nov 2026". */
  dayWithYear(minute: number): string;
  /** "20:20". */
  time(minute: number): string;
  /** "Thu 12 Nov 20:20". */
  dayTime(minute: number): string;
  /** "20:20" today, "Fri 06:20" in the six days to come, else "Thu 12 Nov 20:20": a bare weekday must not mean two days. */
  short(minute: number): string;
  /** An end that falls on 24:00 belongs to the day before. */
  dueText(minute: number): string;
  minuteOf(moment: Moment, side: Side): number | null;
};

/** 00:00 UTC of a day number as a Date, so that Intl can name it. */
const dateOf = (day: number): Date => new Date(day * 86_400_000);
const weekday = new Intl.DateTimeFormat(LOCALE, { weekday: "short", timeZone: "UTC" });
const dayMonth = new Intl.DateTimeFormat(LOCALE, { day: "numeric", month: "short", timeZone: "UTC" });
const dayMonthYear = new Intl.DateTimeFormat(LOCALE, { day: "numeric", month: "short", year: "numeric", timeZone: "UTC" });

/** Asking a zone for its offset is slow, and a drawing asks for the same few minutes in each frame. */
const REMEMBERED_MAX = 4000;
function remembered(make: (minute: number) => string): (minute: number) => string {
  const known = new Map<number, string>();
  return (minute) => {
    let text = known.get(minute);
    if (text === undefined) {
      if (known.size >= REMEMBERED_MAX) known.clear();
      text = make(minute);
      known.set(minute, text);
    }
    return text;
  };
}

export function siteTime(zone: string, origin: string, now: number): SiteTime {
  const clock = wallClock(zone, origin);
  const dayName = (day: number): string => `${weekday.format(dateOf(day))} ${dayMonth.format(dateOf(day))}`;
  const time = remembered((minute) => wallTimeOfMinutes(clock.shownAt(minute).minutes));
  const dayTime = (minute: number): string => {
    const shown = clock.shownAt(minute);
    return `${dayName(shown.day)} ${wallTimeOfMinutes(shown.minutes)}`;
  };
  const today = clock.shownAt(now).day;
  return {
    zone,
    origin,
    now,
    clock,
    day: (minute) => dayName(clock.shownAt(minute).day),
    dayWithYear: (minute) => {
      const { day } = clock.shownAt(minute);
      return `${weekday.format(dateOf(day))} ${dayMonthYear.format(dateOf(day))}`;
    },
    time,
    dayTime,
    short: remembered((minute) => {
      const shown = clock.shownAt(minute);
      const ahead = shown.day - today;
      if (ahead === 0) return wallTimeOfMinutes(shown.minutes);
      if (ahead > 0 && ahead <= 6) return `${weekday.format(dateOf(shown.day))} ${wallTimeOfMinutes(shown.minutes)}`;
      return dayTime(minute);
    }),
    dueText: (minute) => {
      const shown = clock.shownAt(minute);
      return shown.minutes === 0 ? `${dayName(shown.day - 1)} 24:00` : dayTime(minute);
    },
    minuteOf: (moment, side) => {
      const read = minuteOfMoment(moment, side, clock);
      return read.ok ? read.value : null;
    },
  };
}

/** Monday 00:00 of the week that holds the minute. */
export function weekStart(time: SiteTime, minute: number): number {
  const { day } = time.clock.shownAt(minute);
  return time.clock.minuteAt(day - (partsOfDay(day).weekday - 1), 0);
}

/** What date and time fields show for a moment; a date alone has no time. Offsets are resolved to the site's wall clock. */
export function fieldsOfMoment(moment: Moment, time: SiteTime): { readonly date: string; readonly time: string } {
  if (typeof moment === "string" && /^\d{4}-\d{2}-\d{2}$/.test(moment)) return { date: moment, time: "" };
  const minute = time.minuteOf(moment, "begin");
  if (minute === null) return { date: String(moment), time: "" };
  const text = localText(time.clock, minute);
  return { date: text.slice(0, 10), time: text.slice(11, 16) };
}

/** The moment of what is typed; null when the date is empty. */
export const momentOfFields = (date: string, time: string): string | null =>
  date === "" ? null : time === "" ? date : `${date}T${time}`;

/** Today's date at the site, moved by so many days. */
export const dateFromToday = (time: SiteTime, days: number): string => dateOfDay(time.clock.shownAt(time.now).day + days);
