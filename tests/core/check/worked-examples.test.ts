/**
 * The eight worked examples of the planning problem, section 8, through the checker. One crew of 100, Mon-Fri 07:00-15:00
 * without breaks unless said; minute 0 is Monday 00:00. Every number is the page's own.
 */
import { describe, expect, test } from "vitest";
import { subtract } from "../../../src/core/calendar/intervals.ts";
import { sumOfSteps } from "../../../src/core/calendar/step-function.ts";
import { check } from "../../../src/core/check/checker.ts";
import type { Flow, Phase } from "../../../src/core/orders/operation.ts";
import { setupMinutes } from "../../../src/core/plant/setup.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import {
  clear,
  crew,
  lag,
  machine,
  minutesFor,
  mode,
  operation,
  order,
  plan,
  prepare,
  put,
  run,
  shop,
  started,
  steps,
  table,
  transfer,
  unattended,
  type Worked,
  weekdays,
} from "./shop.ts";
import { expectNothingWrong, expectWrong, wrong } from "./verdict.ts";

const one = (phases: readonly Phase[], given: Partial<Problem> = {}): Problem =>
  shop({ operations: [operation("a", { phases })], ...given });
const at = (problem: Problem, ...phases: readonly Worked[]) => plan(problem, put("a", phases));
const waiting = (problem: Problem, ...phases: readonly Worked[]): number =>
  check(problem, at(problem, ...phases)).cost.parts.waiting;

describe("1. flows", () => {
  test("pausable, 600 min, start 600", () => {
    const problem = one([run(600, { flow: "pausable" })]);
    const worked: Worked = [
      [600, 900],
      [1860, 2160],
    ];
    expectNothingWrong(problem, at(problem, worked));
    expect(waiting(problem, worked)).toBe(960);
  });
  test("with a daily break 11:00-11:30", () => {
    const shift = weekdays(420, 900);
    const headcount = steps(subtract(shift, weekdays(660, 690)), 100);
    const problem = one([run(600, { flow: "pausable" })], { crews: [crew("day", { shift, headcount })] });
    const worked: Worked = [
      [600, 660],
      [690, 900],
      [1860, 2100],
      [2130, 2220],
    ];
    expectNothingWrong(problem, at(problem, worked));
    expect(waiting(problem, worked)).toBe(1020);
    expectWrong(
      problem,
      at(problem, [
        [600, 660],
        [700, 900],
        [1860, 2100],
        [2130, 2230],
      ]),
      wrong("restedThoughWorkable", ["a"], null, [690, 700], 10),
    );
  });
  test("solid, 120 min, not before 840: [1860, 1980)", () => {
    const problem = one([run(120)], { orders: [order("o", { release: 840 })] });
    expectNothingWrong(problem, at(problem, [1860, 1980]));
    expectWrong(problem, at(problem, [840, 960]), wrong("nobodyThere", ["a"], "day", [900, 960], 60));
  });
});

describe("2. pieces", () => {
  test("piecewise, 4 pieces of 6,000 s, start 720", () => {
    const problem = shop({
      operations: [operation("a", { pieces: 4, phases: [run({ seconds: 6000 }, { flow: "piecewise" })] })],
    });
    expectNothingWrong(
      problem,
      at(problem, [
        [720, 820],
        [1860, 2160],
      ]),
    );
    expectWrong(
      problem,
      at(problem, [
        [720, 900],
        [1860, 2080],
      ]),
      wrong("flowBroken", ["a"], null, [900, 1860], 960),
    );
  });
  test("4 pieces of 90 s take 2, 1, 2, 1 minutes", () => {
    expect([1, 2, 3, 4].map((i) => minutesFor(i, 90) - minutesFor(i - 1, 90))).toEqual([2, 1, 2, 1]);
    const problem = shop({
      crews: [
        crew("day", {
          shift: [
            [420, 422],
            [500, 503],
            [600, 601],
          ],
        }),
      ],
      operations: [operation("a", { pieces: 4, phases: [run({ seconds: 90 }, { flow: "piecewise" })] })],
    });
    expectNothingWrong(
      problem,
      at(problem, [
        [420, 422],
        [500, 503],
        [600, 601],
      ]),
    );
  });
  test("the first run at now = 1900 with 300 minutes remaining: piece ends 2000, 2100, 2200", () => {
    const running = { mode: "a", pieces: 4, start: 720, phase: 0, crews: ["day"], remaining: 300, working: true };
    const shift = [
      [420, 900],
      [1860, 2000],
      [2010, 2100],
      [2110, 2600],
    ] as const;
    const given = (free: Problem["crews"]): Problem =>
      shop({
        now: 1900,
        crews: free,
        operations: [
          operation("a", {
            pieces: 4,
            phases: [run({ seconds: 6000 }, { flow: "piecewise" })],
            progress: { running: [running] },
          }),
        ],
      });
    const whole = given([crew("day")]);
    expectNothingWrong(whole, plan(whole, put("a", [[1900, 2200]], { start: 720 })));
    // With the crew away for ten minutes where the first piece ends, the second fits only after the second absence.
    const broken = given([crew("day", { shift })]);
    expectNothingWrong(
      broken,
      plan(
        broken,
        put(
          "a",
          [
            [
              [1900, 2000],
              [2110, 2310],
            ],
          ],
          { start: 720 },
        ),
      ),
    );
    expectWrong(
      broken,
      plan(
        broken,
        put(
          "a",
          [
            [
              [1900, 2000],
              [2010, 2100],
              [2110, 2220],
            ],
          ],
          { start: 720 },
        ),
      ),
      wrong("flowBroken", ["a"], null, [2100, 2110], 10),
    );
  });
});

describe("3. people", () => {
  const beside = (people: number, need: number, count: number): [Problem, ReturnType<typeof plan>] => {
    const ids = ["a", "b", "c", "d"].slice(0, count);
    const problem = shop({
      crews: [crew("day", { people })],
      operations: ids.map((id) => operation(id, { machines: [id], phases: [run(60, { needs: need })] })),
    });
    return [problem, plan(problem, ...ids.map((id) => put(id, [[420, 480]])))];
  };
  test("two runs of need 50 side by side; a third: crewShort 50", () => {
    expectNothingWrong(...beside(100, 50, 2));
    expectWrong(...beside(100, 50, 3), wrong("crewShort", ["a", "b", "c"], "day", [420, 480], 50));
  });
  test("a crew of 200: three needs of 60 fit, a fourth is short by 40", () => {
    expectNothingWrong(...beside(200, 60, 3));
    expectWrong(...beside(200, 60, 4), wrong("crewShort", ["a", "b", "c", "d"], "day", [420, 480], 40));
  });
  test("headcount 200, but 100 on Monday from 600; need 200", () => {
    const shift = weekdays(420, 900);
    const headcount = sumOfSteps([
      ...shift.map((interval) => ({ interval, amount: 200 })),
      { interval: [600, 900], amount: -100 },
    ]);
    const problem = one([run(120, { flow: "pausable", needs: 200 })], { crews: [crew("day", { shift, headcount })] });
    expectNothingWrong(
      problem,
      at(problem, [
        [540, 600],
        [1860, 1920],
      ]),
    );
    expectWrong(problem, at(problem, [540, 660]), wrong("nobodyThere", ["a"], "day", [600, 660], 60));
  });
});

describe("4. unattended", () => {
  const alone = (maxMinutes: number, flow: Flow = "solid"): Problem =>
    one([prepare(60), unattended(600, { flow }), clear(30)], {
      machines: [machine("m", { unattended: { kind: "allowed", windows: null, maxMinutes } })],
    });
  test("m = 960, start 810 and start 840", () => {
    const problem = alone(960);
    expectNothingWrong(problem, at(problem, [810, 870], [870, 1470], [1860, 1890]));
    expect(waiting(problem, [810, 870], [870, 1470], [1860, 1890])).toBe(390);
    expectNothingWrong(problem, at(problem, [840, 900], [900, 1500], [1860, 1890]));
    expectWrong(problem, at(problem, [840, 900], [905, 1505], [1860, 1890]), wrong("nobodyThere", ["a"], null, [905, 906], 1));
  });
  test("m = 480: no minute from 1380 to 1860 is workable", () => {
    const problem = alone(480);
    expectWrong(
      problem,
      at(problem, [810, 870], [870, 1470], [1860, 1890]),
      wrong("unattendedTooLong", ["a"], "m", [1380, 1470], 90),
    );
    // Whether it starts early or late in a shift, the run ends after it: clear waits for the next morning.
    const backToBack = (start: number) => {
      const morning = start < 900 ? 1860 : 3300;
      return at(problem, [start, start + 60], [start + 60, start + 660], [morning, morning + 30]);
    };
    for (const start of [420, 720, 1860, 2160]) expectNothingWrong(problem, backToBack(start));
    expectWrong(problem, backToBack(721), wrong("unattendedTooLong", ["a"], "m", [1380, 1381], 1));
  });
  test("were that run pausable: [870, 1380) and [1860, 1950)", () => {
    const problem = alone(480, "pausable");
    expectNothingWrong(
      problem,
      at(
        problem,
        [810, 870],
        [
          [870, 1380],
          [1860, 1950],
        ],
        [1950, 1980],
      ),
    );
    expectWrong(
      problem,
      at(
        problem,
        [810, 870],
        [
          [870, 1370],
          [1860, 1960],
        ],
        [1960, 1990],
      ),
      wrong("restedThoughWorkable", ["a"], null, [1370, 1860], 10),
    );
  });
});

describe("5. setup", () => {
  const rule = table(
    ["V", "T"],
    [
      [10, 50],
      [45, 15],
    ],
  );
  const phases = [prepare(20), run(30)];
  test("first in T prepares 70; then maintenance; next in T prepares 35", () => {
    const problem = shop({
      machines: [machine("m", { setup: rule, family: "V" })],
      operations: [operation("a", { phases, family: "T" }), operation("oil"), operation("b", { phases, family: "T" })],
    });
    const good = plan(
      problem,
      put("a", [
        [420, 490],
        [490, 520],
      ]),
      put("oil", [[520, 580]]),
      put("b", [
        [580, 615],
        [615, 645],
      ]),
    );
    expectNothingWrong(problem, good);
    expect(check(problem, good).cost.parts.setup).toBe(65);
    const long = plan(
      problem,
      put("a", [
        [420, 490],
        [490, 520],
      ]),
      put("oil", [[520, 580]]),
      put("b", [
        [580, 650],
        [650, 680],
      ]),
    );
    expectWrong(problem, long, wrong("wrongWork", ["b"], null, [580, 650], 35));
  });
  test("on two machines that stand in V and T, family T on both: 70", () => {
    const problem = shop({
      machines: [machine("m", { setup: rule, family: "V" }), machine("n", { setup: rule, family: "T" })],
      operations: [operation("a", { phases, machines: ["m", "n"], family: "T" })],
    });
    expectNothingWrong(
      problem,
      plan(
        problem,
        put("a", [
          [420, 490],
          [490, 520],
        ]),
      ),
    );
  });
  test("chamber at 2 K/min, no settling time: 31 min and 13 min", () => {
    const chamber = { kind: "temperature", rampPerMinute: 2000, settling: 0 } as const;
    expect(setupMinutes(chamber, 23_000, 85_000)).toBe(31);
    const problem = shop({
      machines: [machine("m", { setup: chamber, family: 23_000 })],
      operations: [
        operation("a", { phases: [prepare(0), run(30)], family: 85_000 }),
        operation("b", { phases: [prepare(0), run(30)], family: 60_000 }),
      ],
    });
    expectNothingWrong(
      problem,
      plan(
        problem,
        put("a", [
          [420, 451],
          [451, 481],
        ]),
        put("b", [
          [481, 494],
          [494, 524],
        ]),
      ),
    );
  });
});

describe("6. lots", () => {
  test("24 good pieces at scrap 40: 25 to start; 21 at 300: 30", () => {
    expect([started(24, 40), started(21, 300)]).toEqual([25, 30]);
  });
  test("at most 2 lots of at least 10: 10 + 15 yes, 9 + 16 no", () => {
    const problem = shop({
      operations: [operation("a", { pieces: 25, phases: [run({ seconds: 60 })], split: { lots: 2, minPieces: 10 } })],
    });
    const cut = (first: number) =>
      plan(problem, put("a", [[420, 420 + first]], { pieces: first }), put("a", [[450, 475 - first]], { pieces: 25 - first }));
    expectNothingWrong(problem, cut(10));
    expectWrong(problem, cut(9), wrong("lotsWrong", ["a"], null, [420, 466], 1));
  });
  test("transfer lots of 2", () => {
    const piece = (seconds: number, flow: Flow) => run({ seconds }, { flow, needs: 50 });
    const problem = shop({
      operations: [
        operation("a", { machines: ["x"], pieces: 4, phases: [piece(1800, "solid")] }),
        operation("b", { machines: ["y"], pieces: 4, phases: [piece(1200, "pausable")] }),
      ],
      links: [transfer("a", "b", 2)],
    });
    const next = (worked: Worked) => plan(problem, put("a", [[420, 540]]), put("b", [worked]));
    expectNothingWrong(problem, next([500, 580]));
    expectWrong(problem, next([480, 560]), wrong("transferEarly", ["a", "b"], "a>b", [520, 540], 20));
    expectWrong(
      problem,
      next([
        [480, 520],
        [540, 580],
      ]),
      wrong("restedThoughWorkable", ["b"], null, [520, 540], 20),
    );
  });
});

describe("7. limits", () => {
  const bonded = (within: number): Problem =>
    shop({ operations: [operation("bond"), operation("next", { machines: ["n"] })], links: [lag("bond", "next", 1440, within)] });
  const next = (problem: Problem, start: number) =>
    plan(problem, put("bond", [[6540, 6600]]), put("next", [[start, start + 60]]));
  test("cure 1,440, use within 4,320: from 10500 to 10920", () => {
    const problem = bonded(4320);
    for (const start of [10_500, 10_920]) expectNothingWrong(problem, next(problem, start));
    expectWrong(problem, next(problem, 10_499), wrong("nobodyThere", ["next"], "day", [10_499, 10_500], 1));
    expectWrong(
      problem,
      next(problem, 10_921),
      wrong("lagLong", ["bond", "next"], "bond>next", [10_920, 10_921], 1),
      wrong("nobodyThere", ["next"], "day", [10_980, 10_981], 1),
    );
  });
  test("use within 3,600 is impossible unless somebody works on Saturday or Sunday", () => {
    const problem = bonded(3600);
    expectWrong(problem, next(problem, 10_500), wrong("lagLong", ["bond", "next"], "bond>next", [10_200, 10_500], 300));
    const weekend = {
      ...problem,
      crews: [crew("day", { shift: [...weekdays(420, 900).filter(([start]) => start < 8000), [8100, 8400]] })],
    };
    expectNothingWrong(weekend, next(weekend, 8100));
  });
  test("calibration valid through Friday: calibrationLapsed 480 and nothing else", () => {
    const rule = { kind: "allowed", windows: null, maxMinutes: 1020 } as const;
    const problem = shop({
      machines: [machine("m", { unattended: rule, calibrations: [{ name: "torque", due: 7200, interval: 100_000 }] })],
      operations: [operation("a", { phases: [unattended(7200)], needsCalibrations: ["torque"] })],
    });
    expectWrong(problem, at(problem, [480, 7680]), wrong("calibrationLapsed", ["a"], "m", [7200, 7680], 480));
  });
  test("coating, 5 working days, sent Wed 14:00 (3720): back Wed 14:00 (13800)", () => {
    const problem = shop({
      calendars: [{ id: "coater", name: "Coater", open: weekdays(0, 1440) }],
      operations: [operation("a", { calendar: "coater", phases: [run(7200, { flow: "pausable", needs: 0 })] })],
    });
    expectNothingWrong(
      problem,
      at(problem, [
        [3720, 7200],
        [10_080, 13_800],
      ]),
    );
    expectWrong(problem, at(problem, [3720, 10_920]), wrong("machineClosed", ["a"], "coater", [7200, 10_080], 2880));
  });
});

test("8. cost: 560,220", () => {
  const crews = ["d", "e"].map((id) => crew(id));
  const setup = table(
    ["V", "T"],
    [
      [0, 50],
      [0, 0],
    ],
  );
  const phases = [prepare(20), run(90)];
  const modes = ["A", "B"].map((id) => mode(id, [id], phases, { families: ["T"] }));
  const machines = [machine("A", { setup, family: "T" }), machine("B", { setup, family: "V" })];
  const orders = [order("o", { weight: 3, release: 420, due: 2000 })];
  const base = shop({ now: 400, crews, machines, orders, operations: [operation("a", { modes })] });
  const problem = {
    ...base,
    published: plan(
      base,
      put(
        "a",
        [
          [1860, 1880],
          [1880, 1970],
        ],
        { mode: "A" },
      ),
    ),
  };
  const moved = plan(
    problem,
    put(
      "a",
      [
        [2000, 2070],
        [2070, 2160],
      ],
      { mode: "B", crews: [["e"], ["e"]] },
    ),
  );
  expectNothingWrong(problem, moved);
  const { parts, total } = check(problem, moved).cost;
  expect(parts).toMatchObject({ tardiness: 480, disturbance: 1480, setup: 50, waiting: 0, unsocial: 0, flow: 5220 });
  expect(total).toBe(560_220);
});
