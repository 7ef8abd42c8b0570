/**
 * Moments of a file as plan minutes: a minute number, a local date or date and time, or an instant with offset.
 * A date alone is its 00:00 as a begin and its 24:00 as an end (the planning problem, section 1).
 */

import type { Minute } from "../../core/calendar/minute.ts";
import { dayOfDate, minutesOfWallTime, type WallClock } from "../../core/calendar/wall-clock.ts";
import { err, ok, type Result } from "../../core/ground/result.ts";
import { MOMENT_EXPECTED, type Moment } from "./field.ts";

/** What a date without a time means. */
export type Side = "begin" | "end";

/** The plan minute, or what is wrong with the moment. */
export function minuteOfMoment(moment: Moment, side: Side, clock: WallClock): Result<Minute, string> {
  if (typeof moment === "number") return ok(moment);
  const [date = "", time] = moment.split("T");
  const day = dayOfDate(date);
  if (day === null) return err(`there is no date ${date}; expected ${MOMENT_EXPECTED}`);
  if (time === undefined) return ok(clock.minuteAt(day, side === "begin" ? 0 : 1440));
  const minutes = minutesOfWallTime(time.slice(0, 5));
  if (minutes === null) return err(`there is no time ${time.slice(0, 5)}; expected HH:MM from 00:00 to 24:00`);
  const offset = time.slice(5).replace(/^:00/, "");
  if (offset === "") return ok(clock.minuteAt(day, minutes));
  const ahead = offsetMinutes(offset);
  if (ahead === null) return err(`there is no offset ${offset} from UTC; expected Z or one from -14:00 to +14:00`);
  return ok(clock.minuteOfInstant((day * 1440 + minutes - ahead) * 60_000));
}

function offsetMinutes(text: string): number | null {
  if (text === "Z") return 0;
  const hours = Number(text.slice(1, 3));
  const minutes = Number(text.slice(4, 6));
  if (hours * 60 + minutes > 14 * 60 || minutes > 59) return null;
  return (text.startsWith("-") ? -1 : 1) * (hours * 60 + minutes);
}
