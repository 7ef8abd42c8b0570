/**
 * Working-time cases in wall-clock dates, from the file through the real calendar to the checker and the engine
 * (arithmetic of our own; shift Mon-Fri 07:00-15:00, week of Wed 2026-06-10).
 */
import { describe, expect, test } from "vitest";
import type { z } from "zod";
import type { phaseSchema } from "../../src/contract/file/order-schema.ts";
import { readPlanFile } from "../../src/contract/plan-file.ts";
import { type ProblemFileInput, readProblemFile } from "../../src/contract/problem-file.ts";
import { localText, wallClock } from "../../src/core/calendar/wall-clock.ts";
import { check } from "../../src/core/check/checker.ts";
import { makePlan } from "../../src/core/plan/make-plan.ts";
import type { Problem } from "../../src/core/problem/problem.ts";

const read = (file: ProblemFileInput): Problem => {
  const result = readProblemFile(file);
  if (!result.ok) throw new Error(JSON.stringify(result.error));
  return result.value;
};

const base: Pick<ProblemFileInput, "format" | "version" | "name" | "zone" | "horizon" | "crews"> = {
  format: "slotwright-problem",
  version: 1,
  name: "case",
  zone: "Europe/Berlin",
  horizon: "2026-06-28",
  crews: [{ id: "crew", skills: ["fit"], calendar: "shift" }],
};
const shift = (more: object = {}) => [
  { id: "shift", weekly: [{ days: [1, 2, 3, 4, 5] as (1 | 2 | 3 | 4 | 5)[], from: "07:00", until: "15:00", ...more }] },
];
const attended = (flow: "solid" | "pausable", minutes: number): z.input<typeof phaseSchema> => ({
  kind: "run",
  flow,
  work: { kind: "fixed", minutes },
  needs: [{ skill: "fit" }],
});
const endOf = (problem: Problem, operation: string): string => {
  const { plan, conflicts } = makePlan(problem, { seed: 1, iterations: 5 });
  expect(conflicts).toEqual([]);
  const lots = plan.operations.find((planned) => planned.operation === operation)?.lots ?? [];
  return lots.map(({ end }) => localText(wallClock(problem.zone, problem.origin), end)).join();
};

describe("[C1] [C2] 20 h of attended work that may rest, from Wednesday 10:00", () => {
  const work = (calendars: ReturnType<typeof shift>) =>
    read({
      ...base,
      origin: "2026-06-10",
      now: "2026-06-10T10:00",
      calendars,
      orders: [{ id: "o", operations: [{ id: "work", modes: [{ id: "bench", phases: [attended("pausable", 1200)] }] }] }],
    });
  test("end on Friday at 14:00", () => expect(endOf(work(shift()), "work")).toBe("2026-06-12T14:00"));
  test("with a daily break 11:00-11:30 on Monday at 07:30", () =>
    expect(endOf(work(shift({ breaks: [{ from: "11:00", until: "11:30" }] })), "work")).toBe("2026-06-15T07:30"));
});

describe("[C3] [C4] bonded until Friday 14:00, cured for 24 h, used within a limit by an attended step", () => {
  const problem = (maxLag: number) =>
    read({
      ...base,
      origin: "2026-06-08",
      now: "2026-06-12T14:00",
      calendars: shift(),
      orders: [
        {
          id: "o",
          operations: [
            {
              id: "bond",
              modes: [{ id: "bench", phases: [attended("solid", 60)] }],
              progress: { done: [{ mode: "bench", start: "2026-06-12T13:00", end: "2026-06-12T14:00" }] },
            },
            { id: "use", modes: [{ id: "bench", phases: [attended("solid", 60)] }] },
          ],
        },
      ],
      links: [{ kind: "lag", id: "cure", from: "bond", to: "use", minLag: 1440, maxLag }],
    });
  const kinds = (of: Problem, start: string, end: string): readonly string[] => {
    const plan = readPlanFile(
      {
        format: "slotwright-plan",
        version: 1,
        operations: [
          {
            operation: "use",
            lots: [{ mode: "bench", pieces: 1, start, end, phases: [{ phase: 0, work: [[start, end]], crews: ["crew"] }] }],
          },
        ],
      },
      of,
    );
    if (!plan.ok) throw new Error(JSON.stringify(plan.error));
    return check(of, plan.value).conflicts.map(({ kind }) => kind);
  };

  test("within 72 h: it may start on Monday from 07:00 to 14:00", () => {
    const starts = [
      ["2026-06-15T06:59", "2026-06-15T07:59", ["nobodyThere"]],
      ["2026-06-15T07:00", "2026-06-15T08:00", []],
      ["2026-06-15T14:00", "2026-06-15T15:00", []],
      ["2026-06-15T14:01", "2026-06-15T15:01", ["lagLong", "nobodyThere"]],
      ["2026-06-12T14:00", "2026-06-12T15:00", ["lagShort"]],
    ] as const;
    for (const [start, end, expected] of starts) expect([...kinds(problem(72 * 60), start, end)].sort(), start).toEqual(expected);
    expect(endOf(problem(72 * 60), "use")).toBe("2026-06-15T08:00");
  });

  test("within 60 h there is no way, and with a shift on Saturday there is one", () => {
    expect(makePlan(problem(60 * 60), { seed: 1, iterations: 20 }).conflicts.length).toBeGreaterThan(0);
    const saturday = problem(60 * 60);
    const open = read({
      ...base,
      origin: "2026-06-08",
      now: "2026-06-12T14:00",
      calendars: [{ ...shift()[0], id: "shift", extra: [{ start: "2026-06-13T14:00", end: "2026-06-13T16:00" }] }],
      orders: [],
    });
    expect(endOf({ ...saturday, crews: open.crews }, "use")).toBe("2026-06-13T15:00");
  });
});

test("[C5] calibration valid through 15 May 24:00; 120 h unattended from Monday 11 May 08:00 end 8 h outside", () => {
  const problem = read({
    ...base,
    origin: "2026-05-11",
    now: "2026-05-11T08:00",
    horizon: "2026-05-31",
    calendars: shift(),
    machines: [
      {
        id: "rig",
        kind: "rig",
        unattended: { kind: "allowed" },
        calibrations: [{ name: "torque", due: "2026-05-15", interval: 1_440 }],
      },
    ],
    orders: [
      {
        id: "o",
        operations: [
          {
            id: "campaign",
            needsCalibrations: ["torque"],
            modes: [
              {
                id: "rig",
                machines: ["rig"],
                phases: [{ kind: "run", flow: "solid", work: { kind: "fixed", minutes: 120 * 60 } }],
              },
            ],
          },
        ],
      },
    ],
  });
  const plan = readPlanFile(
    {
      format: "slotwright-plan",
      version: 1,
      operations: [
        {
          operation: "campaign",
          lots: [
            {
              mode: "rig",
              pieces: 1,
              start: "2026-05-11T08:00",
              end: "2026-05-16T08:00",
              phases: [{ phase: 0, work: [["2026-05-11T08:00", "2026-05-16T08:00"]], crews: [] }],
            },
          ],
        },
      ],
    },
    problem,
  );
  if (!plan.ok) throw new Error(JSON.stringify(plan.error));
  expect(check(problem, plan.value).conflicts).toMatchObject([{ kind: "calibrationLapsed", resource: "rig", amount: 480 }]);
});
