/** Durations, times of the site and ticks: what people read, and that what they type comes back as what it was. */
import fs from "node:fs";
import path from "node:path";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  chanceText,
  moneyText,
  numberText,
  parseScaled,
  percentText,
  scaledText,
  shareText,
  signedText,
} from "../../web/present/amounts.ts";
import { differenceText, durationText, parseDuration, parseSeconds, secondsText } from "../../web/present/duration.ts";
import { dateFromToday, fieldsOfMoment, momentOfFields, siteTime, weekStart } from "../../web/present/site-time.ts";
import { axisTicks } from "../../web/present/ticks.ts";

describe("figures", () => {
  test("a share has a space before its sign and a difference a true minus, everywhere the same", () => {
    expect([shareText(0.83), percentText(7.5), chanceText(0.001), chanceText(0.999)]).toEqual([
      "83\u00a0%",
      "7.5\u00a0%",
      "< 1\u00a0%",
      "> 99\u00a0%",
    ]);
    expect([signedText(3), signedText(-1234.5), signedText(0), numberText(-2)]).toEqual(["+3", "\u22121,234.5", "0", "\u22122"]);
    expect([moneyText(-40, "EUR"), differenceText(-95)]).toEqual(["\u2212€40", "\u22121 h 35"]);
  });

  test("no screen writes a share, a sign or money by itself", () => {
    const web = path.resolve(import.meta.dirname, "../../web");
    const own = /\d%(?![;"'`)])[^\d\n]*[a-z]|\}%[ ,.;)<]|NumberFormat\(|\u2212(?=\$\{)|\\u2212/;
    const writers = fs
      .readdirSync(web, { recursive: true, encoding: "utf8" })
      .filter((file) => /^(screens|words|parts|forms|board)\/.*\.tsx?$/.test(file))
      .flatMap((file) =>
        fs
          .readFileSync(path.join(web, file), "utf8")
          .split("\n")
          .filter((line) => own.test(line) && !/style|width|gradient|color-mix/.test(line))
          .map((line) => `${file}: ${line.trim()}`),
      );
    expect(writers).toEqual([]);
  });
});

describe("durations", () => {
  test("read as in a shop", () => {
    expect([0, 40, 60, 220, 3105, 6000, 14_640, 14_645].map(durationText)).toEqual([
      "0 min",
      "40 min",
      "1 h",
      "3 h 40",
      "51 h 45",
      "4 d 4 h",
      "10 d 4 h",
      "10 d 4 h 05",
    ]);
    expect([400, -95].map(differenceText)).toEqual(["+6 h 40", "\u22121 h 35"]);
    expect([90, 60, 3600, 4530].map(secondsText)).toEqual(["1 min 30 s", "1 min", "1 h", "1 h 15 min 30 s"]);
  });

  test("are understood as people type them", () => {
    const typed = ["3 h 40", "3h40", "3:40", "220", "220 min", "3 hours 40 minutes", "2,5 h", "1 d 4 h", "1 w", " 90MIN "];
    expect(typed.map(parseDuration)).toEqual([220, 220, 220, 220, 220, 220, 150, 1680, 10_080, 90]);
    expect(["", "soon", "3 h 40 h", "40 min 3 h", "1.234 h", "-5", "3:70"].map(parseDuration)).toEqual([
      null,
      null,
      null,
      null,
      null,
      null,
      null,
    ]);
  });

  test("come back as what they were", () => {
    fc.assert(fc.property(fc.integer({ min: 0, max: 5_256_000 }), (minutes) => parseDuration(durationText(minutes)) === minutes));
    fc.assert(fc.property(fc.integer({ min: 60, max: 1_000_000 }), (seconds) => parseSeconds(secondsText(seconds)) === seconds));
  });

  test("people, scrap and kelvin keep whole hundredths, tenths and thousandths", () => {
    expect([parseScaled("1.5", 100), parseScaled("0,25", 100), parseScaled("0.125", 100), parseScaled("4", 10)]).toEqual([
      150,
      25,
      null,
      40,
    ]);
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 1_000_000 }),
        fc.constantFrom(1, 10, 100, 1000),
        (value, scale) => parseScaled(scaledText(value, scale), scale) === value,
      ),
    );
  });
});

// Europe/Berlin leaves summer time on 25 October 2026 at 03:00 (EU directive 2000/84/EC: last Sunday of October, 01:00 UTC).
const ORIGIN = "2026-10-21T22:00:00Z"; // Thu 22 October, 00:00 at the site
const berlin = siteTime("Europe/Berlin", ORIGIN, 600);

describe("times of the site", () => {
  test("carry the day unless it is today, and the year never by surprise", () => {
    expect(berlin.short(620)).toBe("10:20");
    expect(berlin.short(1440 + 380)).toBe("Fri 06:20");
    expect(berlin.dayTime(0)).toBe("Thu 22 Oct 00:00");
    expect(berlin.short(20 * 1440)).toBe("Tue 10 Nov 23:00"); // 20 x 24 h later, an hour early on the wall
    expect(berlin.dueText(1440)).toBe("Thu 22 Oct 24:00");
  });

  test("weeks begin on Monday of the site, also the week in which the clocks change", () => {
    expect(berlin.dayTime(weekStart(berlin, 600))).toBe("Mon 19 Oct 00:00");
    const after = weekStart(berlin, 6 * 1440);
    expect(berlin.dayTime(after)).toBe("Mon 26 Oct 00:00");
    expect(after).toBe(4 * 1440 + 60);
  });

  test("typed dates stay dates, times stay times, minutes of a file become both", () => {
    expect(fieldsOfMoment("2026-11-02", berlin)).toEqual({ date: "2026-11-02", time: "" });
    expect(fieldsOfMoment("2026-11-02T14:30", berlin)).toEqual({ date: "2026-11-02", time: "14:30" });
    expect(fieldsOfMoment(870, berlin)).toEqual({ date: "2026-10-22", time: "14:30" });
    expect(fieldsOfMoment("2026-10-22T12:30:00Z", berlin)).toEqual({ date: "2026-10-22", time: "14:30" });
    expect([momentOfFields("2026-11-02", ""), momentOfFields("2026-11-02", "06:00"), momentOfFields("", "06:00")]).toEqual([
      "2026-11-02",
      "2026-11-02T06:00",
      null,
    ]);
    expect(berlin.minuteOf("2026-10-22", "end")).toBe(1440);
    expect(dateFromToday(berlin, 4)).toBe("2026-10-26");
  });
});

test("ticks of days stand at midnights on both sides of a clock change", () => {
  const days = axisTicks(berlin, 0, 7 * 1440, 0.1).filter(({ day }) => day);
  expect(days.map(({ minute }) => berlin.time(minute))).toEqual(Array.from({ length: 7 }, () => "00:00"));
  const wide = axisTicks(berlin, 0, 60 * 1440, 0.002);
  expect(wide.length).toBeLessThan(8);
});
