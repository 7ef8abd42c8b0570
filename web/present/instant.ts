/** An instant of the server ("2026-11-26T10:00:00Z") on the site's wall clock. */
import { LOCALE } from "./locale.ts";

export const instantText = (instant: string, zone: string): string =>
  new Intl.DateTimeFormat(LOCALE, { dateStyle: "medium", timeStyle: "short", timeZone: zone }).format(new Date(instant));
