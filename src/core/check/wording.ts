/**
 * Words for people: days and times on the site's wall clock, durations, amounts, names of work. Used in conflict
 * sentences only; nothing is computed from them. Pure: reads no clock, the zone is the problem's.
 */
import type { Interval, Minute } from "../calendar/minute.ts";
import type { Operation, PhaseKind } from "../orders/operation.ts";
import type { Problem } from "../problem/problem.ts";

/** A minute as "Thu 20:20", with the date where the weekday alone would be unclear. */
export type SayMinute = (minute: Minute) => string;

/** A weekday alone is clear from a day before now to six days after. */
const WEEKDAY_CLEAR_BEFORE = 1440;
const WEEKDAY_CLEAR_AFTER = 6 * 1440;

export function sayMinutes(problem: Pick<Problem, "zone" | "origin" | "now">): SayMinute {
  const format = new Intl.DateTimeFormat("en-GB", {
    timeZone: problem.zone,
    weekday: "short",
    day: "numeric",
    month: "short",
    hour: "2-digit",
    minute: "2-digit",
    hourCycle: "h23",
  });
  const origin = Date.parse(problem.origin);
  return (minute) => {
    const part = new Map(format.formatToParts(origin + minute * 60_000).map(({ type, value }) => [type, value]));
    const clear = minute >= problem.now - WEEKDAY_CLEAR_BEFORE && minute < problem.now + WEEKDAY_CLEAR_AFTER;
    const day = clear ? part.get("weekday") : `${part.get("weekday")} ${part.get("day")} ${part.get("month")}`;
    return `${day} ${part.get("hour")}:${part.get("minute")}`;
  };
}

/** "40 min", "3 h 40", "5 d 2 h". */
export function sayDuration(minutes: Minute): string {
  if (minutes < 60) return `${minutes} min`;
  const days = minutes >= 72 * 60 ? Math.floor(minutes / 1440) : 0;
  const hours = Math.floor((minutes - days * 1440) / 60);
  const rest = minutes % 60;
  const words = [
    days > 0 ? `${days} d` : "",
    hours > 0 ? `${hours} h` : "",
    rest > 0 ? (hours > 0 ? `${String(rest).padStart(2, "0")}` : `${rest} min`) : "",
  ];
  return words.filter((word) => word !== "").join(" ");
}

/** Hundredths of a person: "half a person", "1 person", "2.4 people". */
export function sayPeople(hundredths: number): string {
  if (hundredths === 50) return "half a person";
  if (hundredths === 100) return "1 person";
  const whole = Math.floor(hundredths / 100);
  const rest = hundredths % 100;
  const digits = rest === 0 ? "" : `.${String(rest).padStart(2, "0").replace(/0$/, "")}`;
  return `${whole}${digits} people`;
}

/** Phases as sentences begin with them. */
export const sayPhase = (kind: PhaseKind): string => ({ prepare: "Prepare", run: "Run", clear: "Clear" })[kind];

/** "a, b and c". */
export function sayList(words: readonly string[]): string {
  if (words.length < 2) return words.join("");
  return `${words.slice(0, -1).join(", ")} and ${words.at(-1)}`;
}

/** More names than this are counted instead of listed. */
const NAMES_MAX = 5;

/** Operation and order: "Hard turning (Rotor R14)". */
export const sayOperation = (operation: Operation, order: { readonly name: string } | undefined): string =>
  order === undefined ? operation.name : `${operation.name} (${order.name})`;

export const sayNames = (names: readonly string[]): string =>
  names.length <= NAMES_MAX ? sayList(names) : `${names.slice(0, NAMES_MAX).join(", ")} and ${names.length - NAMES_MAX} more`;

/** "from Thu 20:20 to Fri 06:00". */
export const sayInterval = (say: SayMinute, [start, end]: Interval): string => `from ${say(start)} to ${say(end)}`;
