/**
 * What is already decided: running work, pins, frozen work. Numbers Cnn are those of src/core/check/SPEC.md;
 * expected values are worked out by hand from the planning problem, sections 3 and 4.
 */
import { describe, expect, test } from "vitest";
import { check } from "../../../src/core/check/checker.ts";
import { frozenWork } from "../../../src/core/check/frozen.ts";
import type { RunningLot } from "../../../src/core/orders/operation.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import {
  clear,
  crew,
  lag,
  machine,
  mode,
  operation,
  type Put,
  plan,
  prepare,
  put,
  run,
  sameMachine,
  shop,
  table,
  unattended,
} from "./shop.ts";
import { expectNothingWrong, expectWrong, wrong } from "./verdict.ts";

const lot = (given: Partial<RunningLot>): RunningLot => ({
  ...{ mode: "a", pieces: 1, start: 400, phase: 0, crews: ["day"], remaining: 60, working: true },
  ...given,
});

describe("running work", () => {
  test("pausable work goes on at the first workable minute, solid work now whatever the calendar says", () => {
    const running = lot({ start: 800, remaining: 100 });
    const make = (flow: "solid" | "pausable") =>
      shop({ now: 910, operations: [operation("a", { phases: [run(200, { flow })], progress: { running: [running] } })] });
    const pausable = make("pausable");
    expectNothingWrong(pausable, plan(pausable, put("a", [[1860, 1960]], { start: 800 })));
    expectWrong(
      pausable,
      plan(pausable, put("a", [[1870, 1970]], { start: 800 })),
      wrong("runningMoved", ["a"], null, [800, 1970], 10),
    );
    const solid = make("solid");
    expectWrong(
      solid,
      plan(solid, put("a", [[910, 1010]], { start: 800 })),
      wrong("nobodyThere", ["a"], "day", [910, 1010], 100),
    );
  });

  test("unattended work that rests must be started again, work that works right now need not", () => {
    const make = (working: boolean) =>
      shop({
        now: 910,
        operations: [
          operation("a", {
            phases: [unattended(200, { flow: "pausable" })],
            progress: { running: [lot({ crews: [], working })] },
          }),
        ],
      });
    const [works, rests] = [make(true), make(false)];
    const now = (problem: Problem) => plan(problem, put("a", [[910, 970]], { start: 400 }));
    expectNothingWrong(works, now(works));
    expectWrong(
      rests,
      now(rests),
      wrong("runningMoved", ["a"], null, [400, 970], 950),
      wrong("nobodyThere", ["a"], null, [910, 911], 1),
    );
    expectNothingWrong(rests, plan(rests, put("a", [[1860, 1920]], { start: 400 })));
  });

  test("mode, start and crews are facts; the minutes left replace the work and its setup", () => {
    const setup = table(
      ["V", "T"],
      [
        [0, 50],
        [50, 0],
      ],
    );
    const crews = ["day", "other"].map((id) => crew(id));
    const operations = [
      operation("a", {
        phases: [prepare(20), run(60)],
        family: "T",
        progress: { running: [lot({ start: 430, remaining: 25 })] },
      }),
    ];
    const problem = shop({ now: 450, machines: [machine("m", { setup, family: "V" })], crews, operations });
    const given = (change: Partial<Put>) =>
      plan(
        problem,
        put(
          "a",
          [
            [450, 475],
            [475, 535],
          ],
          { start: 430, ...change },
        ),
      );
    expectNothingWrong(problem, given({}));
    expectWrong(problem, given({ start: 440 }), wrong("runningMoved", ["a"], null, [440, 535], 10));
    expectWrong(problem, given({ crews: [["other"], ["day"]] }), wrong("runningMoved", ["a"], null, [430, 535], 0));
  });

  test("a part that waits to be unloaded: nothing remains, the next phase is planned as usual (C22, C35)", () => {
    const phases = [unattended(60), clear(30, { maxWait: 1000 })];
    const problem = shop({
      now: 920,
      operations: [operation("a", { phases, progress: { running: [lot({ remaining: 0, crews: [], working: false })] } })],
    });
    const unload = (start: number) => plan(problem, put("a", [[start, start + 30]], { from: 1, start: 400 }));
    expectNothingWrong(problem, unload(1860));
    expectWrong(problem, unload(1925), wrong("phaseWait", ["a"], null, [1920, 1925], 5));
    expect(check(problem, unload(1860)).cost.parts.waiting).toBe(940);
  });

  test("lots side by side: each stands by itself, in the order of their starts (C51)", () => {
    const unattendedLot = { crews: [], pieces: 2 };
    const problem = shop({
      now: 500,
      operations: [
        operation("a", {
          pieces: 4,
          split: { lots: 2, minPieces: 1 },
          modes: [mode("a", ["m"], [unattended(200)]), mode("b", ["n"], [unattended(200)])],
          progress: {
            running: [
              lot({ ...unattendedLot, start: 420, remaining: 120 }),
              lot({ ...unattendedLot, mode: "b", start: 440, remaining: 140 }),
            ],
          },
        }),
      ],
    });
    const first = put("a", [[500, 620]], { start: 420, pieces: 2 });
    const second = (from: number, start = 440) => put("a", [[from, from + 140]], { mode: "b", start, pieces: 2 });
    expectNothingWrong(problem, plan(problem, first, second(500)));
    expectWrong(problem, plan(problem, first, second(510, 450)), wrong("runningMoved", ["a"], null, [450, 650], 20));
    expect(check(problem, plan(problem, second(500), first)).conflicts.map(({ kind }) => kind)).toEqual(
      expect.arrayContaining(["lotsWrong", "runningMoved", "runningMoved"]),
    );
    expect(check(problem, plan(problem, first)).conflicts.map(({ kind }) => kind)).toContain("lotsWrong");
  });

  test("a running batch may be cut at a piece end still to come, not before (C40)", () => {
    const running = lot({ start: 420, pieces: 4, remaining: 250 });
    const problem = shop({
      now: 570,
      operations: [
        operation("a", {
          pieces: 4,
          phases: [run({ seconds: 6000 }, { flow: "piecewise" })],
          split: { lots: 2, minPieces: 1 },
          progress: { running: [running] },
        }),
      ],
    });
    const cutAfter2 = plan(problem, put("a", [[570, 620]], { start: 420, pieces: 2 }), put("a", [[620, 820]], { pieces: 2 }));
    expectNothingWrong(problem, cutAfter2);
    const cutAfter1 = plan(problem, put("a", [null], { start: 420, end: 570, pieces: 1 }), put("a", [[570, 870]], { pieces: 3 }));
    expectWrong(problem, cutAfter1, wrong("lotsWrong", ["a"], null, [420, 870], 1));
  });

  test("set up early, the run of a running lot is still bound by release and links (C41)", () => {
    const before = operation("before", { machines: ["n"] });
    const running = lot({ start: 410, phase: 0, remaining: 10 });
    const later = operation("a", { phases: [prepare(20), run(60)], prepareEarly: true, progress: { running: [running] } });
    const problem = shop({
      now: 420,
      crews: [crew("day", { people: 200 })],
      operations: [before, later],
      links: [lag("before", "a", 0)],
    });
    const given = (start: number) =>
      plan(
        problem,
        put("before", [[420, 480]]),
        put(
          "a",
          [
            [420, 430],
            [start, start + 60],
          ],
          { start: 410 },
        ),
      );
    expectNothingWrong(problem, given(480));
    expectWrong(problem, given(470), wrong("lagShort", ["a", "before"], "before>a", [470, 480], 10));
  });
});

test("pinned machines bind every lot that has not begun, a pinned start only the first (C50)", () => {
  const modes = ["x", "y"].map((id) => mode(id, [id], [run({ seconds: 600 })]));
  const done = [{ mode: "y", pieces: 2, start: 100, end: 120 }];
  const make = (begun: boolean) =>
    shop({
      now: 420,
      operations: [
        operation("a", {
          modes,
          pieces: 4,
          split: { lots: 2, minPieces: 1 },
          pin: { machines: ["x"], start: 500 },
          progress: { done: begun ? done : [] },
        }),
      ],
    });
  const begun = make(true);
  expectNothingWrong(begun, plan(begun, put("a", [[420, 440]], { mode: "x", pieces: 2 })));
  expectWrong(
    begun,
    plan(begun, put("a", [[420, 440]], { mode: "y", pieces: 2 })),
    wrong("pinMoved", ["a"], null, [420, 440], 0),
  );
  const fresh = make(false);
  const lots = (second: string) =>
    plan(fresh, put("a", [[500, 520]], { mode: "x", pieces: 2 }), put("a", [[520, 540]], { mode: second, pieces: 2 }));
  expectNothingWrong(fresh, lots("x"));
  expectWrong(fresh, lots("y"), wrong("pinMoved", ["a"], null, [520, 540], 0));
});

describe("frozen work", () => {
  const published = (given: Partial<Problem>, ...puts: readonly Put[]): Problem => {
    const base = shop({ freeze: 700, ...given });
    return { ...base, published: plan(base, ...puts) };
  };
  const answer = (problem: Problem) => {
    const { kept, freed } = frozenWork(problem);
    return {
      kept: kept.map(({ operation: id }) => id),
      freed: freed.map(({ operation: id, because }) => [id, "kind" in because ? because.kind : because]),
    };
  };

  test("published work before the freeze time is kept, later work and what has begun are not frozen", () => {
    const done = [{ mode: "a", pieces: 1, start: 0, end: 60 }];
    const problem = published(
      { operations: [operation("a"), operation("b"), operation("late"), operation("done", { progress: { done } })] },
      ...[put("b", [[480, 540]]), put("a", [[420, 480]]), put("late", [[700, 760]]), put("done", [[0, 60]])],
    );
    expect(answer(problem)).toEqual({ kept: ["a", "b"], freed: [] });
  });

  test("what is impossible in its place is freed, and what follows it by a link; the rest stays", () => {
    const closed = machine("m", {
      open: [
        [0, 430],
        [490, 20_000],
      ],
    });
    const problem = published(
      {
        machines: [closed],
        crews: [crew("day", { people: 300 })],
        operations: [
          operation("a"),
          operation("b", { machines: ["n"] }),
          operation("c", { machines: ["n"] }),
          operation("d", { machines: ["p"] }),
        ],
        links: [lag("a", "b", 0), sameMachine("b", "c"), lag("b", "d", 0)],
      },
      ...[put("a", [[420, 480]]), put("b", [[500, 560]]), put("c", [[560, 620]]), put("d", [[600, 660]])],
    );
    expect(answer(problem)).toEqual({
      kept: ["c"],
      freed: [
        ["a", "machineClosed"],
        ["b", { followed: "a" }],
        ["d", { followed: "b" }],
      ],
    });
    const plain = plan(problem, put("a", [[490, 550]]), put("b", [[620, 680]]), put("c", [[560, 620]]), put("d", [[700, 760]]));
    expectNothingWrong(problem, plain);
  });

  test("of two that cannot both stay the earlier is kept; frees are decided in order of published start, then id", () => {
    const problem = published(
      { operations: ["a", "b", "c"].map((id) => operation(id)) },
      put("c", [[470, 530]]),
      put("b", [[420, 480]]),
      put("a", [[530, 590]]),
    );
    expect(answer(problem)).toEqual({ kept: ["b", "a"], freed: [["c", "machineDoubleUse"]] });
  });

  test("running work frees what stands in its way for certain, with its later phases (C54)", () => {
    const running = lot({ start: 400, remaining: 50 });
    const make = (start: number) =>
      published(
        {
          now: 420,
          operations: [operation("run", { phases: [run(100), clear(30)], progress: { running: [running] } }), operation("a")],
        },
        put("run", [
          [400, 450],
          [450, 480],
        ]),
        put("a", [[start, start + 60]]),
      );
    expect(answer(make(500))).toEqual({ kept: ["a"], freed: [] });
    expect(answer(make(499))).toEqual({ kept: [], freed: [["a", "machineDoubleUse"]] });
  });

  test("a pin moves frozen work; a start that has passed frees it", () => {
    const pinned = published({ operations: [operation("a", { pin: { machines: null, start: 600 } })] }, put("a", [[420, 480]]));
    expect(answer(pinned)).toEqual({ kept: [], freed: [["a", "pinMoved"]] });
    const missed = published({ now: 430, operations: [operation("a")] }, put("a", [[420, 480]]));
    expect(answer(missed)).toEqual({ kept: [], freed: [["a", "beforeNow"]] });
  });

  test("frozen crews count too, and work of a batch is kept lot by lot", () => {
    const crews = ["day", "other"].map((id) => crew(id));
    const problem = published({ crews, operations: [operation("a")] }, put("a", [[420, 480]]));
    expectWrong(
      problem,
      plan(problem, put("a", [[420, 480]], { crews: [["other"]] })),
      wrong("frozenMoved", ["a"], null, [420, 480], 0),
    );
  });
});
