/** How far work has come between two reports: by the plan in force, in a site that follows it and in one that counts only reports. Pure. */
import { describe, expect, test } from "vitest";
import { readProblemFile } from "../../../src/contract/problem-file.ts";
import { check } from "../../../src/core/check/checker.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { asOfNow } from "../../../src/server/actions/as-of-now.ts";
import { fitPlan } from "../../../src/server/actions/fit-plan.ts";
import { LEAD_MINUTES, withLead } from "../../../src/server/actions/plan-ahead.ts";
import { at, goodPlan, smallWorkshop } from "../support/small-workshop.ts";

type Progress = Problem["operations"][number]["progress"];

function workshop(now: number, progress: Readonly<Record<string, Progress>> = {}): Problem {
  const rule = { id: "service", machine: "mill-a", counter: 100, limit: 1_000, operations: ["Q/1"] };
  const read = readProblemFile({ ...smallWorkshop(), now, runHourRules: [rule] });
  if (!read.ok) throw new Error(JSON.stringify(read.error));
  return { ...read.value, operations: read.value.operations.map((o) => ({ ...o, progress: progress[o.id] ?? o.progress })) };
}

const running = (start: number, remaining = 60): Progress => ({
  done: [],
  running: [{ mode: "mill-a", pieces: 1, start, phase: 0, crews: ["millers"], remaining, working: true }],
});
const states = ({ operations }: Problem): Record<string, string> =>
  Object.fromEntries(
    operations.map(({ id, progress }) => [
      id,
      progress.running.length > 0
        ? `running ${progress.running.map(({ remaining }) => remaining).join(" + ")}`
        : progress.done.length > 0
          ? `done ${progress.done[0]?.end}`
          : "free",
    ]),
  );
const counter = ({ runHourRules }: Problem) => runHourRules[0]?.counter;

const FOLLOWS = true;
const nothing = new Map<string, number>();

describe("a site that follows its plan", () => {
  test.each([
    [420, { "P/1": "free", "Q/1": "free", "X/1": "free", "X/2": "free" }, 100],
    [421, { "P/1": "running 59", "Q/1": "running 59", "X/1": "free", "X/2": "free" }, 101],
    [480, { "P/1": "done 480", "Q/1": "done 480", "X/1": "free", "X/2": "free" }, 0], // Q/1 is the service of that rule
    [500, { "P/1": "done 480", "Q/1": "done 480", "X/1": "running 40", "X/2": "free" }, 20],
    [541, { "P/1": "done 480", "Q/1": "done 480", "X/1": "done 540", "X/2": "running 59" }, 60],
  ])("at %i", (now, expected, minutes) => {
    const { problem } = asOfNow(workshop(now), goodPlan(), nothing, FOLLOWS);
    expect(states(problem)).toEqual(expected);
    expect(counter(problem)).toBe(minutes);
    expect(check(problem, fitPlan(problem, goodPlan())).conflicts).toEqual([]);
  });

  test("a machine told to stand still does not work on as published, and nothing begins on it", () => {
    const stopped = (now: number): Problem => {
      const shop = workshop(now);
      const machines = shop.machines.map((machine) =>
        machine.id === "mill-a" ? { ...machine, closures: [{ start: 450, end: 600, reason: "Spindle" }] } : machine,
      );
      return { ...shop, machines };
    };
    // P/1 has worked 30 of its 60 minutes when the machine stops; X/1 was to begin at 480
    for (const now of [450, 470, 590]) {
      const { problem } = asOfNow(stopped(now), goodPlan(), nothing, FOLLOWS);
      expect(states(problem)).toMatchObject({ "P/1": "running 30", "X/1": "free", "X/2": "free" });
      expect(problem.operations.find(({ id }) => id === "P/1")?.progress.running[0]?.working).toBe(false);
    }
    const reported = { ...stopped(500), operations: workshop(500, { "P/1": running(420) }).operations };
    expect(states(asOfNow(reported, goodPlan(), new Map([["P/1", 430]]), !FOLLOWS).problem)["P/1"]).toBe("running 40");
  });

  test("a report of late work wins, and holds back what follows on its machine and after it", () => {
    const late = workshop(545, { "P/1": running(420, 100) });
    const { problem, assumed } = asOfNow(late, goodPlan(), new Map([["P/1", 470]]), FOLLOWS);
    // By its plan 10 of the 100 minutes were still to be worked after the report: 90 are left, nobody knows when.
    expect(states(problem)).toEqual({ "P/1": "running 90", "Q/1": "done 480", "X/1": "free", "X/2": "free" });
    expect([...assumed]).toEqual(["Q/1"]);
  });

  test("a withdrawn start is not taken as begun again", () => {
    expect(states(asOfNow(workshop(450), goodPlan(), new Map([["P/1", 430]]), FOLLOWS).problem)["P/1"]).toBe("free");
  });

  test("lots one by one", () => {
    const [lot] = at("P/1", "mill-a", 420).lots;
    if (!lot) throw new Error("placed by hand");
    const second = { ...lot, start: 480, end: 540, phases: [{ phase: 0, work: [[480, 540]] as const, crews: ["millers"] }] };
    const plan: Plan = {
      operations: [
        {
          operation: "P/1",
          lots: [
            { ...lot, pieces: 3 },
            { ...second, pieces: 2 },
          ],
        },
      ],
    };
    const five = (now: number): Problem => {
      const problem = workshop(now);
      return { ...problem, operations: problem.operations.map((o) => (o.id === "P/1" ? { ...o, pieces: 5 } : o)) };
    };
    const found = asOfNow(five(500), plan, nothing, FOLLOWS).problem.operations.find((o) => o.id === "P/1")?.progress;
    expect(found).toMatchObject({
      done: [{ pieces: 3, start: 420, end: 480 }],
      running: [{ pieces: 2, start: 480, remaining: 40 }],
    });
  });
});

describe("lots side by side", () => {
  const crews = ["millers"];
  const lot = (mode: "mill-a" | "mill-b", pieces: number, start: number, end: number) => ({
    ...{ mode, pieces, start, end },
    phases: [{ phase: 0, work: [[start, end] as const], crews }],
  });
  /** A longer lot that begins first, a shorter one beside it that ends first, a third after that on its machine. */
  const published: Plan = {
    operations: [
      { operation: "P/1", lots: [lot("mill-a", 4, 420, 660), lot("mill-b", 2, 430, 550), lot("mill-b", 1, 550, 610)] },
    ],
  };
  const batch = (now: number): Problem => {
    const problem = workshop(now);
    const perPiece = (mode: Problem["operations"][number]["modes"][number]) => ({
      ...mode,
      phases: mode.phases.map((phase) => ({ ...phase, work: { kind: "perPiece", seconds: 3_600 } as const })),
    });
    const batches = problem.operations.filter(({ id }) => id === "P/1");
    return {
      ...problem,
      orders: problem.orders.map((order) => (order.id === "P" ? { ...order, quantity: 7 } : order)),
      operations: batches.map((o) => ({ ...o, pieces: 7, split: { lots: 3, minPieces: 1 }, modes: o.modes.map(perPiece) })),
      links: [],
      runHourRules: [],
    };
  };
  const found = (now: number) => {
    const { problem } = asOfNow(batch(now), published, nothing, FOLLOWS);
    const { done = [], running = [] } = problem.operations[0]?.progress ?? {};
    return {
      done: done.map(({ pieces, end }) => `${pieces} by ${end}`),
      running: running.map(({ mode, remaining }) => `${mode} ${remaining}`),
      conflicts: check(problem, fitPlan(problem, published)).conflicts.map(({ sentence }) => sentence),
    };
  };

  test.each([
    [440, [], ["mill-a 220", "mill-b 110"]],
    [550, ["2 by 550"], ["mill-a 110"]],
    [560, ["2 by 550"], ["mill-a 100", "mill-b 50"]],
    [640, ["2 by 550", "1 by 610"], ["mill-a 20"]],
    [700, ["4 by 660", "2 by 550", "1 by 610"], []],
  ])("at %i by plan", (now, done, lots) => {
    expect(found(now)).toEqual({ done, running: lots, conflicts: [] });
  });

  test("reported ones go on each along its own lot", () => {
    const problem = asOfNow(batch(440), published, nothing, FOLLOWS).problem;
    const later = { ...problem, now: 600 };
    const { progress } = asOfNow(later, published, new Map([["P/1", 440]]), false).problem.operations[0] ?? {};
    expect(progress?.running.map(({ mode, remaining }) => [mode, remaining])).toEqual([
      ["mill-a", 60],
      ["mill-b", 1],
    ]);
  });
});

describe("a site that counts only reports", () => {
  test("nothing begins by itself; what was reported goes on by the plan and waits at its end", () => {
    const states1 = (now: number) =>
      states(asOfNow(workshop(now, { "P/1": running(420) }), goodPlan(), new Map([["P/1", 420]]), false).problem);
    expect(states1(450)).toEqual({ "P/1": "running 30", "Q/1": "free", "X/1": "free", "X/2": "free" });
    expect(states1(600)["P/1"]).toBe("running 1");
  });

  test("a machine's hours grow with reported work", () => {
    expect(counter(asOfNow(workshop(450, { "P/1": running(420) }), goodPlan(), new Map([["P/1", 420]]), false).problem)).toBe(
      130,
    );
  });
});

describe("a run while the clock goes on", () => {
  test("free work begins a little after now; frozen, pinned, running and windowed work is left alone", () => {
    const problem = workshop(420, { "P/1": running(400) });
    const published = { operations: [at("Q/1", "mill-b", 425)] };
    const narrowed = withLead({ ...problem, published }, LEAD_MINUTES);
    const starts = Object.fromEntries(narrowed.operations.map((o) => [o.id, o.window.start]));
    expect(starts).toEqual({ "P/1": null, "Q/1": null, "X/1": 430, "X/2": 430 });
    const pinned = withLead(
      { ...problem, operations: problem.operations.map((o) => ({ ...o, pin: { machines: null, start: 421 } })) },
      LEAD_MINUTES,
    );
    expect(pinned.operations.every((o) => o.window.start === null)).toBe(true);
  });
});
