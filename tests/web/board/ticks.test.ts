/**
 * Marks of the axis in Europe/Berlin over both clock changes. Published dates: summer time begins 29 March 2026 at 01:00 UTC and ends
 * 25 October 2026 at 01:00 UTC (Directive 2000/84/EC, articles 2 and 3: last Sunday in March and in October).
 */
import { describe, expect, test } from "vitest";
import { wallClock } from "../../../src/core/calendar/wall-clock.ts";
import { tickSource, unitAbove, unitFor } from "../../../web/board/ticks.ts";

const hours = (origin: string, step: number) => {
  const clock = wallClock("Europe/Berlin", origin);
  const source = tickSource(clock);
  const day = source.dayAt(0);
  const start = source.dayStart(day);
  const end = source.dayStart(day + 1);
  return { length: end - start, ticks: source.ticks({ kind: "minutes", step }, start, end) };
};

describe("ticks over a clock change", () => {
  test("in spring the day has 23 hours and 02 does not appear", () => {
    const { length, ticks } = hours("2026-03-28T23:00:00Z", 60);
    expect(length).toBe(23 * 60);
    expect(ticks.map(({ shown }) => shown / 60)).toEqual([
      0, 1, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 21, 22, 23,
    ]);
    expect(ticks[2]?.minute).toBe(120);
  });

  test("in autumn the day has 25 hours and 02 appears twice, an hour apart", () => {
    const { length, ticks } = hours("2026-10-24T22:00:00Z", 60);
    expect(length).toBe(25 * 60);
    const twos = ticks.filter(({ shown }) => shown === 120).map(({ minute }) => minute);
    expect(twos).toEqual([120, 180]);
    expect(ticks).toHaveLength(25);
  });

  test("coarser steps stand on the wall clock, not on multiples of elapsed time", () => {
    expect(hours("2026-03-28T23:00:00Z", 360).ticks.map(({ minute, shown }) => [minute, shown])).toEqual([
      [0, 0],
      [300, 360],
      [660, 720],
      [1020, 1080],
    ]);
  });

  test("days, weeks and months begin at the local midnight on both sides of a change", () => {
    const clock = wallClock("Europe/Berlin", "2026-03-22T23:00:00Z");
    const source = tickSource(clock);
    const days = source.ticks({ kind: "days" }, 0, 10 * 1440).map(({ minute }) => minute);
    expect(days.slice(5, 8)).toEqual([7200, 8640, 8640 + 1380]);
    const weeks = source.ticks({ kind: "weeks" }, 0, 15 * 1440).map(({ minute }) => minute);
    expect(weeks).toEqual([0, 7 * 1440 - 60, 14 * 1440 - 60]);
    const months = source.ticks({ kind: "months" }, 0, 60 * 1440);
    expect(months.map(({ minute }) => clock.shownAt(minute).minutes)).toEqual([0, 0]);
  });

  test("the day of a minute is the one the wall clock shows, all year round", () => {
    const clock = wallClock("Europe/Berlin", "2026-01-05T09:30:00Z");
    const source = tickSource(clock);
    for (let minute = -20_000; minute < 400_000; minute += 727) expect(source.dayAt(minute)).toBe(clock.shownAt(minute).day);
  });

  test("the unit is the finest whose marks keep their room", () => {
    expect(unitFor(1, 34)).toEqual({ kind: "minutes", step: 60 });
    expect(unitFor(100 / 1440, 34, 66, 48)).toEqual({ kind: "minutes", step: 720 });
    expect(unitFor(60 / 1440, 34, 66, 48)).toEqual({ kind: "weeks" });
    expect(unitFor(5 / 1440, 34, 66, 48)).toEqual({ kind: "months" });
    expect(unitAbove({ kind: "minutes", step: 5 })).toEqual({ kind: "days" });
  });
});
