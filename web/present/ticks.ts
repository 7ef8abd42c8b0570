/**
 * Ticks of a time axis in the site's zone. Steps of a day and more follow the wall clock, so that midnights stay midnights
 * across clock changes; below a day they count on from the day's midnight. Pure.
 */
import type { SiteTime } from "./site-time.ts";

export type Tick = { readonly minute: number; readonly label: string /** Begin of a day. */; readonly day: boolean };

const HOUR_STEPS = [60, 120, 180, 360, 720] as const;
const DAY_STEPS = [1, 2, 7, 14, 28] as const;

export function axisTicks(time: SiteTime, from: number, until: number, pixelsPerMinute: number, spacing = 62): readonly Tick[] {
  const first = time.clock.shownAt(from).day;
  const last = time.clock.shownAt(until).day;
  const hours = HOUR_STEPS.find((step) => step * pixelsPerMinute >= spacing * 0.7);
  const out: Tick[] = [];
  const add = (minute: number, label: string, day: boolean): void => {
    if (minute >= from && minute <= until) out.push({ minute, label, day });
  };
  if (hours !== undefined) {
    for (let day = first; day <= last; day += 1) {
      const midnight = time.clock.minuteAt(day, 0);
      add(midnight, time.day(midnight), true);
      for (let wall = hours; wall < 1440; wall += hours) {
        const minute = time.clock.minuteAt(day, wall);
        if (minute > midnight) add(minute, time.time(minute), false);
      }
    }
    return out;
  }
  const days = DAY_STEPS.find((step) => step * 1440 * pixelsPerMinute >= spacing) ?? DAY_STEPS[DAY_STEPS.length - 1] ?? 1;
  // Weeks begin on Mondays: day number 4 was one.
  const align = days >= 7 ? (((first - 4) % days) + days) % days : 0;
  for (let day = first - align; day <= last; day += days) {
    const midnight = time.clock.minuteAt(day, 0);
    add(midnight, time.day(midnight), true);
  }
  return out;
}
