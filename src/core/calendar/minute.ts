/**
 * Planning time: whole minutes since the plan's origin. May be negative (work of before the origin).
 * Instants and time zones exist only where calendars are compiled and where people read dates.
 */
import type { Flavour } from "../ground/flavour.ts";

export type Minute = Flavour<number, "minute">;

/** Half-open [start, end): touching intervals do not overlap. */
export type Interval = readonly [start: Minute, end: Minute];

/** How far before the origin calendars are compiled, in minutes (14 days). */
export const CALENDAR_LEAD_MINUTES = 14 * 1440;
