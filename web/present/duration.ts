/**
 * Durations as people in a shop write them: "3 h 40", "40 min", "6 d 4 h" - and read back what they type.
 * Whole minutes in and out; seconds only for times per piece. Units are always shown: "03:40" could be a clock time.
 */

const HOUR = 60;
const DAY = 1440;
/** From here on days are easier to read than hours. */
const DAYS_FROM = 100 * HOUR;

export function durationText(minutes: number): string {
  const sign = minutes < 0 ? "\u2212" : "";
  const size = Math.abs(minutes);
  if (size < HOUR) return `${sign}${size} min`;
  if (size >= DAYS_FROM) {
    const days = Math.floor(size / DAY);
    const hours = Math.floor((size % DAY) / HOUR);
    const rest = size % HOUR;
    return `${sign}${days} d${hours > 0 || rest > 0 ? ` ${hours} h` : ""}${rest > 0 ? ` ${String(rest).padStart(2, "0")}` : ""}`;
  }
  const rest = size % HOUR;
  return `${sign}${Math.floor(size / HOUR)} h${rest > 0 ? ` ${String(rest).padStart(2, "0")}` : ""}`;
}

/** Always with a sign: "+6 h 40". */
export const differenceText = (minutes: number): string => (minutes > 0 ? `+${durationText(minutes)}` : durationText(minutes));

const UNITS: Readonly<Record<string, number>> = { w: 7 * DAY, d: DAY, h: HOUR, m: 1, min: 1 };

/**
 * Minutes of "3 h 40", "3h40", "3:40", "2.5 h", "1 d 4 h", "90 min" or plain "90" (minutes); null when it is none of them
 * or not a whole number of minutes.
 */
export function parseDuration(text: string): number | null {
  const clean = text.trim().toLowerCase().replace(/,/g, ".");
  if (clean === "") return null;
  const clock = /^(\d+):([0-5]\d)$/.exec(clean);
  if (clock) return Number(clock[1]) * HOUR + Number(clock[2]);
  if (/^\d+$/.test(clean)) return Number(clean);
  let rest = clean;
  let total = 0;
  let lastUnit = Number.POSITIVE_INFINITY;
  while (rest !== "") {
    const part = /^(\d+(?:\.\d+)?)\s*(weeks?|w|days?|d|hours?|h|minutes?|mins?|m)?\.?\s*/.exec(rest);
    if (!part) return null;
    const amount = Number(part[1]);
    const word = part[2];
    // "3 h 40": a bare number after hours means minutes.
    const unit =
      word === undefined ? (lastUnit === HOUR ? 1 : null) : (UNITS[word.startsWith("min") ? "min" : word.charAt(0)] ?? null);
    if (unit === null || unit >= lastUnit) return null;
    total += amount * unit;
    lastUnit = unit;
    rest = rest.slice(part[0].length);
  }
  return Number.isInteger(total) ? total : null;
}

export function secondsText(seconds: number): string {
  const minutes = Math.floor(seconds / 60);
  const rest = seconds % 60;
  if (rest === 0) return durationText(minutes);
  return minutes === 0 ? `${rest} s` : `${durationText(minutes)}${minutes >= HOUR && minutes % HOUR > 0 ? " min" : ""} ${rest} s`;
}

/** Seconds of "4 min 30 s", "90 s" or anything parseDuration reads; null when it is none. */
export function parseSeconds(text: string): number | null {
  const match = /^(.*?)(\d+)\s*(?:s|sec|seconds?)$/.exec(text.trim().toLowerCase());
  if (!match) {
    const minutes = parseDuration(text);
    return minutes === null ? null : minutes * 60;
  }
  const before = (match[1] ?? "").trim();
  const minutes = before === "" ? 0 : parseDuration(/\d$/.test(before) ? `${before} min` : before);
  return minutes === null ? null : minutes * 60 + Number(match[2]);
}
