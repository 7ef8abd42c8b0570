/**
 * The next weeks of a calendar as planning will see them: compiled by the core itself, then cut into days of the site's
 * wall clock. Pure. null while the rules cannot be compiled (a date that does not exist, say).
 */
import { type CalendarInFile, calendarSchema } from "../../../src/contract/file/calendar-schema.ts";
import { type CompiledShift, calendarOfShifts, compileCalendar } from "../../../src/core/calendar/compile.ts";
import { clip, type Intervals, normalise, totalMinutes } from "../../../src/core/calendar/intervals.ts";
import { dayOfDate } from "../../../src/core/calendar/wall-clock.ts";
import { type SiteTime, weekStart } from "../../present/site-time.ts";

export type PreviewDay = {
  /** 00:00 of the day; a day lasts 23 h or 25 h when the clocks change. */
  readonly start: number;
  readonly end: number;
  readonly open: Intervals;
  readonly unsocial: Intervals;
  readonly names: readonly string[];
  /** A dated exception speaks of this day. */
  readonly special: string | null;
};
export type PreviewWeek = { readonly start: number; readonly days: readonly PreviewDay[]; readonly openMinutes: number };

export function previewWeeks(calendar: CalendarInFile, time: SiteTime, weeks: number): readonly PreviewWeek[] | null {
  const parsed = calendarSchema.safeParse(calendar);
  if (!parsed.success || !datesExist(parsed.data)) return null;
  const rules = parsed.data;
  const first = weekStart(time, time.now);
  const firstDay = time.clock.shownAt(first).day;
  const horizon = time.clock.minuteAt(firstDay + weeks * 7, 0);
  const compiled = compileCalendar({ ...rules, name: rules.name ?? rules.id }, { zone: time.zone, origin: time.origin, horizon });
  const extra: CompiledShift[] = [];
  for (const hours of rules.extra) {
    const start = time.minuteOf(hours.start, "begin");
    const end = time.minuteOf(hours.end, "end");
    if (start === null || end === null || end < start) return null;
    const breaks = normalise(
      hours.breaks.map((pause): [number, number] => [
        time.minuteOf(pause.start, "begin") ?? 0,
        time.minuteOf(pause.end, "end") ?? 0,
      ]),
    );
    extra.push({ name: hours.name ?? "", start, end, breaks, people: hours.people ?? null, unsocial: hours.unsocial });
  }
  const { shifts, open } = extra.length === 0 ? compiled : calendarOfShifts([...compiled.shifts, ...extra], horizon);
  const unsocial = normalise(shifts.filter((shift) => shift.unsocial).map((shift): [number, number] => [shift.start, shift.end]));

  return Array.from({ length: weeks }, (_, week): PreviewWeek => {
    const start = time.clock.minuteAt(firstDay + week * 7, 0);
    const days = Array.from({ length: 7 }, (_, i): PreviewDay => {
      const day = firstDay + week * 7 + i;
      const from = time.clock.minuteAt(day, 0);
      const until = time.clock.minuteAt(day + 1, 0);
      const special = rules.exceptions.findLast((exception) => {
        const begin = dayOfDate(exception.date) ?? 0;
        return begin <= day && day <= (exception.last === undefined ? begin : (dayOfDate(exception.last) ?? begin));
      });
      return {
        start: from,
        end: until,
        open: clip(open, from, until),
        unsocial: clip(unsocial, from, until),
        names: [
          ...new Set(
            shifts.filter((shift) => shift.start < until && shift.end > from && shift.name !== "").map(({ name }) => name),
          ),
        ],
        special: special ? (special.name ?? "") : null,
      };
    });
    return { start, days, openMinutes: days.reduce((sum, day) => sum + totalMinutes(day.open), 0) };
  });
}

function datesExist(calendar: CalendarInFile): boolean {
  const dates = [
    ...calendar.exceptions.flatMap(({ date, last }) => [date, last]),
    ...calendar.recurring.flatMap(({ start, last }) => [start, last]),
  ];
  return dates.every((date) => date === undefined || dayOfDate(date) !== null);
}
