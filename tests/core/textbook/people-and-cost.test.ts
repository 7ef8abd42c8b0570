/** Worked examples 3 (people) and 8 (cost) of the planning problem, through file, engine and checker; the others stand beside the engine. */
import { describe, expect, test } from "vitest";
import { readProblemFile } from "../../../src/contract/problem-file.ts";
import { makePlan } from "../../../src/core/plan/make-plan.ts";
import { type OrderInput, plan, shop } from "./shop.ts";

/** Shift Monday to Friday 07:00-15:00; origin a Monday 00:00, so Monday's is [420, 900). */
const day = { id: "day", weekly: [{ days: [1, 2, 3, 4, 5] as (1 | 2 | 3 | 4 | 5)[], from: "07:00", until: "15:00" }] };

describe("[8.3] people", () => {
  const runs = (count: number, amount: number): OrderInput[] =>
    Array.from({ length: count }, (_, i) => ({
      id: `J${i}`,
      operations: [
        {
          id: `J${i}`,
          modes: [
            {
              id: "m",
              machines: [`m${i}`],
              phases: [{ kind: "run", flow: "solid", work: { kind: "fixed", minutes: 60 }, needs: [{ skill: "s", amount }] }],
            },
          ],
        },
      ],
    }));
  const last = (count: number, amount: number, people: number): number =>
    plan(
      shop({
        machines: Array.from({ length: count }, (_, i) => `m${i}`),
        calendars: [day],
        crews: [{ id: "c", skills: ["s"], calendar: "day", people }],
        orders: runs(count, amount),
        cost: "makespan",
        horizon: 7 * 1440,
      }),
    ).cost.total;
  test("two runs of need 50 go side by side, a third follows; a crew of 200 serves three needs of 60, a fourth follows", () => {
    expect([last(2, 50, 100), last(3, 50, 100), last(3, 60, 200), last(4, 60, 200)]).toEqual([480, 540, 480, 540]);
  });
  test("headcount 200, but 100 on Monday from 600: pausable, 120 min, need 200, start 540", () => {
    const problem = shop({
      machines: ["m"],
      calendars: [day],
      crews: [{ id: "c", skills: ["s"], calendar: "day", people: 200, absences: [{ start: 600, end: 900, people: 100 }] }],
      orders: [
        {
          id: "J",
          operations: [
            {
              id: "J",
              pin: { start: 540 },
              modes: [
                {
                  id: "m",
                  machines: ["m"],
                  phases: [
                    {
                      kind: "run",
                      flow: "pausable",
                      work: { kind: "fixed", minutes: 120 },
                      needs: [{ skill: "s", amount: 200 }],
                    },
                  ],
                },
              ],
            },
          ],
        },
      ],
      cost: "makespan",
      horizon: 7 * 1440,
    });
    expect(plan(problem).plan.operations[0]?.lots[0]?.phases[0]?.work).toEqual([
      [540, 600],
      [1860, 1920],
    ]);
  });
});

test("[8.8] cost of a plan that moved to another machine, another crew and past its due minute: 560,220", () => {
  const phases = [
    {
      kind: "prepare" as const,
      flow: "pausable" as const,
      work: { kind: "fixed" as const, minutes: 20 },
      needs: [{ skill: "s" }],
    },
    { kind: "run" as const, flow: "pausable" as const, work: { kind: "fixed" as const, minutes: 90 }, needs: [{ skill: "s" }] },
  ];
  const machine = (id: string, family: string) => ({ id, family, setup: { kind: "table" as const, table: "t" } });
  const read = readProblemFile({
    format: "slotwright-problem",
    version: 1,
    name: "cost",
    origin: "2026-06-08T00:00:00Z",
    now: 400,
    horizon: 7 * 1440,
    calendars: [day],
    setupTables: [
      {
        id: "t",
        families: ["V", "T"],
        minutes: [
          [10, 50],
          [45, 0],
        ],
      },
    ],
    machines: [machine("A", "T"), machine("B", "V")],
    crews: [
      { id: "D", skills: ["s"], calendar: "day", absences: [{ start: 1980, end: 2340 }] },
      { id: "E", skills: ["s"], calendar: "day" },
    ],
    orders: [
      {
        id: "J",
        weight: 3,
        release: 420,
        due: 2000,
        operations: [
          {
            id: "J",
            pin: { machines: ["B"], start: 2000 },
            modes: [
              { id: "a", machines: ["A"], families: ["T"], phases },
              { id: "b", machines: ["B"], families: ["T"], phases },
            ],
          },
        ],
      },
    ],
    published: {
      operations: [
        {
          operation: "J",
          lots: [
            {
              mode: "a",
              pieces: 1,
              start: 1860,
              end: 1970,
              phases: [
                { phase: 0, work: [[1860, 1880]], crews: ["D"] },
                { phase: 1, work: [[1880, 1970]], crews: ["D"] },
              ],
            },
          ],
        },
      ],
    },
  });
  if (!read.ok) throw new Error(JSON.stringify(read.error));
  const outcome = makePlan(read.value, { seed: 1, iterations: 200 });
  expect(outcome.conflicts).toEqual([]);
  expect(outcome.plan.operations[0]?.lots[0]).toMatchObject({ mode: "b", start: 2000, end: 2160 });
  expect(outcome.cost.parts).toMatchObject({ tardiness: 480, disturbance: 1480, setup: 50, waiting: 0, flow: 5220 });
  expect(outcome.cost.total).toBe(560_220);
});
