/** The engine on the worked examples of the planning problem (section 8): the places it must choose, minute for minute. */
import { describe, expect, test } from "vitest";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { solve } from "../../../src/core/solve/engine.ts";
import { always, crew, machine, mode, need, operation, order, phase, shop, weekdays } from "./shop.ts";

const plan = (problem: Problem): Plan => solve(problem, [], { seed: 1, budget: { iterations: 0, shouldStop: () => false } }).plan;
const lotOf = (found: Plan, id: string) => found.operations.find((planned) => planned.operation === id)!.lots[0]!;
const attended = { needs: [need("rig")] };
const crews = [crew("c", ["rig"])];
/** The examples give the start; left free, the engine begins later where that saves waiting. */
const startAt = (start: number) => ({ machines: null, start });

describe("[8.1] flows", () => {
  test("pausable, 600 min, not before 600, rests overnight", () => {
    const found = plan(
      shop({
        now: 600,
        crews,
        machines: [machine("m")],
        operations: [operation("a", [mode(["m"], [phase("run", "pausable", 600, attended)])])],
      }),
    );
    expect(lotOf(found, "a").phases[0]!.work).toEqual([
      [600, 900],
      [1860, 2160],
    ]);
  });
  test("with a daily break", () => {
    const shift = weekdays(420, 660)
      .concat(weekdays(690, 900))
      .toSorted((a, b) => a[0] - b[0]);
    const withBreak = { ...crew("c", ["rig"], 100, shift), present: weekdays(420, 900) };
    const found = plan(
      shop({
        now: 600,
        crews: [withBreak],
        machines: [machine("m")],
        operations: [operation("a", [mode(["m"], [phase("run", "pausable", 600, attended)])], { pin: startAt(600) })],
      }),
    );
    expect(lotOf(found, "a").phases[0]!.work).toEqual([
      [600, 660],
      [690, 900],
      [1860, 2100],
      [2130, 2220],
    ]);
  });
  test("solid, 120 min, not before 840", () => {
    const found = plan(
      shop({
        now: 840,
        crews,
        machines: [machine("m")],
        operations: [operation("a", [mode(["m"], [phase("run", "solid", 120, attended)])])],
      }),
    );
    expect(lotOf(found, "a").phases[0]!.work).toEqual([[1860, 1980]]);
  });
});

describe("[8.2] pieces", () => {
  test("piecewise, 4 pieces of 6,000 s from 720", () => {
    const run = phase("run", "piecewise", 0, { ...attended, work: { kind: "perPiece", seconds: 6000 } });
    const found = plan(
      shop({
        now: 720,
        crews,
        machines: [machine("m")],
        operations: [operation("a", [mode(["m"], [run])], { pieces: 4, pin: startAt(720) })],
      }),
    );
    expect(lotOf(found, "a").phases[0]!.work).toEqual([
      [720, 820],
      [1860, 2160],
    ]);
  });
  test("running at 1900 with 300 minutes remaining", () => {
    const run = phase("run", "piecewise", 0, { ...attended, work: { kind: "perPiece", seconds: 6000 } });
    const running = { mode: "m", pieces: 4, start: 720, phase: 0, crews: ["c"], remaining: 300, working: true };
    const found = plan(
      shop({
        now: 1900,
        crews,
        machines: [machine("m")],
        operations: [operation("a", [mode(["m"], [run])], { pieces: 4, progress: { done: [], running: [running] } })],
      }),
    );
    expect(lotOf(found, "a").phases[0]!.work).toEqual([[1900, 2200]]);
  });
});

describe("[8.4] unattended", () => {
  const phases = [phase("prepare", "solid", 60, attended), phase("run", "solid", 600), phase("clear", "solid", 30, attended)];
  const rig = (maxMinutes: number | null) => machine("m", { unattended: { kind: "allowed", windows: null, maxMinutes } });
  test("from 810 it runs into the night and waits for unloading", () => {
    const found = plan(
      shop({ now: 810, crews, machines: [rig(960)], operations: [operation("a", [mode(["m"], phases)], { pin: startAt(810) })] }),
    );
    expect(lotOf(found, "a").phases.map((placed) => placed.work)).toEqual([[[810, 870]], [[870, 1470]], [[1860, 1890]]]);
  });
  test("from 840 the run begins where prepare ends, though nobody is there any more", () => {
    const found = plan(shop({ now: 840, crews, machines: [rig(960)], operations: [operation("a", [mode(["m"], phases)])] }));
    expect(lotOf(found, "a").phases[1]!.work).toEqual([[900, 1500]]);
  });
  test("m = 480 forbids the run from 780 on until the next morning", () => {
    const found = plan(shop({ now: 810, crews, machines: [rig(480)], operations: [operation("a", [mode(["m"], phases)])] }));
    expect(lotOf(found, "a").phases[1]!.work[0]![0]).toBeGreaterThanOrEqual(1860);
  });
  test("a pausable run rests from 1380 to 1860", () => {
    const pausable = [phases[0]!, phase("run", "pausable", 600), phases[2]!];
    const found = plan(shop({ now: 810, crews, machines: [rig(480)], operations: [operation("a", [mode(["m"], pausable)])] }));
    expect(lotOf(found, "a").phases[1]!.work).toEqual([
      [870, 1380],
      [1860, 1950],
    ]);
  });
});

describe("[8.5] setup", () => {
  const table = {
    id: "t",
    name: "t",
    families: ["V", "T"],
    minutes: [
      [10, 50],
      [45, 15],
    ],
  };
  test("70 for the first in T, 35 for the next although maintenance lies between", () => {
    const vice = machine("m", { setup: { kind: "table", table }, family: "V" });
    const inT = (id: string, orderId: string) =>
      operation(
        id,
        [mode(["m"], [phase("prepare", "pausable", 20, attended), phase("run", "solid", 10, attended)], { families: ["T"] })],
        { order: orderId },
      );
    const service = operation("s", [mode(["m"], [phase("run", "solid", 30, attended)])], {
      order: "o2",
      pin: { machines: null, start: 600 },
    });
    const found = plan(
      shop({
        now: 420,
        crews,
        machines: [vice],
        orders: [order("o1"), order("o2"), order("o3", { release: 630 })],
        operations: [inT("a", "o1"), service, inT("b", "o3")],
      }),
    );
    expect(lotOf(found, "a").phases[0]!.work).toEqual([[420, 490]]);
    expect(lotOf(found, "b").phases[0]!.work).toEqual([[630, 665]]);
  });
});

describe("[8.6] transfer lots", () => {
  test("the next starts at 500 so that piece 3 begins at 540", () => {
    const made = (seconds: number) => [phase("run", "pausable", 0, { work: { kind: "perPiece", seconds } })];
    const found = plan(
      shop({
        now: 420,
        machines: [machine("m"), machine("n")],
        operations: [
          operation("a", [mode(["m"], made(1800))], { pieces: 4 }),
          operation("b", [mode(["n"], made(1200))], { pieces: 4 }),
        ],
        links: [{ kind: "transfer", id: "t", from: "a", to: "b", pieces: 2 }],
      }),
    );
    expect(lotOf(found, "a").phases[0]!.work).toEqual([[420, 540]]);
    expect(lotOf(found, "b").phases[0]!.work).toEqual([[500, 580]]);
  });
});

describe("[8.7] limits", () => {
  test("use within 4,320 after a cure over the weekend", () => {
    const bond = operation("bond", [mode([], [phase("run", "solid", 60, attended)])]);
    const next = operation("next", [mode([], [phase("run", "solid", 60, attended)])]);
    const found = plan(
      shop({
        now: 6540,
        crews,
        operations: [bond, next],
        links: [{ kind: "lag", id: "l", from: "bond", to: "next", minLag: 1440, maxLag: 4320 }],
      }),
    );
    expect(lotOf(found, "bond").end).toBe(6600);
    expect(lotOf(found, "next").start).toBe(10500);
  });
  test("coating in five working days of a named calendar", () => {
    const coat = operation("coat", [mode([], [phase("run", "pausable", 7200)], { calendar: "week" })]);
    const found = plan(
      shop({ now: 3720, calendars: [{ id: "week", name: "week", open: weekdays(0, 1440) }], operations: [coat] }),
    );
    expect(lotOf(found, "coat").end).toBe(13800);
  });
  test("without a machine and without a calendar time is elapsed", () => {
    const found = plan(
      shop({
        now: 5,
        operations: [operation("a", [mode([], [phase("run", "pausable", 100)])])],
        machines: [machine("m", { open: always() })],
      }),
    );
    expect(lotOf(found, "a").end).toBe(105);
  });
});
