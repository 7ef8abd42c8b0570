/**
 * On which days a recurring rule speaks. Days that a month or year does not have (the 31st, 29 February, a fifth Friday)
 * are skipped and do not count (the same reading as RFC 5545, section 3.3.10). Pure.
 */
import { present } from "../ground/invariant.ts";
import type { RecurringRule } from "./specification.ts";
import { type DayNumber, dayOfDate, partsOfDay } from "./wall-clock.ts";

/** A test for days; with `count` the occurrences are listed once, beforehand. */
export function occursOn(rule: RecurringRule): (day: DayNumber) => boolean {
  const start = present(dayOfDate(rule.start), `date ${rule.start}`);
  const last = rule.last === undefined ? Number.POSITIVE_INFINITY : present(dayOfDate(rule.last), `date ${rule.last}`);
  const matches = pattern(rule, start);
  const until = Math.min(
    last,
    rule.count === undefined ? Number.POSITIVE_INFINITY : lastCounted(rule, rule.count, start, matches),
  );
  return (day) => day >= start && day <= until && matches(day);
}

/** Whether a day on or after the start fits the rule, counts and ends aside. */
function pattern(rule: RecurringRule, start: DayNumber): (day: DayNumber) => boolean {
  const first = partsOfDay(start);
  switch (rule.unit) {
    case "day":
      return (day) => (day - start) % rule.every === 0;
    case "week":
      return (day) => (day - start) % (7 * rule.every) === 0;
    case "month":
      return (day) => {
        const parts = partsOfDay(day);
        const months = (parts.year - first.year) * 12 + parts.month - first.month;
        if (months % rule.every !== 0) return false;
        if (rule.nth === undefined) return parts.date === first.date;
        if (parts.weekday !== first.weekday) return false;
        return rule.nth === -1 ? partsOfDay(day + 7).month !== parts.month : Math.ceil(parts.date / 7) === rule.nth;
      };
    case "year":
      return (day) => {
        const parts = partsOfDay(day);
        return (parts.year - first.year) % rule.every === 0 && parts.month === first.month && parts.date === first.date;
      };
  }
}

/** How far ahead a counted rule is followed: 400 years hold every combination of date and weekday. */
const DAYS_AHEAD_MAX = 146_097;

/** The day of the last counted occurrence; infinite when that many do not occur. */
function lastCounted(rule: RecurringRule, count: number, start: DayNumber, matches: (day: DayNumber) => boolean): number {
  if (rule.unit === "day") return start + (count - 1) * rule.every;
  if (rule.unit === "week") return start + (count - 1) * 7 * rule.every;
  let seen = 0;
  for (let day = start; day <= start + DAYS_AHEAD_MAX; day += 1) {
    if (matches(day) && ++seen === count) return day;
  }
  return Number.POSITIVE_INFINITY;
}
