/** Plan minutes as people say them, in the site's zone, and as instants for the database. */
import { DateTime } from "luxon";
import type { Minute } from "../../core/calendar/minute.ts";

type Clock = { readonly zone: string; readonly origin: string };

export const instantOf = ({ origin }: Pick<Clock, "origin">, minute: Minute): Date =>
  new Date(Date.parse(origin) + minute * 60_000);

/** `Mon 8 Jun 14:30`. */
export const inWords = ({ zone, origin }: Clock, minute: Minute): string =>
  DateTime.fromJSDate(instantOf({ origin }, minute), { zone }).setLocale("en-GB").toFormat("ccc d LLL HH:mm");
