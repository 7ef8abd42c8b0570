/**
 * A slow second opinion on compiled calendars. It shares no code with the compiler and no time-zone arithmetic: it writes down
 * what Intl shows on the wall clock at every minute of the stretch, finds each begin and end in that list, and enumerates
 * recurring dates forward one by one. A time that the list never shows is counted on from the minute before the jump, as if the
 * clock had gone on (RFC 5545, section 3.3.5: the offset before the gap); of two showings the first counts (same section).
 */
import type {
  CalendarEntry,
  CalendarSpecification,
  DayContent,
  RecurringRule,
} from "../../../src/core/calendar/specification.ts";

const LEAD = 14 * 1440;
const MARGIN = 3 * 1440;

export type Shown = {
  readonly zone: string;
  readonly origin: string;
  readonly horizon: number;
  readonly first: ReadonlyMap<string, number>;
  readonly list: readonly string[];
  /** The dates in it, in their order. */
  readonly dates: readonly string[];
};

/** `YYYY-MM-DD HH:MM` for every minute from the lead to the horizon and some days around. */
export function shownMinutes(zone: string, origin: string, horizon: number): Shown {
  const format = new Intl.DateTimeFormat("sv-SE", { timeZone: zone, dateStyle: "short", timeStyle: "short" });
  const start = Date.parse(origin);
  const list: string[] = [];
  const first = new Map<string, number>();
  for (let minute = -LEAD - MARGIN; minute < horizon + MARGIN; minute += 1) {
    const text = format.format(start + minute * 60_000);
    if (!first.has(text)) first.set(text, minute);
    list.push(text);
  }
  return { zone, origin, horizon, first, list, dates: [...new Set(list.map((text) => text.slice(0, 10)))] };
}

const asUtc = (text: string): number => Date.parse(`${text.replace(" ", "T")}Z`) / 60_000;
const nextDate = (date: string, days = 1): string =>
  new Date(Date.parse(`${date}T00:00Z`) + days * 86_400_000).toISOString().slice(0, 10);

/** The minute at which the wall clock first shows that date and time; 24:00 is 00:00 of the next date. */
export function minuteShown(shown: Shown, date: string, time: string): number | null {
  if (time === "24:00") return minuteShown(shown, nextDate(date), "00:00");
  const wanted = `${date} ${time}`;
  const direct = shown.first.get(wanted);
  if (direct !== undefined) return direct;
  for (let i = 0; i + 1 < shown.list.length; i += 1) {
    const before = shown.list[i] as string;
    if (before < wanted && (shown.list[i + 1] as string) > wanted) return i - LEAD - MARGIN + asUtc(wanted) - asUtc(before);
  }
  return null;
}

/** The dates of a recurring rule up to a date, enumerated from its start. */
export function datesOf(rule: RecurringRule, until: string): ReadonlySet<string> {
  const out: string[] = [];
  const limit = rule.last !== undefined && rule.last < until ? rule.last : until;
  const [year, month, day] = rule.start.split("-").map(Number) as [number, number, number];
  const daysIn = (y: number, m: number): number => new Date(Date.UTC(y, m, 0)).getUTCDate();
  const text = (y: number, m: number, d: number): string => `${y}-${String(m).padStart(2, "0")}-${String(d).padStart(2, "0")}`;
  const weekday = new Date(`${rule.start}T00:00Z`).getUTCDay();
  for (let step = 0; out.length < (rule.count ?? 1e9); step += 1) {
    let candidate: string | null;
    if (rule.unit === "day") candidate = nextDate(rule.start, step * rule.every);
    else if (rule.unit === "week") candidate = nextDate(rule.start, step * rule.every * 7);
    else {
      const months = rule.unit === "year" ? step * rule.every * 12 : step * rule.every;
      const y = year + Math.floor((month - 1 + months) / 12);
      const m = ((month - 1 + months) % 12) + 1;
      if (text(y, m, 1) > limit) break;
      candidate = day <= daysIn(y, m) ? text(y, m, day) : null;
      if (rule.unit === "month" && rule.nth !== undefined) {
        const fitting: string[] = [];
        for (let d = 1; d <= daysIn(y, m); d += 1)
          if (new Date(Date.UTC(y, m - 1, d)).getUTCDay() === weekday) fitting.push(text(y, m, d));
        candidate = fitting.at(rule.nth === -1 ? -1 : rule.nth - 1) ?? null;
      }
    }
    if (candidate === null || candidate < rule.start) continue;
    if (candidate > limit) break;
    out.push(candidate);
  }
  return new Set(out);
}

/** One entry a minute, from the lead (14 days before the origin) to the horizon. Yes is 1. */
export type MinuteByMinute = {
  readonly open: Uint8Array;
  readonly onShift: Uint8Array;
  readonly unsocial: Uint8Array;
  /** Hundredths of a person at work. */
  readonly people: Int32Array;
  /** The same, with those who have a break. */
  readonly inShift: Int32Array;
};

/** `own` is the headcount of entries that name none. */
export function minutesOf(specification: CalendarSpecification, shown: Shown, own: number): MinuteByMinute {
  const length = LEAD + shown.horizon;
  const out: MinuteByMinute = {
    open: new Uint8Array(length),
    onShift: new Uint8Array(length),
    unsocial: new Uint8Array(length),
    people: new Int32Array(length),
    inShift: new Int32Array(length),
  };
  const { dates } = shown;
  const recurring = specification.recurring.map((rule) => ({ rule, dates: datesOf(rule, dates.at(-1) as string) }));
  const held = (content: DayContent): readonly CalendarEntry[] => ("closed" in content ? [] : content.entries);
  for (const date of dates.slice(0, -1)) {
    let entries: readonly CalendarEntry[] = specification.weekly.filter((entry) =>
      entry.days.includes((new Date(`${date}T00:00Z`).getUTCDay() || 7) as 1),
    );
    for (const { rule, dates: on } of recurring) if (on.has(date)) entries = held(rule.content);
    for (const exception of specification.exceptions)
      if (exception.date === date || (exception.last !== undefined && exception.date <= date && date <= exception.last))
        entries = held(exception.content);
    for (const entry of entries) {
      const start = minuteShown(shown, date, entry.from);
      const end = minuteShown(shown, entry.until > entry.from ? date : nextDate(date), entry.until);
      if (start === null || end === null) continue;
      const breaks = (entry.breaks ?? []).map((pause) => {
        const on = pause.from < entry.from ? nextDate(date) : date;
        return [
          minuteShown(shown, on, pause.from),
          minuteShown(shown, pause.until > pause.from ? on : nextDate(on), pause.until),
        ] as const;
      });
      for (let minute = start; minute < end; minute += 1) {
        const at = minute + LEAD;
        if (at < 0 || at >= length) continue;
        const people = entry.people ?? own;
        const paused = breaks.some(([from, until]) => from !== null && until !== null && from <= minute && minute < until);
        out.onShift[at] = 1;
        out.inShift[at] = (out.inShift[at] as number) + people;
        if (entry.unsocial === true && people > 0) out.unsocial[at] = 1;
        if (paused) continue;
        out.open[at] = 1;
        out.people[at] = (out.people[at] as number) + people;
      }
    }
  }
  return out;
}
