/** What Load, Stations, the order page and the calendar preview make of a problem and a plan, on small ones worked out by hand. */
import { describe, expect, test } from "vitest";
import type { PlanView } from "../../src/contract/api/plan.ts";
import { calendarSchema } from "../../src/contract/file/calendar-schema.ts";
import { readProblemFile } from "../../src/contract/problem-file.ts";
import type { Plan } from "../../src/core/problem/plan.ts";
import type { Problem } from "../../src/core/problem/problem.ts";
import { segmentsOfLot } from "../../web/present/segments.ts";
import { siteTime } from "../../web/present/site-time.ts";
import { loadOf } from "../../web/screens/load/load-model.ts";
import { lateMinutes, orderTimeline } from "../../web/screens/orders/order-timeline.ts";
import { previewWeeks } from "../../web/screens/setup/calendar-preview.ts";
import { stationEntries } from "../../web/screens/stations/station-model.ts";

const WEEK = 7 * 1440;

/** Monday 5 January 2026; one shift 07:00-15:00; wire-cut prepared 60, runs 600 alone, cleared 30 (problem, section 8, example 4). */
function problemOf(more: object = {}): Problem {
  const read = readProblemFile({
    format: "slotwright-problem",
    version: 1,
    name: "Small",
    origin: "2026-01-05",
    horizon: "2026-01-31",
    calendars: [{ id: "day", weekly: [{ days: [1, 2, 3, 4, 5], from: "07:00", until: "15:00" }] }],
    machines: [
      { id: "wire", calendar: null, unattended: { kind: "allowed" } },
      { id: "press", calendar: "day" },
    ],
    crews: [{ id: "fitters", calendar: "day", skills: ["fit"] }],
    supplies: [{ id: "dc", unit: "kW", amount: 300 }],
    kits: [{ id: "jaws", count: 2 }],
    orders: [
      {
        id: "1",
        due: 2000,
        operations: [
          {
            id: "1/10",
            name: "Cut",
            kits: [{ kit: "jaws", count: 1 }],
            modes: [
              {
                id: "wire",
                machines: ["wire"],
                phases: [
                  { kind: "prepare", flow: "solid", work: { kind: "fixed", minutes: 60 }, needs: [{ skill: "fit" }] },
                  { kind: "run", flow: "solid", work: { kind: "fixed", minutes: 600 }, draws: [{ supply: "dc", amount: 90 }] },
                  { kind: "clear", flow: "solid", work: { kind: "fixed", minutes: 30 }, needs: [{ skill: "fit", amount: 50 }] },
                ],
              },
            ],
          },
          {
            id: "1/20",
            name: "Fit",
            modes: [
              {
                id: "press",
                machines: ["press"],
                phases: [{ kind: "run", flow: "pausable", work: { kind: "fixed", minutes: 600 }, needs: [{ skill: "fit" }] }],
              },
            ],
          },
        ],
      },
    ],
    ...more,
  });
  if (!read.ok) throw new Error(JSON.stringify(read.error));
  return read.value;
}

const cut = {
  operation: "1/10",
  lots: [
    {
      mode: "wire",
      pieces: 1,
      start: 810,
      end: 1890,
      phases: [
        { phase: 0, work: [[810, 870]], crews: ["fitters"] },
        { phase: 1, work: [[870, 1470]], crews: [] },
        { phase: 2, work: [[1860, 1890]], crews: ["fitters"] },
      ],
    },
  ],
} as const;
const fit = {
  operation: "1/20",
  lots: [
    {
      mode: "press",
      pieces: 1,
      start: 2200,
      end: 3760,
      phases: [
        {
          phase: 0,
          work: [
            [2200, 2340],
            [3300, 3760],
          ],
          crews: ["fitters"],
        },
      ],
    },
  ],
} as const;
const plan: Plan = { operations: [cut, fit] };

function viewOf(problem: Problem, draft: Plan): PlanView {
  const zero = {
    tardiness: 0,
    disturbance: 0,
    waiting: 0,
    setup: 0,
    unsocial: 0,
    flow: 0,
    makespan: 0,
    maxLateness: 0,
    lateOrders: 0,
  };
  const view = {
    problem,
    published: null,
    draft: { revision: 1, canUndo: false, canRedo: false, basedOn: null, plan: draft, note: "" },
    check: {
      conflicts: [
        {
          kind: "notPlanned",
          operations: ["1/20"],
          resource: null,
          interval: [0, 0],
          amount: 0,
          sentence: "Fit is not planned.",
        },
      ],
      cost: { parts: zero, total: 0 },
    },
  };
  return view as unknown as PlanView; // the schema's lists are mutable, the core's are not
}

test("a lot is a row of stretches without a gap: work, waiting between phases, pauses within one", () => {
  const problem = problemOf();
  const mode = problem.operations[0]?.modes[0];
  if (!mode) throw new Error("no mode");
  expect(segmentsOfLot(cut.lots[0], mode).map(({ kind, start, end }) => `${kind} ${start}-${end}`)).toEqual([
    "setup 810-870",
    "unattended 870-1470",
    "waiting 1470-1860",
    "unload 1860-1890",
  ]);
});

describe("load", () => {
  const load = loadOf(problemOf(), plan, [
    { start: 0, end: WEEK },
    { start: WEEK, end: 2 * WEEK },
  ]);

  test("adds up to the week, for every machine", () => {
    for (const machine of load.machines) {
      for (const week of machine.weeks)
        expect(week.setup + week.attended + week.unattended + week.waiting + week.free + week.closed).toBe(WEEK);
    }
  });

  test("counts what the wire-cut machine did by hand, alone and waiting", () => {
    expect(load.machines[0]?.weeks[0]).toMatchObject({
      setup: 60,
      attended: 30,
      unattended: 600,
      waiting: 390,
      open: WEEK,
      closed: 0,
    });
    expect(load.machines[0]?.weeks[0]?.share).toBeCloseTo(1080 / WEEK, 12);
  });

  test("says no share for a week in which a machine never opens, and counts occupation beyond opening hours", () => {
    const press = load.machines[1]?.weeks[0];
    expect(press).toMatchObject({ open: 2400, attended: 600, waiting: 960 });
    expect(press?.share).toBeCloseTo(1560 / 2400, 12);
    const closed = loadOf(problemOf(), plan, [{ start: 5 * 1440, end: 7 * 1440 }]).machines[1]?.weeks[0];
    expect(closed).toMatchObject({ open: 0, share: null, closed: 2 * 1440 });
  });

  test("weighs people in hundredths and finds the highest draw", () => {
    expect(load.crews[0]?.weeks[0]).toEqual({ needed: 100 * 60 + 50 * 30 + 100 * 600, there: 100 * 2400 });
    expect(load.supplies[0]?.weeks.map(({ peak, at, there }) => [peak, at, there])).toEqual([
      [90, 870, 300],
      [0, null, 300],
    ]);
  });

  test("two draws side by side are one peak", () => {
    const twice: Plan = { operations: [cut, { ...cut, operation: "1/10" }] };
    expect(loadOf(problemOf(), twice, [{ start: 0, end: WEEK }]).supplies[0]?.weeks[0]).toEqual({
      peak: 180,
      at: 870,
      there: 300,
    });
  });
});

describe("an order's standing", () => {
  test("ends with its last operation and is late against its due minute", () => {
    const timeline = orderTimeline(viewOf(problemOf(), plan), "1");
    if (!timeline) throw new Error("no order");
    expect(timeline.completion).toBe(3760);
    expect(lateMinutes(timeline)).toBe(1760);
    expect(timeline.rows.map(({ start, end, waiting }) => [start, end, waiting])).toEqual([
      [810, 1890, 390],
      [2200, 3760, 960],
    ]);
  });

  test("has no end while a part of it is not planned, and does not call that a conflict", () => {
    const timeline = orderTimeline(viewOf(problemOf(), { operations: [cut] }), "1");
    expect(timeline?.completion).toBeNull();
    expect(timeline?.conflicts).toEqual([]);
    expect(timeline?.rows[1]?.lots).toEqual([]);
    expect(orderTimeline(viewOf(problemOf(), plan), "none")).toBeNull();
  });
});

describe("a station's list", () => {
  test("shows the published plan, not the draft, with steps, people and what to fetch", () => {
    const published = problemOf({ published: { operations: [cut] } });
    const [entry, ...rest] = stationEntries(viewOf(published, { operations: [] }), "wire");
    expect(rest).toEqual([]);
    expect(entry).toMatchObject({ start: 810, end: 1890, running: false, overdue: false, fetch: ["jaws", "dc 90 kW"] });
    expect(entry?.steps.map(({ kind, start, crews }) => [kind, start, crews])).toEqual([
      ["setup", 810, ["fitters"]],
      ["unattended", 870, []],
      ["unload", 1860, ["fitters"]],
    ]);
    // 870 to 1470, and people leave at 15:00, minute 900.
    expect(entry?.alone).toBe(570);
  });

  test("says what should have begun and was not reported, and forgets what is done", () => {
    const late = problemOf({ now: 900, published: { operations: [cut] } });
    expect(stationEntries(viewOf(late, plan), "wire")[0]?.overdue).toBe(true);
    const order = {
      id: "1",
      operations: [
        {
          id: "1/10",
          modes: [{ id: "wire", machines: ["wire"], phases: [] }],
          progress: { done: [{ mode: "wire", start: 0, end: 10 }] },
        },
      ],
    };
    const done = problemOf({ now: 900, orders: [order], published: null });
    expect(stationEntries(viewOf(done, plan), "wire")).toEqual([]);
  });
});

describe("the preview of a calendar", () => {
  // Summer time begins on Sunday 29 March 2026 in Berlin (EU directive 2000/84/EC).
  const time = siteTime("Europe/Berlin", "2026-03-22T23:00:00Z", 600);
  const base = calendarSchema.parse({
    id: "c",
    weekly: [{ days: [6, 7], name: "Night", from: "22:00", until: "06:00", unsocial: true }],
  });

  test("cuts nights at midnight and shows the short one", () => {
    const week = previewWeeks(base, time, 1)?.[0];
    expect(week?.days.map((day) => day.end - day.start)).toEqual([1440, 1440, 1440, 1440, 1440, 1440, 1380]);
    const minutes = week?.days.map((day) => day.open.reduce((sum, [start, end]) => sum + end - start, 0));
    // Monday has the last of the Sunday before; Saturday two hours; Sunday five (06:00 comes after only five) and two.
    expect(minutes).toEqual([360, 0, 0, 0, 0, 120, 300 + 120]);
    expect(week?.days[5]?.unsocial.length).toBe(1);
  });

  test("shows exceptions by name, adds extra hours, and waits while a date does not exist", () => {
    const more = calendarSchema.parse({
      ...base,
      exceptions: [{ name: "Stocktaking", date: "2026-03-28", content: { closed: true } }],
      extra: [{ start: "2026-03-24T08:00", end: "2026-03-24T12:00" }],
    });
    const week = previewWeeks(more, time, 1)?.[0];
    expect(week?.days[5]).toMatchObject({ special: "Stocktaking", open: [] });
    expect(week?.days[1]?.open.map(([start, end]) => end - start)).toEqual([240]);
    expect(previewWeeks({ ...more, exceptions: [{ date: "2026-02-30", content: { closed: true } }] }, time, 1)).toBeNull();
    expect(
      previewWeeks({ ...more, weekly: [{ days: [], from: "06:00", until: "14:00", breaks: [], unsocial: false }] }, time, 1),
    ).toBeNull();
  });
});
