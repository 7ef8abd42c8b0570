/**
 * Compiles calendars from wall-clock rules to plan minutes, once, for the stretch from 14 days before the origin to the horizon;
 * outside it everything is closed. Shifts follow the wall clock, so a 22:00-06:00 night is 7 h or 9 h long at a clock change.
 * Pure and deterministic. O(days x (rules + entries)). Meaning of the rules: specification.ts; skipped and doubled times: wall-clock.ts.
 */
import { invariant, present } from "../ground/invariant.ts";
import { type Intervals, normalise, subtract, union } from "./intervals.ts";
import { CALENDAR_LEAD_MINUTES, type Interval, type Minute } from "./minute.ts";
import { occursOn } from "./recurrence.ts";
import type { CalendarEntry, CalendarSpecification, DayContent } from "./specification.ts";
import { type DayNumber, dayOfDate, minutesOfWallTime, partsOfDay, type WallClock, wallClock } from "./wall-clock.ts";

/** Where and when calendars are compiled. `origin` is an instant (ISO 8601 with offset or Z), minute-aligned. */
export type CalendarSpan = { readonly zone: string; readonly origin: string; readonly horizon: Minute };

/** One entry on one day, in plan minutes, clipped to the compiled stretch. */
export type CompiledShift = {
  readonly name: string;
  readonly start: Minute;
  readonly end: Minute;
  /** Inside [start, end). */
  readonly breaks: Intervals;
  /** Hundredths of a person; null: the crew's own number. */
  readonly people: number | null;
  readonly unsocial: boolean;
};

export type CompiledCalendar = {
  /** Sorted by start, then end; overlapping ones add up (a handover). */
  readonly shifts: readonly CompiledShift[];
  /** Minutes inside a shift and not in its break. */
  readonly open: Intervals;
};

/** A day counts from entries of the two days before: an entry over midnight with a break after midnight needs one, a margin of one. */
const DAYS_BEFORE = 2;

export function compileCalendar(specification: CalendarSpecification, span: CalendarSpan): CompiledCalendar {
  const clock = wallClock(span.zone, span.origin);
  const contentOf = dayPlan(specification);
  const shifts: CompiledShift[] = [];
  const lastDay = clock.shownAt(span.horizon).day;
  for (let day = clock.shownAt(-CALENDAR_LEAD_MINUTES).day - DAYS_BEFORE; day <= lastDay; day += 1) {
    for (const entry of contentOf(day)) {
      const shift = placeEntry(entry, day, clock);
      if (shift) shifts.push(shift);
    }
  }
  return calendarOfShifts(shifts, span.horizon);
}

/** A calendar from shifts already in plan minutes: clips them to the compiled stretch, sorts them, and says what is open. */
export function calendarOfShifts(shifts: readonly CompiledShift[], horizon: Minute): CompiledCalendar {
  const clipped: CompiledShift[] = [];
  for (const shift of shifts) {
    const start = Math.max(shift.start, -CALENDAR_LEAD_MINUTES);
    const end = Math.min(shift.end, horizon);
    if (start >= end) continue;
    const breaks = normalise(shift.breaks.map(([from, until]): Interval => [Math.max(from, start), Math.min(until, end)]));
    clipped.push({ ...shift, start, end, breaks });
  }
  clipped.sort((a, b) => a.start - b.start || a.end - b.end);
  return { shifts: clipped, open: union(...clipped.map((shift) => subtract([[shift.start, shift.end]], shift.breaks))) };
}

/** Always open within the compiled stretch. */
export const alwaysOpen = (horizon: Minute): Intervals => [[-CALENDAR_LEAD_MINUTES, horizon]];

/** The entries that begin on a day: a dated exception (later ones win), else a recurring rule (later ones win), else the week. */
function dayPlan(specification: CalendarSpecification): (day: DayNumber) => readonly CalendarEntry[] {
  const exceptions = specification.exceptions.map((exception) => {
    const first = dayOf(exception.date);
    return { first, last: exception.last === undefined ? first : dayOf(exception.last), content: exception.content };
  });
  const rules = specification.recurring.map((rule) => ({ occurs: occursOn(rule), content: rule.content }));
  const week = [1, 2, 3, 4, 5, 6, 7].map((weekday) =>
    specification.weekly.filter((entry) => entry.days.some((day) => day === weekday)),
  );
  return (day) => {
    const special =
      exceptions.findLast(({ first, last }) => first <= day && day <= last) ?? rules.findLast((rule) => rule.occurs(day));
    return special ? entriesOf(special.content) : present(week[partsOfDay(day).weekday - 1], "weekday");
  };
}

const entriesOf = (content: DayContent): readonly CalendarEntry[] => ("closed" in content ? [] : content.entries);

const dayOf = (text: string): DayNumber => present(dayOfDate(text), `date ${text}`);

/** Wall minutes after 00:00 of the entry's day; an end not after its begin lies on the next day. */
function wallSpan(times: { readonly from: string; readonly until: string }, notBefore: number): readonly [number, number] {
  const from = present(minutesOfWallTime(times.from), `wall time ${times.from}`);
  const until = present(minutesOfWallTime(times.until), `wall time ${times.until}`);
  invariant(from < 1440, "24:00 is only an end");
  const begin = from < notBefore ? from + 1440 : from;
  return [begin, begin - from + (until <= from ? until + 1440 : until)];
}

/** null when nothing of the entry is left, because the clocks skip it. */
function placeEntry(entry: CalendarEntry, day: DayNumber, clock: WallClock): CompiledShift | null {
  const at = (wall: number): Minute => {
    const days = Math.floor(wall / 1440);
    return clock.minuteAt(day + days, wall - days * 1440);
  };
  const [from, until] = wallSpan(entry, 0);
  const start = at(from);
  const end = at(until);
  if (start >= end) return null;
  const breaks: Interval[] = [];
  for (const pause of entry.breaks ?? []) {
    const [pauseFrom, pauseUntil] = wallSpan(pause, from);
    breaks.push([Math.max(at(pauseFrom), start), Math.min(at(pauseUntil), end)]);
  }
  return {
    name: entry.name ?? "",
    start,
    end,
    breaks: normalise(breaks),
    people: entry.people ?? null,
    unsocial: entry.unsocial ?? false,
  };
}
