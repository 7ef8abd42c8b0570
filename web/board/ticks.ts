/**
 * Marks of the time axis, placed by the wall clock of the site. On the two clock-change days an hour appears twice or not at all,
 * and days are 23 or 25 hours long: no tick is ever placed by adding 24 h to another.
 * Pure; results per day are remembered, because asking a zone for its offset is slow.
 */
import { partsOfDay, type WallClock } from "../../src/core/calendar/wall-clock.ts";

export type Tick = {
  readonly minute: number;
  /** Minutes after 00:00 on the wall clock; 0 for days and coarser. */
  readonly shown: number;
  readonly day: number;
};

export type TickUnit =
  | { readonly kind: "minutes"; readonly step: number }
  | { readonly kind: "days" }
  | { readonly kind: "weeks" }
  | { readonly kind: "months" };

export type TickSource = {
  /** All marks of a unit with start <= minute < end. */
  ticks(unit: TickUnit, start: number, end: number): readonly Tick[];
  /** The minute at which a day number begins. */
  dayStart(day: number): number;
  dayAt(minute: number): number;
};

const MINUTE_STEPS = [1, 5, 10, 15, 30, 60, 120, 180, 360, 720] as const;

/** The finest unit whose marks stay so many pixels apart: clock times, names of days, dates of weeks need different room. */
export function unitFor(scale: number, room: number, dayRoom = room, weekRoom = room): TickUnit {
  for (const step of MINUTE_STEPS) if (step * scale >= room) return { kind: "minutes", step };
  if (1440 * scale >= dayRoom) return { kind: "days" };
  return 7 * 1440 * scale >= weekRoom ? { kind: "weeks" } : { kind: "months" };
}

/** One unit up: what is written above the marks. */
export function unitAbove(unit: TickUnit): TickUnit {
  if (unit.kind === "minutes") return { kind: "days" };
  return unit.kind === "days" ? { kind: "weeks" } : { kind: "months" };
}

export function tickSource(clock: WallClock): TickSource {
  const starts = new Map<number, number>();
  const inDay = new Map<string, readonly Tick[]>();
  const dayStart = (day: number): number => {
    let start = starts.get(day);
    if (start === undefined) {
      start = clock.minuteAt(day, 0);
      starts.set(day, start);
    }
    return start;
  };
  const anchor = clock.shownAt(0).day;
  /** By remembered day starts: a day is within one of the day counted in steps of 24 hours. */
  const dayAt = (minute: number): number => {
    let day = anchor + Math.floor((minute - dayStart(anchor)) / 1440);
    while (dayStart(day) > minute) day--;
    while (dayStart(day + 1) <= minute) day++;
    return day;
  };
  /** Walks the elapsed minutes of one day and keeps those at which the wall clock shows a multiple of the step. */
  const ticksOfDay = (day: number, step: number): readonly Tick[] => {
    const key = `${day}/${step}`;
    const known = inDay.get(key);
    if (known) return known;
    const out: Tick[] = [];
    const first = dayStart(day);
    const next = dayStart(day + 1);
    const plain = next - first === 1440;
    for (let minute = first; minute < next; minute += plain ? step : Math.min(step, 30)) {
      const shown = plain ? minute - first : clock.shownAt(minute).minutes;
      if (shown % step === 0) out.push({ minute, shown, day });
    }
    inDay.set(key, out);
    return out;
  };
  return {
    dayStart,
    dayAt,
    ticks(unit, start, end) {
      const out: Tick[] = [];
      const last = dayAt(end);
      for (let day = dayAt(start); day <= last; day++) {
        if (unit.kind === "minutes") {
          for (const tick of ticksOfDay(day, unit.step)) if (tick.minute >= start && tick.minute < end) out.push(tick);
          continue;
        }
        if (unit.kind !== "days") {
          const parts = partsOfDay(day);
          if (unit.kind === "weeks" ? parts.weekday !== 1 : parts.date !== 1) continue;
        }
        const minute = dayStart(day);
        if (minute >= start && minute < end) out.push({ minute, shown: 0, day });
      }
      return out;
    },
  };
}
