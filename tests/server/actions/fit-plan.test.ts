/** A stored plan in the shop of a later minute: what is done or gone leaves it, running work keeps what is to come. Pure. */
import { describe, expect, test } from "vitest";
import { readProblemFile } from "../../../src/contract/problem-file.ts";
import type { RunningLot } from "../../../src/core/orders/operation.ts";
import type { PlannedLot } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { carriedOn, fitPlan } from "../../../src/server/actions/fit-plan.ts";
import { at, goodPlan, smallWorkshop } from "../support/small-workshop.ts";

function workshop(change: (problem: Problem) => Problem = (problem) => problem): Problem {
  const read = readProblemFile(smallWorkshop());
  if (!read.ok) throw new Error(JSON.stringify(read.error));
  return change(read.value);
}

const withProgress = (id: string, progress: Problem["operations"][number]["progress"], now: number): Problem =>
  workshop((problem) => ({ ...problem, now, operations: problem.operations.map((o) => (o.id === id ? { ...o, progress } : o)) }));

const running = (fields: Partial<RunningLot> = {}): RunningLot => ({
  mode: "mill-a",
  pieces: 1,
  start: 420,
  phase: 0,
  crews: ["millers"],
  remaining: 60,
  working: true,
  ...fields,
});

describe("fitPlan", () => {
  test("leaves a plan of now as it is", () => {
    expect(fitPlan(workshop(), goodPlan())).toEqual(goodPlan());
  });

  test("drops what is done, what is gone and what has lost its mode", () => {
    const done = withProgress("P/1", { done: [{ mode: "mill-a", pieces: 1, start: 420, end: 470 }], running: [] }, 470);
    const fitted = fitPlan(done, { operations: [...goodPlan().operations, at("gone", "mill-a", 900)] });
    expect(fitted.operations.map((planned) => planned.operation)).toEqual(["Q/1", "X/1", "X/2"]);
    const without = workshop((problem) => ({
      ...problem,
      operations: problem.operations.map((o) => ({ ...o, modes: o.modes.filter((mode) => mode.id !== "mill-b") })),
    }));
    expect(fitPlan(without, goodPlan()).operations.map((planned) => planned.operation)).toEqual(["P/1", "X/1"]);
  });

  test("cuts running work at now, at the start it really had", () => {
    const problem = withProgress("P/1", { done: [], running: [running({ start: 425, remaining: 30 })] }, 450);
    expect(fitPlan(problem, { operations: [at("P/1", "mill-a", 420)] }).operations[0]?.lots).toEqual([
      { mode: "mill-a", pieces: 1, start: 425, end: 480, phases: [{ phase: 0, work: [[450, 480]], crews: ["millers"] }] },
    ]);
  });

  test("shows work that should have ended as going on from now", () => {
    const problem = withProgress("P/1", { done: [], running: [running({ remaining: 5 })] }, 500);
    expect(fitPlan(problem, { operations: [at("P/1", "mill-a", 420)] }).operations[0]?.lots[0]).toMatchObject({
      end: 505,
      phases: [{ work: [[500, 505]] }],
    });
  });

  test("keeps only the lots that are left", () => {
    const split = workshop((problem) => ({
      ...problem,
      operations: problem.operations.map((o) =>
        o.id === "P/1"
          ? { ...o, pieces: 5, progress: { done: [{ mode: "mill-a", pieces: 2, start: 420, end: 480 }], running: [] } }
          : o,
      ),
    }));
    const [lot] = at("P/1", "mill-a", 420).lots;
    if (!lot) throw new Error("placed by hand");
    const lots = [
      { ...lot, pieces: 2 },
      { ...lot, pieces: 3, start: 480, end: 540 },
    ];
    expect(fitPlan(split, { operations: [{ operation: "P/1", lots }] }).operations[0]?.lots.map((l) => l.pieces)).toEqual([3]);
  });
});

describe("carriedOn", () => {
  /** Prepared by hand, run overnight alone, unloaded in the morning. */
  const overnight: PlannedLot = {
    mode: "mill-a",
    pieces: 1,
    start: 840,
    end: 1_890,
    phases: [
      { phase: 0, work: [[840, 900]], crews: ["millers"] },
      {
        phase: 1,
        work: [
          [900, 1_100],
          [1_200, 1_300],
        ],
        crews: [],
      },
      { phase: 2, work: [[1_860, 1_890]], crews: ["millers"] },
    ],
  };
  const begun = running({ start: 840 });

  test.each([
    [840, { phase: 0, remaining: 60, working: true }],
    [870, { phase: 0, remaining: 30, working: true }],
    [900, { phase: 0, remaining: 0, working: false }], // between two phases: the next begins in this minute
    [901, { phase: 1, remaining: 299, working: true, crews: [] }],
    [1_150, { phase: 1, remaining: 100, working: false }], // rests
    [1_250, { phase: 1, remaining: 50, working: true }],
    [1_500, { phase: 1, remaining: 0, working: false }], // waits to be unloaded
    [1_870, { phase: 2, remaining: 20, working: true }],
    [1_890, { phase: 2, remaining: 0, working: false }], // never ends by itself
    [5_000, { phase: 2, remaining: 0, working: false }],
  ])("at %i", (now, expected) => expect(carriedOn(begun, 840, now, overnight)).toMatchObject(expected));

  test("counts from the last report, not from the plan", () => {
    expect(carriedOn(running({ start: 840, phase: 1, remaining: 250, crews: [] }), 1_000, 1_250, overnight)).toMatchObject({
      phase: 1,
      remaining: 100,
    });
  });

  test("reported as standing in the middle of a published stretch, it stands until somebody says otherwise", () => {
    const found = { ...running({ start: 840, phase: 0, remaining: 50, crews: [] }), working: false };
    expect(carriedOn(found, 870, 890, overnight)).toBe(found);
    // between two stretches it rests by plan and goes on with the next one
    const rests = { ...running({ start: 840, phase: 1, remaining: 100, crews: [] }), working: false };
    expect(carriedOn(rests, 1_150, 1_250, overnight)).toMatchObject({ remaining: 50, working: true });
  });

  test("stands as reported without a published lot, or on another mode", () => {
    expect(carriedOn(begun, 840, 1_250, null)).toBe(begun);
    expect(carriedOn(begun, 840, 1_250, { ...overnight, mode: "mill-b" })).toBe(begun);
  });
});
