/**
 * Calendars as people write them, in the site's wall-clock time. Compiled once (compile.ts) into
 * minute intervals and step functions; nothing after that knows a time zone.
 *
 * A day is decided by the first of these that speaks of it: a dated exception (later ones in the list win),
 * a recurring rule (later ones win), the weekly pattern. An entry belongs to the day on which it begins;
 * one whose `until` is not after its `from` ends on the next day (22:00-06:00).
 */
import type { Flavour } from "../ground/flavour.ts";

export type CalendarId = Flavour<string, "calendar">;

/** `HH:MM`, 00:00 to 24:00 (24:00 only as an end). */
export type WallTime = Flavour<string, "wall time">;
/** `YYYY-MM-DD` in the site's zone. */
export type CalendarDate = Flavour<string, "date">;
/** ISO weekday, Monday = 1 to Sunday = 7. */
export type Weekday = 1 | 2 | 3 | 4 | 5 | 6 | 7;

export type CalendarEntry = {
  readonly name?: string | undefined;
  readonly from: WallTime;
  readonly until: WallTime;
  /** Breaks take the headcount away (and close a machine), not the presence. Same wall-clock rules as the entry. */
  readonly breaks?: readonly { readonly from: WallTime; readonly until: WallTime }[] | undefined;
  /** Headcount in hundredths of a person; absent: the crew's own. Ignored by machines. */
  readonly people?: number | undefined;
  /** Night, weekend and other hours that cost extra (the cost part `unsocial`). */
  readonly unsocial?: boolean | undefined;
};

export type WeeklyEntry = CalendarEntry & { readonly days: readonly Weekday[] };

/** What a special day holds instead of the weekly pattern: nothing (closed) or other entries. */
export type DayContent = { readonly closed: true } | { readonly entries: readonly CalendarEntry[] };

/** One date, or all dates `date`..`last` (both included). */
export type CalendarException = {
  readonly name?: string | undefined;
  readonly date: CalendarDate;
  readonly last?: CalendarDate | undefined;
  readonly content: DayContent;
};

/**
 * A repeating special day. `day`/`week`: every n days or weeks counted from `start`;
 * `month`: the start's day of the month, or its nth weekday (`nth` 1-5, or -1 for the last) when `nth` is given;
 * `year`: the start's month and day (29 February only in leap years).
 */
export type RecurringRule = {
  readonly name?: string | undefined;
  readonly start: CalendarDate;
  readonly every: number;
  readonly unit: "day" | "week" | "month" | "year";
  readonly nth?: number | undefined;
  readonly last?: CalendarDate | undefined;
  readonly count?: number | undefined;
  readonly content: DayContent;
};

export type CalendarSpecification = {
  readonly id: CalendarId;
  readonly name: string;
  readonly weekly: readonly WeeklyEntry[];
  readonly exceptions: readonly CalendarException[];
  readonly recurring: readonly RecurringRule[];
};
