/**
 * Every kind of conflict: a plan that breaks exactly that rule, beside a twin that keeps it. Expected intervals and amounts
 * are worked out by hand from the planning problem, section 5; numbers Cnn are those of src/core/check/SPEC.md.
 */
import { describe, expect, test } from "vitest";
import { CONFLICT_KINDS } from "../../../src/core/check/conflict.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import {
  ALWAYS,
  clear,
  crew,
  kit,
  lag,
  machine,
  mode,
  operation,
  order,
  plan,
  prepare,
  put,
  run,
  sameMachine,
  shop,
  steps,
  supply,
  table,
  transfer,
  unattended,
  WEEKS_4,
  weekdays,
} from "./shop.ts";
import { expectNothingWrong, expectWrong, type Wrong, wrong } from "./verdict.ts";

type Case = {
  readonly title: string;
  readonly problem: Problem;
  readonly good: Plan;
  readonly bad: Plan;
  readonly expected: Wrong;
};

const cases: Case[] = [];
const add = (given: Case): void => {
  cases.push(given);
};

// ---- resources
{
  const problem = shop({ crews: [crew("day", { people: 300 })], operations: ["a", "b", "c"].map((id) => operation(id)) });
  add({
    title: "machineDoubleUse: three at once on one machine, one stretch with all of them",
    problem,
    good: plan(problem, put("a", [[420, 480]]), put("b", [[480, 540]]), put("c", [[540, 600]])),
    bad: plan(problem, put("a", [[420, 480]]), put("b", [[440, 500]]), put("c", [[450, 510]])),
    expected: wrong("machineDoubleUse", ["a", "b", "c"], "m", [440, 500], 2),
  });
}
{
  const problem = shop({
    operations: ["a", "b", "c"].map((id) => operation(id, { machines: [id], phases: [run(60, { needs: 50 })] })),
  });
  add({
    title: "crewShort: a third need of 50 beside two",
    problem,
    good: plan(problem, put("a", [[420, 480]]), put("b", [[420, 480]]), put("c", [[480, 540]])),
    bad: plan(problem, put("a", [[420, 480]]), put("b", [[420, 480]]), put("c", [[450, 510]])),
    expected: wrong("crewShort", ["a", "b", "c"], "day", [450, 480], 50),
  });
}
{
  const draws = [{ supply: "dc", amount: 200 }];
  const amount = steps(ALWAYS, 300);
  const problem = shop({
    supplies: [supply("dc", amount)],
    crews: [crew("day", { people: 200 })],
    operations: ["a", "b"].map((id) => operation(id, { machines: [id], phases: [run(60, { draws })] })),
  });
  add({
    title: "supplyShort: two draws of 200 on 300",
    problem,
    good: plan(problem, put("a", [[420, 480]]), put("b", [[480, 540]])),
    bad: plan(problem, put("a", [[420, 480]]), put("b", [[460, 520]])),
    expected: wrong("supplyShort", ["a", "b"], "dc", [460, 480], 100),
  });
}
{
  const kits = [{ kit: "fixture", count: 1 }];
  const crews = [crew("day"), crew("late", { skills: ["test"], shift: weekdays(900, 1380) })];
  const problem = shop({
    crews,
    kits: [kit("fixture", 1)],
    operations: [
      operation("a", { machines: ["x"], phases: [run(60, { flow: "pausable" })], kits }),
      operation("b", { machines: ["y"], phases: [run(60, { needs: [{ skill: "test", amount: 100 }] })], kits }),
    ],
  });
  add({
    title: "kitShort: a kit is held from start to end, over night too",
    problem,
    good: plan(
      problem,
      put("a", [
        [
          [870, 900],
          [1860, 1890],
        ],
      ]),
      put("b", [[2400, 2460]]),
    ),
    bad: plan(
      problem,
      put("a", [
        [
          [870, 900],
          [1860, 1890],
        ],
      ]),
      put("b", [[1000, 1060]]),
    ),
    expected: wrong("kitShort", ["a", "b"], "fixture", [1000, 1060], 1),
  });
}

// ---- minutes worked that way
{
  const problem = shop({ machines: [machine("m", { open: weekdays(480, 1440) })], operations: [operation("a")] });
  add({
    title: "machineClosed: half of it before the machine opens",
    problem,
    good: plan(problem, put("a", [[480, 540]])),
    bad: plan(problem, put("a", [[450, 510]])),
    expected: wrong("machineClosed", ["a"], "m", [450, 480], 30),
  });
}
{
  const problem = shop({ operations: [operation("a")] });
  add({
    title: "nobodyThere: attended work after the shift, and not crewShort as well",
    problem,
    good: plan(problem, put("a", [[840, 900]])),
    bad: plan(problem, put("a", [[880, 940]])),
    expected: wrong("nobodyThere", ["a"], "day", [900, 940], 40),
  });
}
{
  const problem = shop({
    machines: [machine("m", { unattended: { kind: "never" } })],
    operations: [operation("a", { phases: [unattended(60)] })],
  });
  add({
    title: "unattendedNotAllowed: the machine never runs alone",
    problem,
    good: plan(problem, put("a", [[840, 900]])),
    bad: plan(problem, put("a", [[860, 920]])),
    expected: wrong("unattendedNotAllowed", ["a"], "m", [900, 920], 20),
  });
}
{
  const rule = { kind: "allowed", windows: null, maxMinutes: 30 } as const;
  const problem = shop({
    machines: [machine("m", { unattended: rule })],
    operations: [operation("a", { phases: [unattended(60)] })],
  });
  add({
    title: "unattendedTooLong: the limit since the site emptied is reached",
    problem,
    good: plan(problem, put("a", [[870, 930]])),
    bad: plan(problem, put("a", [[890, 950]])),
    expected: wrong("unattendedTooLong", ["a"], "m", [930, 950], 20),
  });
}

// ---- phases
{
  const problem = shop({ crews: [crew("day", { people: 200 })], operations: [operation("a", { phases: [run(60), clear(30)] })] });
  add({
    title: "phaseOrder: clear begins before run has ended",
    problem,
    good: plan(
      problem,
      put("a", [
        [420, 480],
        [480, 510],
      ]),
    ),
    bad: plan(
      problem,
      put("a", [
        [420, 480],
        [470, 500],
      ]),
    ),
    expected: wrong("phaseOrder", ["a"], null, [470, 480], 10),
  });
}
{
  const problem = shop({ operations: [operation("a", { phases: [run(60), clear(30, { maxWait: 20 })] })] });
  add({
    title: "phaseWait: clear waits longer than it may",
    problem,
    good: plan(
      problem,
      put("a", [
        [420, 480],
        [500, 530],
      ]),
    ),
    bad: plan(
      problem,
      put("a", [
        [420, 480],
        [515, 545],
      ]),
    ),
    expected: wrong("phaseWait", ["a"], null, [500, 515], 15),
  });
}
{
  const problem = shop({ operations: [operation("a")] });
  add({
    title: "flowBroken: solid work in two parts",
    problem,
    good: plan(problem, put("a", [[420, 480]])),
    bad: plan(
      problem,
      put("a", [
        [
          [420, 450],
          [460, 490],
        ],
      ]),
    ),
    expected: wrong("flowBroken", ["a"], null, [450, 460], 10),
  });
  const pieces = shop({ operations: [operation("a", { pieces: 2, phases: [run({ seconds: 1800 }, { flow: "piecewise" })] })] });
  add({
    title: "flowBroken: a piece is interrupted by the night",
    problem: pieces,
    good: plan(
      pieces,
      put("a", [
        [
          [850, 880],
          [1860, 1890],
        ],
      ]),
    ),
    bad: plan(
      pieces,
      put("a", [
        [
          [850, 900],
          [1860, 1870],
        ],
      ]),
    ),
    expected: wrong("flowBroken", ["a"], null, [900, 1860], 960),
  });
}
{
  const problem = shop({ operations: [operation("a", { phases: [run(60, { flow: "pausable" })] })] });
  add({
    title: "restedThoughWorkable: rests by choice",
    problem,
    good: plan(
      problem,
      put("a", [
        [
          [870, 900],
          [1860, 1890],
        ],
      ]),
    ),
    bad: plan(
      problem,
      put("a", [
        [
          [860, 890],
          [1860, 1890],
        ],
      ]),
    ),
    expected: wrong("restedThoughWorkable", ["a"], null, [890, 1860], 10),
  });
  const pieces = shop({ operations: [operation("a", { pieces: 2, phases: [run({ seconds: 1800 }, { flow: "piecewise" })] })] });
  add({
    title: "restedThoughWorkable: the next piece would have fitted earlier",
    problem: pieces,
    good: plan(
      pieces,
      put("a", [
        [
          [850, 880],
          [1860, 1890],
        ],
      ]),
    ),
    bad: plan(
      pieces,
      put("a", [
        [
          [850, 880],
          [1870, 1900],
        ],
      ]),
    ),
    expected: wrong("restedThoughWorkable", ["a"], null, [1860, 1870], 10),
  });
}
{
  const problem = shop({ operations: [operation("a")] });
  add({
    title: "wrongWork: ten minutes short",
    problem,
    good: plan(problem, put("a", [[420, 480]])),
    bad: plan(problem, put("a", [[420, 470]])),
    expected: wrong("wrongWork", ["a"], null, [420, 470], 10),
  });
}
{
  const setup = table(
    ["V", "T"],
    [
      [10, 50],
      [45, 15],
    ],
  );
  const problem = shop({
    machines: [machine("m", { setup, family: "V" })],
    operations: [operation("a", { phases: [prepare(20), run(60)], family: "T" })],
  });
  add({
    title: "setupShort: prepare without its setup, and not wrongWork as well",
    problem,
    good: plan(
      problem,
      put("a", [
        [420, 490],
        [490, 550],
      ]),
    ),
    bad: plan(
      problem,
      put("a", [
        [420, 440],
        [440, 500],
      ]),
    ),
    expected: wrong("setupShort", ["a"], null, [420, 440], 50),
  });
}
{
  const crews = [crew("day"), crew("office", { skills: ["plan"] })];
  const problem = shop({ crews, operations: [operation("a")] });
  add({
    title: "crewNotOffered: a crew without the skill",
    problem,
    good: plan(problem, put("a", [[420, 480]], { crews: [["day"]] })),
    bad: plan(problem, put("a", [[420, 480]], { crews: [["office"]] })),
    expected: wrong("crewNotOffered", ["a"], null, [420, 480], 60),
  });
}

// ---- operations and lots
{
  const problem = shop({
    operations: [operation("a"), operation("b", { machines: ["n"], window: { start: 420, end: 600 } })],
    links: [lag("a", "b", 0)],
  });
  add({
    title: "notPlanned: and nothing else about it, its link included",
    problem,
    good: plan(problem, put("a", [[420, 480]]), put("b", [[480, 540]])),
    bad: plan(problem, put("b", [[480, 540]])),
    expected: wrong("notPlanned", ["a"], null, [0, WEEKS_4], 0),
  });
}
{
  const problem = shop({ operations: [operation("a")] });
  add({
    title: "modeNotOffered: a mode that the operation does not have",
    problem,
    good: plan(problem, put("a", [[420, 480]])),
    bad: plan(problem, put("a", [[420, 480]], { mode: "by hand" })),
    expected: wrong("modeNotOffered", ["a"], null, [420, 480], 60),
  });
}
{
  const phases = [run({ seconds: 60 }, { flow: "pausable" })];
  const problem = shop({ operations: [operation("a", { pieces: 25, phases, split: { lots: 2, minPieces: 10 } })] });
  add({
    title: "lotsWrong: 9 + 16 where at least 10 are asked",
    problem,
    good: plan(problem, put("a", [[420, 430]], { pieces: 10 }), put("a", [[430, 445]], { pieces: 15 })),
    bad: plan(problem, put("a", [[420, 429]], { pieces: 9 }), put("a", [[430, 446]], { pieces: 16 })),
    expected: wrong("lotsWrong", ["a"], null, [420, 446], 1),
  });
}
{
  const problem = shop({ orders: [order("o", { release: 480 })], operations: [operation("a")] });
  add({
    title: "beforeRelease: starts before the material is there",
    problem,
    good: plan(problem, put("a", [[480, 540]])),
    bad: plan(problem, put("a", [[450, 510]])),
    expected: wrong("beforeRelease", ["a"], null, [450, 480], 30),
  });
}
{
  const problem = shop({ now: 500, operations: [operation("a")] });
  add({
    title: "beforeNow: starts in the past",
    problem,
    good: plan(problem, put("a", [[500, 560]])),
    bad: plan(problem, put("a", [[480, 540]])),
    expected: wrong("beforeNow", ["a"], null, [480, 500], 20),
  });
}
{
  const problem = shop({ horizon: 600, operations: [operation("a")] });
  add({
    title: "pastHorizon: ends after the last planned minute",
    problem,
    good: plan(problem, put("a", [[540, 600]])),
    bad: plan(problem, put("a", [[560, 620]])),
    expected: wrong("pastHorizon", ["a"], null, [600, 620], 20),
  });
}
{
  const problem = shop({ operations: [operation("a", { window: { start: 480, end: 600 } })] });
  add({
    title: "outsideWindow: ends after its window",
    problem,
    good: plan(problem, put("a", [[540, 600]])),
    bad: plan(problem, put("a", [[560, 620]])),
    expected: wrong("outsideWindow", ["a"], null, [600, 620], 20),
  });
}
{
  const calibrations = [{ name: "torque", due: 500, interval: 10_080 }];
  const problem = shop({
    machines: [machine("m", { calibrations })],
    operations: [operation("a", { needsCalibrations: ["torque"] }), operation("cal", { calibrates: ["torque"] })],
  });
  add({
    title: "calibrationLapsed: needs the renewal before it, not after",
    problem,
    good: plan(problem, put("cal", [[420, 480]]), put("a", [[480, 540]])),
    bad: plan(problem, put("a", [[450, 510]]), put("cal", [[510, 570]])),
    expected: wrong("calibrationLapsed", ["a"], "m", [500, 510], 10),
  });
}
{
  const modes = ["x", "y"].map((id) => mode(id, [id], [run(60)]));
  const problem = shop({ operations: [operation("a", { modes, pin: { machines: ["x"], start: 480 } })] });
  add({
    title: "pinMoved: pinned to a machine and a start",
    problem,
    good: plan(problem, put("a", [[480, 540]], { mode: "x" })),
    bad: plan(problem, put("a", [[500, 560]], { mode: "y" })),
    expected: wrong("pinMoved", ["a"], null, [500, 560], 20),
  });
}
{
  const running = { mode: "a", pieces: 1, start: 440, phase: 0, crews: ["day"], remaining: 40, working: true };
  const problem = shop({ now: 460, operations: [operation("a", { progress: { running: [running] } })] });
  add({
    title: "runningMoved: solid work goes on now",
    problem,
    good: plan(problem, put("a", [[460, 500]], { start: 440 })),
    bad: plan(problem, put("a", [[470, 510]], { start: 440 })),
    expected: wrong("runningMoved", ["a"], null, [440, 510], 10),
  });
}
{
  const base = shop({ freeze: 1000, operations: [operation("a")] });
  const problem = { ...base, published: plan(base, put("a", [[480, 540]])) };
  add({
    title: "frozenMoved: published work near at hand stays where it is",
    problem,
    good: plan(problem, put("a", [[480, 540]])),
    bad: plan(problem, put("a", [[500, 560]])),
    expected: wrong("frozenMoved", ["a"], null, [500, 560], 20),
  });
}

// ---- links
{
  const operations = [operation("a", { machines: ["x"] }), operation("b", { machines: ["y"] })];
  const problem = shop({ operations, links: [lag("a", "b", 30, 90)] });
  add({
    title: "lagShort: the bond has not cured",
    problem,
    good: plan(problem, put("a", [[420, 480]]), put("b", [[510, 570]])),
    bad: plan(problem, put("a", [[420, 480]]), put("b", [[500, 560]])),
    expected: wrong("lagShort", ["a", "b"], "a>b", [500, 510], 10),
  });
  add({
    title: "lagLong: too old to use",
    problem,
    good: plan(problem, put("a", [[420, 480]]), put("b", [[570, 630]])),
    bad: plan(problem, put("a", [[420, 480]]), put("b", [[600, 660]])),
    expected: wrong("lagLong", ["a", "b"], "a>b", [570, 600], 30),
  });
}
{
  const phases = [run({ seconds: 600 }, { needs: 50 })];
  const operations = ["a", "b"].map((id) => operation(id, { machines: [id], pieces: 4, phases }));
  const problem = shop({ operations, links: [transfer("a", "b", 2)] });
  add({
    title: "transferEarly: piece 3 is taken up before pieces 1 to 4 are out",
    problem,
    good: plan(problem, put("a", [[420, 460]]), put("b", [[440, 480]])),
    bad: plan(problem, put("a", [[420, 460]]), put("b", [[435, 475]])),
    expected: wrong("transferEarly", ["a", "b"], "a>b", [435, 440], 5),
  });
}
{
  const modes = ["x", "y"].map((id) => mode(id, [id], [run(60)]));
  const problem = shop({ operations: ["a", "b"].map((id) => operation(id, { modes })), links: [sameMachine("a", "b")] });
  add({
    title: "otherMachine: must stay on the machine",
    problem,
    good: plan(problem, put("a", [[420, 480]], { mode: "y" }), put("b", [[480, 540]], { mode: "y" })),
    bad: plan(problem, put("a", [[420, 480]], { mode: "y" }), put("b", [[480, 540]], { mode: "x" })),
    expected: wrong("otherMachine", ["a", "b"], "a=b", [480, 540], 60),
  });
}

// ---- orders and run hours
{
  const problem = shop({
    orders: [order("o", { due: 400, deadline: 540 })],
    operations: [operation("a"), operation("b", { machines: ["n"] })],
  });
  add({
    title: "afterDeadline: late against the due date alone is no conflict",
    problem,
    good: plan(problem, put("a", [[420, 480]]), put("b", [[480, 540]])),
    bad: plan(problem, put("a", [[420, 480]]), put("b", [[500, 560]])),
    expected: wrong("afterDeadline", ["b"], "o", [540, 560], 20),
  });
}
{
  const runHourRules = [{ id: "oil", machine: "m", counter: 50, limit: 100, operations: ["oil1", "oil2"] }];
  const operations = [operation("a"), operation("oil1", { phases: [clear(30)] }), operation("oil2", { phases: [clear(30)] })];
  const problem = shop({ operations, runHourRules });
  add({
    title: "maintenanceOverdue: the counter passes its limit; C4: the end of the list stays unplanned",
    problem,
    good: plan(problem, put("oil1", [[420, 450]]), put("a", [[450, 510]])),
    bad: plan(problem, put("a", [[420, 480]]), put("oil1", [[480, 510]])),
    expected: wrong("maintenanceOverdue", [], "oil", [470, 510], 10),
  });
}

describe("every kind of conflict, alone, beside a plan that keeps the rule", () => {
  for (const { title, problem, good, bad, expected } of cases) {
    test(title, () => {
      expectNothingWrong(problem, good);
      expectWrong(problem, bad, expected);
    });
  }
  test("no kind is missing from this page", () => {
    expect([...new Set(cases.map(({ expected }) => expected.kind))].sort()).toEqual([...CONFLICT_KINDS].sort());
  });
});
