/** A small problem file that uses every part of the format once; the tests of the files break one thing of it at a time. */
import type { ProblemFileInput } from "../../src/contract/problem-file.ts";

/** Deep, mutable, plain JSON. Origin Mon 2026-06-08 00:00 in Berlin, so Monday's shift is [420, 900). */
export const smallShop = (): ProblemFileInput => ({
  format: "slotwright-problem",
  version: 1,
  name: "small shop",
  notes: "for tests",
  zone: "Europe/Berlin",
  origin: "2026-06-08",
  now: "2026-06-08T08:00",
  horizon: "2026-06-21",
  calendars: [
    {
      id: "day",
      weekly: [{ days: [1, 2, 3, 4, 5], from: "07:00", until: "15:00", breaks: [{ from: "11:00", until: "11:30" }] }],
      exceptions: [{ name: "holiday", date: "2026-06-11", content: { closed: true } }],
      recurring: [{ start: "2026-06-01", unit: "month", nth: 2, content: { entries: [{ from: "09:00", until: "15:00" }] } }],
      extra: [{ name: "Saturday", start: "2026-06-13T07:00", end: "2026-06-13T12:00", people: 100, unsocial: true }],
    },
    { id: "quiet", weekly: [{ days: [1, 2, 3, 4, 5, 6, 7], from: "20:00", until: "06:00" }] },
  ],
  machines: [
    {
      id: "mill",
      calendar: "day",
      closures: [{ start: "2026-06-16", end: "2026-06-16", reason: "spindle" }],
      setup: { kind: "table", table: "vices" },
      family: "V",
      unattended: { kind: "allowed", windows: "quiet", maxMinutes: 600 },
      calibrations: [{ name: "probe", due: "2026-06-15", interval: 14_400 }],
    },
    { id: "chamber", kind: "rig", setup: { kind: "temperature", rampPerMinute: 2000, settling: 5 }, family: 23_000 },
  ],
  crews: [
    {
      id: "setters",
      skills: ["set"],
      calendar: "day",
      people: 200,
      absences: [{ start: "2026-06-09", end: "2026-06-09", people: 100 }],
    },
    { id: "rigs", skills: ["rig", "set"], calendar: "day" },
  ],
  supplies: [
    {
      id: "dc",
      unit: "kW",
      amount: 300,
      changes: [
        { calendar: "quiet", amount: 400 },
        { start: "2026-06-10", end: "2026-06-10", amount: 100 },
      ],
    },
  ],
  kits: [{ id: "fixture", count: 2 }],
  setupTables: [
    {
      id: "vices",
      families: ["V", "T"],
      minutes: [
        [10, 50],
        [45, 15],
      ],
    },
  ],
  orders: [
    {
      id: "A",
      quantity: 24,
      scrapPerMille: 40,
      due: "2026-06-12",
      operations: [
        {
          id: "A1",
          notes: "roughing",
          split: { lots: 2, minPieces: 10 },
          kits: [{ kit: "fixture" }],
          needsCalibrations: ["probe"],
          modes: [
            {
              id: "mill",
              machines: ["mill"],
              families: ["T"],
              phases: [
                { kind: "prepare", flow: "solid", work: { kind: "fixed", minutes: 20 }, needs: [{ skill: "set" }] },
                {
                  kind: "run",
                  flow: "piecewise",
                  work: { kind: "perPiece", seconds: 90 },
                  draws: [{ supply: "dc", amount: 20 }],
                },
                {
                  kind: "clear",
                  flow: "solid",
                  work: { kind: "fixed", minutes: 5 },
                  needs: [{ skill: "set", amount: 50 }],
                  maxWait: 60,
                },
              ],
            },
          ],
        },
        {
          id: "A2",
          startSkill: "rig",
          pin: { machines: ["chamber"], start: "2026-06-10T09:00" },
          modes: [
            {
              id: "soak",
              machines: ["chamber"],
              families: [85_000],
              phases: [
                { kind: "prepare", flow: "solid", work: { kind: "fixed", minutes: 0 }, needs: [{ skill: "rig" }] },
                { kind: "run", flow: "pausable", work: { kind: "perPiece", seconds: 60 } },
              ],
            },
          ],
        },
      ],
    },
    {
      id: "M",
      kind: "maintenance",
      operations: [
        {
          id: "M1",
          calibrates: ["probe"],
          window: { start: "2026-06-09", end: "2026-06-12" },
          modes: [
            {
              id: "mill",
              machines: ["mill"],
              phases: [{ kind: "run", flow: "solid", work: { kind: "fixed", minutes: 60 }, needs: [{ skill: "set" }] }],
            },
          ],
        },
      ],
    },
    {
      id: "R",
      operations: [
        {
          id: "R1",
          modes: [
            { id: "out", calendar: "day", phases: [{ kind: "run", flow: "pausable", work: { kind: "fixed", minutes: 600 } }] },
          ],
          progress: { running: [{ mode: "out", start: "2026-06-08T07:00", phase: 0, remaining: 540 }] },
        },
        {
          id: "R2",
          modes: [
            {
              id: "bench",
              phases: [{ kind: "run", flow: "pausable", work: { kind: "fixed", minutes: 30 }, needs: [{ skill: "set" }] }],
            },
          ],
          progress: { done: [{ mode: "bench", start: 420, end: 450 }] },
        },
      ],
    },
  ],
  links: [
    { kind: "transfer", id: "A1>A2", from: "A1", to: "A2", pieces: 5 },
    { kind: "lag", id: "R1>A1", from: "R1", to: "A1", minLag: 30, maxLag: 10_000 },
    { kind: "sameMachine", id: "A1=M1", from: "A1", to: "M1" },
  ],
  kitSpans: [{ id: "hold", kit: "fixture", from: "R1", to: "A2" }],
  runHourRules: [{ id: "oil", machine: "mill", counter: 100, limit: 6000, operations: ["M1"] }],
  published: {
    operations: [
      {
        operation: "M1",
        lots: [
          { mode: "mill", pieces: 1, start: 1860, end: 1920, phases: [{ phase: 0, work: [[1860, 1920]], crews: ["setters"] }] },
        ],
      },
    ],
  },
  freeze: "2026-06-09",
  weights: { waiting: 5 },
});
