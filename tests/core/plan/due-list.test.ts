/**
 * The due list against the checker, which shares no code with it: with every renewal taken out of a plan of a random tiny shop,
 * exactly the work listed as stopped lapses, and a run-hour counter passes its limit in exactly the minute listed. And the
 * rules by which upkeep comes again, on days across a clock change, by run hours, before a calibration lapses.
 */
import { expect, test } from "vitest";
import { check } from "../../../src/core/check/checker.ts";
import type { Operation } from "../../../src/core/orders/operation.ts";
import { dueList } from "../../../src/core/plan/due-list.ts";
import { makePlan } from "../../../src/core/plan/make-plan.ts";
import { type UpkeepRule, upkeepTasks } from "../../../src/core/plan/upkeep.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { tinyProblem } from "../../arbitraries/tiny-problem.ts";
import { machine, mode, need, operation, order, phase, shop } from "../solve/shop.ts";

const NEVER = (_rule: string, _occasion: string): boolean => false;

test("without renewal, what is listed as stopped is what the checker finds lapsed", () => {
  let blocked = 0;
  let overdue = 0;
  for (let seed = 1; seed <= 400; seed++) {
    const problem = tinyProblem(seed);
    const { plan } = makePlan(problem, { seed, iterations: 5 });
    const list = dueList(problem, plan);
    const withoutRenewals = {
      ...problem,
      operations: problem.operations.map((one) => (one.progress.done.length > 0 ? one : { ...one, calibrates: [] })),
      runHourRules: problem.runHourRules.map((rule) => ({ ...rule, operations: [] })),
    };
    const { conflicts } = check(withoutRenewals, plan);
    if (conflicts.some(({ kind }) => kind === "machineDoubleUse")) continue; // runs side by side count twice
    const lapsed = new Set(conflicts.filter(({ kind }) => kind === "calibrationLapsed").flatMap(({ operations }) => operations));
    const listed = new Set(
      list.filter(({ kind }) => kind === "calibration").flatMap((item) => item.blocked.map((one) => one.operation)),
    );
    expect({ seed, listed: [...listed].sort() }).toEqual({ seed, listed: [...lapsed].sort() });
    blocked += listed.size;
    for (const rule of problem.runHourRules) {
      const found = conflicts.find(({ kind, resource }) => kind === "maintenanceOverdue" && resource === rule.id);
      const item = list.find(({ kind, name }) => kind === "runHours" && name === rule.id);
      const own = problem.operations.some(({ id, progress }) => rule.operations.includes(id) && progress.done.length > 0);
      if (own) continue;
      expect({ seed, rule: rule.id, lapses: item?.lapses ?? null }).toEqual({
        seed,
        rule: rule.id,
        lapses: found?.interval[0] ?? null,
      });
      overdue += found ? 1 : 0;
    }
  }
  expect(blocked).toBeGreaterThan(10);
  expect(overdue).toBeGreaterThan(5);
});

/** A rig whose torque calibration lapses at minute 1000; a test of 600 minutes that needs it; the calibration task. */
const rig = machine("rig", { calibrations: [{ name: "torque", due: 1000, interval: 5000 }] });
const run = (id: string, minutes: number, more: object = {}) =>
  operation(id, [mode(["rig"], [phase("run", "solid", minutes)], { id: "m" })], { order: id, ...more });
const rigShop = (withTask: boolean) =>
  shop({
    machines: [rig],
    orders: ["long", ...(withTask ? ["task"] : [])].map((id) => order(id)),
    operations: [
      run("long", 600, { needsCalibrations: ["torque"] }),
      ...(withTask ? [run("task", 60, { calibrates: ["torque"] })] : []),
    ],
  });
const placed = (id: string, start: number, minutes: number) => ({
  operation: id,
  lots: [
    {
      mode: "m",
      pieces: 1,
      start,
      end: start + minutes,
      phases: [{ phase: 0, work: [[start, start + minutes] as const], crews: [] }],
    },
  ],
});

test("a calibration is covered by a task in time, late behind one that comes after, without one there is no task", () => {
  const long = placed("long", 700, 600);
  const item = (withTask: boolean, ...operations: readonly ReturnType<typeof placed>[]) =>
    dueList(rigShop(withTask), { operations })[0];
  expect(item(false, long)).toMatchObject({
    state: "none",
    lapses: 1000,
    task: null,
    blocked: [{ operation: "long", start: 700 }],
  });
  expect(item(true, long)).toMatchObject({ state: "unplanned", task: { operation: "task", start: null } });
  expect(item(true, long, placed("task", 1300, 60))).toMatchObject({ state: "late", task: { start: 1300 } });
  expect(item(true, long, placed("task", 600, 60))).toMatchObject({ state: "covered", blocked: [{ operation: "long" }] });
});

const rule = (trigger: UpkeepRule["trigger"], more: Partial<UpkeepRule> = {}): UpkeepRule => ({
  id: "r",
  machine: "rig",
  trigger,
  aheadDays: 20,
  earlyDays: 3,
  lateDays: 1,
  ...more,
});

test("by days: the latest that is past and those ahead, to the 24:00 of the wall clock", () => {
  // Berlin, origin Monday 19 October 2026 00:00; the clocks go back on Sunday 25 October: that day has 1,500 minutes
  const problem = {
    ...rigShop(false),
    zone: "Europe/Berlin",
    origin: "2026-10-18T22:00:00.000Z",
    now: 1440 * 3,
    horizon: 60 * 1440,
  };
  const tasks = upkeepTasks(
    problem,
    { operations: [] },
    [rule({ kind: "days", every: 7, first: "2026-10-05", counted: "grid" })],
    NEVER,
  );
  expect(tasks.map(({ occasion }) => occasion)).toEqual(["2026-10-19", "2026-10-26", "2026-11-02", "2026-11-09"]);
  expect(tasks[0]).toMatchObject({ due: 1440, window: { start: null, end: null } }); // due on the 19th, may be late to the 20th: past
  expect(tasks[1]).toMatchObject({ due: 8 * 1440 + 60, window: { start: 4 * 1440, end: 9 * 1440 + 60 } });
  const known = (_: string, occasion: string): boolean => occasion < "2026-11";
  expect(
    upkeepTasks(problem, { operations: [] }, [rule({ kind: "days", every: 7, first: "2026-10-05", counted: "grid" })], known),
  ).toHaveLength(2);
});

test("by days after it was last done: one at a time, from the day of the last end, skipping what a person took out", () => {
  const base = rigShop(false);
  const task = operation("r1/10", [mode(["rig"], [phase("prepare", "pausable", 30, { needs: [need("test")] })], { id: "rig" })], {
    order: "r1",
  });
  const at = (progress: Operation["progress"]) => ({
    ...base,
    now: 1440 * 10,
    horizon: 60 * 1440,
    orders: [...base.orders, order("r1", { kind: "maintenance" })],
    operations: [...base.operations, { ...task, progress }],
  });
  const weekly = [rule({ kind: "days", every: 7, first: "2026-01-05", counted: "lastDone" }, { aheadDays: 20 })];
  const asked = (problem: Problem, raised = NEVER) =>
    upkeepTasks(problem, { operations: [] }, weekly, raised, () => new Set(["r1"])).map(({ occasion }) => occasion);
  expect(asked(at({ done: [], running: [] }))).toEqual([]); // one is open
  // origin Monday 5 January 2026: done on Thursday the 8th to its 24:00, so it is due on the 15th, whatever the grid says
  const done = at({ done: [{ mode: "rig", pieces: 1, start: 4 * 1440 - 30, end: 4 * 1440 }], running: [] });
  expect(asked(done)).toEqual(["2026-01-15"]);
  expect(asked(done, (_, occasion) => occasion === "2026-01-15")).toEqual(["2026-01-22"]);
  // nothing known of a last time: from its first date
  expect(asked(base)).toEqual(["2026-01-05"]);
});

test("before a calibration lapses: within the days ahead and only while nothing else renews it", () => {
  const ahead = rule({ kind: "calibration", calibration: "torque" }, { earlyDays: 0 });
  const asked = (withTask: boolean, one = ahead) => upkeepTasks(rigShop(withTask), { operations: [] }, [one], NEVER);
  expect(asked(false)).toMatchObject([{ due: 1000, window: { start: 1000, end: 1000 } }]);
  expect(asked(true)).toEqual([]);
  const later = { ...rigShop(false), machines: [{ ...rig, calibrations: [{ name: "torque", due: 21 * 1440, interval: 5000 }] }] };
  expect(upkeepTasks(later, { operations: [] }, [ahead], NEVER)).toEqual([]);
});

test("by run hours: one task more than none, and as many as the planned runs need", () => {
  const tasks = Array.from({ length: 3 }, (_, i) => run(`service${i}`, 0));
  const base = shop({
    machines: [rig],
    orders: [order("long"), ...tasks.map(({ id }) => order(id))],
    operations: [run("long", 2500), ...tasks],
  });
  const counted = (operations: string[], counter: number) => ({
    ...base,
    runHourRules: [{ id: "oil", machine: "rig", counter, limit: 1000, operations }],
  });
  const asked = (operations: string[], counter: number, planned: boolean) =>
    upkeepTasks(
      counted(operations, counter),
      { operations: planned ? [placed("long", 0, 2500)] : [] },
      [rule({ kind: "runHours", rule: "oil" })],
      NEVER,
    ).map(({ occasion }) => occasion);
  expect(asked(["service0"], 0, false)).toEqual([]);
  // 2,500 minutes of run pass the limit twice: after 1,000 and after 2,000
  expect(asked(["service0"], 0, true)).toEqual(["2"]);
  expect(asked(["service0", "service1"], 0, true)).toEqual([]);
  expect(asked(["service0", "service1"], 600, true)).toEqual(["3"]);
});
