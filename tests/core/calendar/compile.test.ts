/** The calendar compiler against the minute-by-minute oracle, and the published cases of wall-clock arithmetic. */
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { compileCalendar } from "../../../src/core/calendar/compile.ts";
import { contains, type Intervals, totalMinutes } from "../../../src/core/calendar/intervals.ts";
import { CALENDAR_LEAD_MINUTES } from "../../../src/core/calendar/minute.ts";
import type { CalendarEntry, CalendarSpecification, RecurringRule, Weekday } from "../../../src/core/calendar/specification.ts";
import { valueAt } from "../../../src/core/calendar/step-function.ts";
import { dayOfDate, localText, minutesOfWallTime, wallClock } from "../../../src/core/calendar/wall-clock.ts";
import { peopleOf } from "../../../src/core/plant/headcount.ts";
import { datesOf, minutesOf, shownMinutes } from "./minute-oracle.ts";

const WEEKS = 7 * 1440;

/** Both clock changes in the north and the south, half an hour, at midnight, a leap day, a zone without change. */
const STRETCHES = [
  { label: "Berlin, spring", zone: "Europe/Berlin", origin: "2026-03-22T23:00Z", horizon: 2 * WEEKS, around: "2026-03-29" },
  { label: "Berlin, autumn", zone: "Europe/Berlin", origin: "2026-10-18T22:00Z", horizon: 2 * WEEKS, around: "2026-10-25" },
  {
    label: "Berlin, leap day",
    zone: "Europe/Berlin",
    origin: "2028-02-20T23:00Z",
    horizon: 2 * WEEKS + 77,
    around: "2028-02-29",
  },
  { label: "Sydney, autumn", zone: "Australia/Sydney", origin: "2026-03-29T13:17Z", horizon: 2 * WEEKS, around: "2026-04-05" },
  { label: "Sydney, spring", zone: "Australia/Sydney", origin: "2026-09-27T14:00Z", horizon: 2 * WEEKS, around: "2026-10-04" },
  {
    label: "Lord Howe, half an hour",
    zone: "Australia/Lord_Howe",
    origin: "2026-04-01T13:00Z",
    horizon: WEEKS,
    around: "2026-04-05",
  },
  { label: "Santiago, at midnight", zone: "America/Santiago", origin: "2026-09-01T04:00Z", horizon: WEEKS, around: "2026-09-06" },
  { label: "UTC, end of year", zone: "UTC", origin: "2026-12-26T00:00Z", horizon: WEEKS, around: "2026-12-31" },
].map((stretch) => ({ ...stretch, shown: shownMinutes(stretch.zone, stretch.origin, stretch.horizon) }));
type Stretch = (typeof STRETCHES)[number];

const time = (minutes: number): string =>
  `${String(Math.floor(minutes / 60)).padStart(2, "0")}:${String(minutes % 60).padStart(2, "0")}`;
/** Often in the hours in which clocks change, otherwise on a raster, now and then anywhere. */
const wallMinutes = fc.oneof(
  fc.integer({ min: 0, max: 1439 }),
  fc.integer({ min: 0, max: 95 }).map((n) => n * 15),
  fc.integer({ min: 0, max: 239 }),
);

const entryArbitrary: fc.Arbitrary<CalendarEntry> = fc
  .record({
    from: wallMinutes,
    length: fc.integer({ min: 1, max: 1440 }),
    pauses: fc.array(fc.tuple(fc.nat(1439), fc.integer({ min: 1, max: 240 })), { maxLength: 2 }),
    people: fc.option(fc.constantFrom(0, 50, 100, 300), { nil: undefined }),
    unsocial: fc.boolean(),
  })
  .map(({ from, length, pauses, people, unsocial }) => {
    const end = from + length;
    const breaks = pauses
      .filter(([offset, minutes]) => offset + minutes <= length)
      .map(([offset, minutes]) => ({ from: time((from + offset) % 1440), until: time((from + offset + minutes) % 1440) }));
    return { from: time(from), until: end === 1440 ? "24:00" : time(end % 1440), breaks, people, unsocial };
  });

const contentArbitrary = fc.oneof(
  fc.constant({ closed: true } as const),
  fc.array(entryArbitrary, { minLength: 1, maxLength: 2 }).map((entries) => ({ entries })),
);
const near = (date: string, days: number) =>
  fc
    .integer({ min: -days, max: days })
    .map((offset) => new Date(Date.parse(`${date}T00:00Z`) + offset * 86_400_000).toISOString().slice(0, 10));

const ruleArbitrary = (around: string): fc.Arbitrary<RecurringRule> =>
  fc.record({
    start: near(around, 90),
    every: fc.integer({ min: 1, max: 4 }),
    unit: fc.constantFrom("day", "week", "month", "year"),
    nth: fc.option(fc.constantFrom(1, 2, 4, 5, -1), { nil: undefined }),
    last: fc.option(near(around, 12), { nil: undefined }),
    count: fc.option(fc.integer({ min: 1, max: 9 }), { nil: undefined }),
    content: contentArbitrary,
  });

const specificationArbitrary = (around: string): fc.Arbitrary<CalendarSpecification> =>
  fc.record({
    id: fc.constant("c"),
    name: fc.constant("any"),
    weekly: fc.array(
      fc
        .tuple(fc.uniqueArray(fc.integer({ min: 1, max: 7 }), { minLength: 1 }), entryArbitrary)
        .map(([days, entry]) => ({ ...entry, days: days as Weekday[] })),
      { maxLength: 3 },
    ),
    exceptions: fc.array(
      fc.record({ date: near(around, 4), days: fc.nat(3), content: contentArbitrary }).map(({ date, days, content }) => ({
        date,
        last: days === 0 ? undefined : new Date(Date.parse(`${date}T00:00Z`) + days * 86_400_000).toISOString().slice(0, 10),
        content,
      })),
      { maxLength: 3 },
    ),
    recurring: fc.array(ruleArbitrary(around), { maxLength: 2 }),
  });

/** A list of stretches as one entry a minute, from the lead to the horizon. */
function filled(list: Intervals, horizon: number): Uint8Array {
  const out = new Uint8Array(CALENDAR_LEAD_MINUTES + horizon);
  for (const [start, end] of list) out.fill(1, start + CALENDAR_LEAD_MINUTES, end + CALENDAR_LEAD_MINUTES);
  return out;
}

/** The first minutes at which compiler and oracle disagree, for each thing they say. */
function disagreements(specification: CalendarSpecification, stretch: Stretch): string[] {
  const compiled = compileCalendar(specification, stretch);
  const people = peopleOf(compiled, 200, []);
  const expected = minutesOf(specification, stretch.shown, 200);
  const headcount = new Int32Array(CALENDAR_LEAD_MINUTES + stretch.horizon);
  people.headcount.at.forEach((at, i) => void headcount.fill(people.headcount.value[i] as number, at + CALENDAR_LEAD_MINUTES));
  const pairs = {
    open: [filled(compiled.open, stretch.horizon), expected.open],
    onShift: [
      filled(
        compiled.shifts.map(({ start, end }) => [start, end]),
        stretch.horizon,
      ),
      expected.onShift,
    ],
    people: [headcount, expected.people],
    present: [filled(people.present, stretch.horizon), expected.inShift.map((amount) => (amount > 0 ? 1 : 0))],
    unsocial: [filled(people.unsocial, stretch.horizon), expected.unsocial],
  } as const;
  return Object.entries(pairs).flatMap(([what, [found, wanted]]) => {
    const at = found.findIndex((value, i) => value !== wanted[i]);
    const when = localText(wallClock(stretch.zone, stretch.origin), at - CALENDAR_LEAD_MINUTES);
    return at < 0 ? [] : [`${what} at ${when}: found ${found[at]}, expected ${wanted[at]}`];
  });
}

describe("against the minute-by-minute oracle", () => {
  for (const stretch of STRETCHES)
    test(stretch.label, () => {
      fc.assert(
        fc.property(specificationArbitrary(stretch.around), (specification) => {
          expect(disagreements(specification, stretch)).toEqual([]);
        }),
        { numRuns: 30, seed: 42 },
      );
    });

  test("nothing is open before the lead or after the horizon", () => {
    const stretch = STRETCHES[0] as Stretch;
    const always = {
      id: "c",
      name: "",
      weekly: [{ days: [1, 2, 3, 4, 5, 6, 7] as Weekday[], from: "00:00", until: "24:00" }],
      exceptions: [],
      recurring: [],
    };
    expect(compileCalendar(always, stretch).open).toEqual([[-CALENDAR_LEAD_MINUTES, stretch.horizon]]);
  });
});

test("recurring dates are those of the forward enumeration over decades", () => {
  fc.assert(
    fc.property(
      ruleArbitrary("2027-01-31"),
      fc.constantFrom("2026-01-31", "2028-02-29", "2027-03-30", undefined),
      (rule, start) => {
        const special = {
          ...rule,
          ...(start === undefined ? {} : { start }),
          last: undefined,
          content: { entries: [{ from: "12:00", until: "13:00" }] },
        };
        const expected = [...datesOf(special, "2045-12-31")].filter((date) => date >= "2044-01-01");
        const compiled = compileCalendar(
          { id: "c", name: "", weekly: [], exceptions: [], recurring: [special] },
          {
            zone: "UTC",
            origin: "2044-01-15T00:00Z",
            horizon: ((dayOfDate("2046-01-01") ?? 0) - (dayOfDate("2044-01-15") ?? 0)) * 1440,
          },
        );
        const clock = wallClock("UTC", "2044-01-15T00:00Z");
        expect(compiled.shifts.map(({ start: at }) => localText(clock, at).slice(0, 10))).toEqual(expected);
      },
    ),
    { numRuns: 150, seed: 7 },
  );
});

describe("absences", () => {
  const stretch = { zone: "UTC", origin: "2026-06-08T00:00Z", horizon: WEEKS };
  const day = {
    id: "c",
    name: "",
    weekly: [{ days: [1, 2, 3, 4, 5] as Weekday[], from: "07:00", until: "15:00", breaks: [{ from: "11:00", until: "11:30" }] }],
    exceptions: [],
    recurring: [],
  };
  const calendar = compileCalendar(day, stretch);

  test("one of two away leaves one, in breaks nobody, and the crew stays present", () => {
    const { headcount, present } = peopleOf(calendar, 200, [{ start: 600, end: 720, people: 100 }]);
    expect([599, 600, 659, 660, 690, 719, 720].map((minute) => valueAt(headcount, minute))).toEqual([
      200, 100, 100, 0, 100, 100, 200,
    ]);
    expect(contains(present, 670)).toBe(true);
  });

  test("everybody away is nobody on site; more away than there are is not less than nobody", () => {
    const { headcount, present } = peopleOf(calendar, 200, [
      { start: 600, end: 720, people: null },
      { start: 800, end: 900, people: 900 },
    ]);
    expect([599, 600, 719, 720, 850].map((minute) => valueAt(headcount, minute))).toEqual([200, 0, 0, 200, 0]);
    expect([599, 600, 719, 720, 850].map((minute) => contains(present, minute))).toEqual([true, false, false, true, false]);
    expect(headcount.value.every((people) => people >= 0)).toBe(true);
  });
});

describe("published cases of wall-clock time", () => {
  const instant = (zone: string, date: string, wall: string): string => {
    const clock = wallClock(zone, "1970-01-01T00:00Z");
    return new Date(clock.minuteAt(dayOfDate(date) ?? Number.NaN, minutesOfWallTime(wall) ?? Number.NaN) * 60_000).toISOString();
  };

  test("[T3] a time that occurs twice is the first: New York 2007-11-04T01:30 is -04:00 (RFC 5545, section 3.3.5)", () => {
    expect(instant("America/New_York", "2007-11-04", "01:30")).toBe("2007-11-04T05:30:00.000Z");
  });
  test("[T4] a time in the gap: New York 2007-03-11T02:30 means 03:30-04:00 (RFC 5545, section 3.3.5)", () => {
    expect(instant("America/New_York", "2007-03-11", "02:30")).toBe("2007-03-11T07:30:00.000Z");
  });
  test("[T5] Berlin 2026-03-29T02:30 is 03:30+02:00, 2026-10-25T02:30 is +02:00 (both rules above, IANA time zone data)", () => {
    expect(instant("Europe/Berlin", "2026-03-29", "02:30")).toBe("2026-03-29T01:30:00.000Z");
    expect(instant("Europe/Berlin", "2026-10-25", "02:30")).toBe("2026-10-25T00:30:00.000Z");
  });
  test("[T6] 24 h elapsed across both changes end at 11:00 and at 13:00 (IANA time zone data)", () => {
    const clock = wallClock("Europe/Berlin", "2026-01-01T00:00Z");
    const dayLater = (date: string): string => localText(clock, clock.minuteAt(dayOfDate(date) ?? Number.NaN, 12 * 60) + 1440);
    expect(dayLater("2026-10-24")).toBe("2026-10-25T11:00");
    expect(dayLater("2026-03-28")).toBe("2026-03-29T13:00");
  });
  test("[T7] a night 22:00-06:00 is 9 h long on 24 October and 7 h on 28 March 2026 (IANA time zone data)", () => {
    const night = {
      id: "n",
      name: "",
      weekly: [{ days: [6] as Weekday[], from: "22:00", until: "06:00" }],
      exceptions: [],
      recurring: [],
    };
    const nights = (origin: string): number[] =>
      compileCalendar(night, { zone: "Europe/Berlin", origin, horizon: 2 * WEEKS })
        .shifts.filter(({ start }) => start > 0)
        .map(({ start, end }) => end - start);
    expect(nights("2026-10-18T22:00Z")).toEqual([540, 480]);
    expect(nights("2026-03-22T23:00Z")).toEqual([420, 480]);
  });
  test("the second of two equal wall times is written with its offset, so that it can be read back", () => {
    const clock = wallClock("Europe/Berlin", "2026-10-25T00:00Z");
    expect([localText(clock, 30), localText(clock, 90), localText(clock, 150)]).toEqual([
      "2026-10-25T02:30",
      "2026-10-25T02:30+01:00",
      "2026-10-25T03:30",
    ]);
  });
});

describe("working time, shift Mon-Fri 07:00-15:00, week of Wed 2026-06-10 (arithmetic of our own)", () => {
  const worked = (breaks: { from: string; until: string }[], from: string, minutes: number): string => {
    const clock = wallClock("Europe/Berlin", "2026-06-07T22:00Z");
    const { open } = compileCalendar(
      {
        id: "c",
        name: "",
        weekly: [{ days: [1, 2, 3, 4, 5], from: "07:00", until: "15:00", breaks }],
        exceptions: [],
        recurring: [],
      },
      { zone: "Europe/Berlin", origin: "2026-06-07T22:00Z", horizon: 2 * WEEKS },
    );
    const start = clock.minuteAt(dayOfDate(from.slice(0, 10)) ?? Number.NaN, minutesOfWallTime(from.slice(11)) ?? Number.NaN);
    let end = start;
    while (
      totalMinutes(open.map(([a, b]) => [Math.max(a, start), Math.min(b, end)] as const).filter(([a, b]) => a < b)) < minutes
    )
      end += 1;
    return localText(clock, end);
  };
  test("[C1] 20 h from Wed 10:00 end on Friday at 14:00", () => {
    expect(worked([], "2026-06-10T10:00", 1200)).toBe("2026-06-12T14:00");
  });
  test("[C2] with a daily break 11:00-11:30 they end on Monday at 07:30", () => {
    expect(worked([{ from: "11:00", until: "11:30" }], "2026-06-10T10:00", 1200)).toBe("2026-06-15T07:30");
  });
});
