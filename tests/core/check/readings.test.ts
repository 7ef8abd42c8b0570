/**
 * The finer points: who starts unattended work, what binds an operation prepared early, lots in links and setups, where
 * stretches begin and end, costs by part, sentences. Numbers Cnn are those of src/core/check/SPEC.md.
 */
import { describe, expect, test } from "vitest";
import { subtract } from "../../../src/core/calendar/intervals.ts";
import { check } from "../../../src/core/check/checker.ts";
import { sayDuration, sayMinutes, sayPeople } from "../../../src/core/check/wording.ts";
import { NO_WEIGHTS } from "../../../src/core/problem/objective.ts";
import {
  clear,
  crew,
  DAY,
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
  shop,
  steps,
  supply,
  table,
  transfer,
  unattended,
  weekdays,
} from "./shop.ts";
import { expectNothingWrong, expectWrong, wrong, wrongWith } from "./verdict.ts";

describe("unattended work", () => {
  const runs = (given: Parameters<typeof operation>[1] = {}) => operation("a", { phases: [unattended(60)], ...given });
  const night = (problem: ReturnType<typeof shop>) => plan(problem, put("a", [[1000, 1060]]));
  const alone = wrong("nobodyThere", ["a"], null, [1000, 1001], 1);

  test("begins by itself only when selfStart, or when the shop has no crews", () => {
    const problem = shop({ operations: [runs()] });
    expectWrong(problem, night(problem), alone);
    const pallets = shop({ operations: [runs({ selfStart: true })] });
    expectNothingWrong(pallets, night(pallets));
    const without = shop({ crews: [], machines: [machine("m", { unattended: { kind: "never" } })], operations: [runs()] });
    expectNothingWrong(without, night(without));
  });

  test("a starter needs the skill and headcount, not presence alone (C21)", () => {
    const late = weekdays(900, 1380);
    const crews = [
      crew("day"),
      crew("late", { skills: ["rig"], shift: late, headcount: steps(subtract(late, weekdays(1000, 1030)), 100) }),
    ];
    const rig = shop({ crews, operations: [runs({ startSkill: "rig" })] });
    expectNothingWrong(rig, plan(rig, put("a", [[950, 1010]])));
    expectWrong(rig, plan(rig, put("a", [[600, 660]])), wrong("nobodyThere", ["a"], null, [600, 601], 1));
    expectWrong(rig, night(rig), alone);
    // In the break somebody is on site, so a machine that never runs alone goes on.
    const never = shop({ crews, machines: [machine("m", { unattended: { kind: "never" } })], operations: [runs()] });
    expectNothingWrong(never, plan(never, put("a", [[990, 1050]])));
  });

  test("a rest ends when somebody can start it again, and resting until then is right", () => {
    const open = subtract([[0, 20 * DAY]], [[1000, 1100]]);
    const problem = shop({
      machines: [machine("m", { open })],
      operations: [runs({ phases: [unattended(200, { flow: "pausable" })] })],
    });
    expectNothingWrong(
      problem,
      plan(
        problem,
        put("a", [
          [
            [880, 1000],
            [1860, 1940],
          ],
        ]),
      ),
    );
    expectWrong(
      problem,
      plan(
        problem,
        put("a", [
          [
            [880, 1000],
            [1100, 1180],
          ],
        ]),
      ),
      wrong("nobodyThere", ["a"], null, [1100, 1101], 1),
    );
    const pallets = shop({
      ...problem,
      operations: [runs({ phases: [unattended(200, { flow: "pausable" })], selfStart: true })],
    });
    expectWrong(
      pallets,
      plan(
        pallets,
        put("a", [
          [
            [880, 1000],
            [1860, 1940],
          ],
        ]),
      ),
      wrong("restedThoughWorkable", ["a"], null, [1100, 1860], 760),
    );
  });

  test("windows and limit are judged apart, each minute once (C15, C24)", () => {
    const rule = { kind: "allowed", windows: [[0, 960]], maxMinutes: 30 } as const;
    const machines = ["m", "n"].map((id) => machine(id, { unattended: rule }));
    const problem = shop({ machines, operations: [runs({ machines: ["m", "n"], phases: [unattended(100)] })] });
    expectWrong(
      problem,
      plan(problem, put("a", [[890, 990]])),
      wrong("unattendedTooLong", ["a"], "m", [930, 990], 60),
      wrong("unattendedNotAllowed", ["a"], "m", [960, 990], 30),
    );
  });
});

describe("lots, links, setups", () => {
  test("prepareEarly: release and links bind the first phase after prepare, not the start", () => {
    const phases = [prepare(30), run(60)];
    const make = (prepareEarly: boolean) =>
      shop({
        orders: [order("o", { release: 480 })],
        crews: [crew("day", { people: 200 })],
        operations: [operation("a", { phases, prepareEarly })],
      });
    const early = make(true);
    expectNothingWrong(
      early,
      plan(
        early,
        put("a", [
          [450, 480],
          [480, 540],
        ]),
      ),
    );
    expectWrong(
      early,
      plan(
        early,
        put("a", [
          [440, 470],
          [470, 530],
        ]),
      ),
      wrong("beforeRelease", ["a"], null, [470, 480], 10),
    );
    const usual = make(false);
    expectWrong(
      usual,
      plan(
        usual,
        put("a", [
          [450, 480],
          [480, 540],
        ]),
      ),
      wrong("beforeRelease", ["a"], null, [450, 480], 30),
    );
  });

  test("a longest lag binds every pair of lots", () => {
    const pieces = { pieces: 2, phases: [run({ seconds: 600 }, { needs: 50 })], split: { lots: 2, minPieces: 1 } };
    const problem = shop({
      operations: [operation("a", { machines: ["x"], ...pieces }), operation("b", { machines: ["y"], ...pieces })],
      links: [lag("a", "b", 0, 30)],
    });
    const given = (last: number) =>
      plan(
        problem,
        put("a", [[420, 430]], { pieces: 1 }),
        put("a", [[430, 440]], { pieces: 1 }),
        put("b", [[440, 450]], { pieces: 1 }),
        put("b", [[last, last + 10]], { pieces: 1 }),
      );
    expectNothingWrong(problem, given(460));
    expectWrong(
      problem,
      given(471),
      wrong("lagLong", ["a", "b"], "a>b", [460, 471], 11),
      wrong("lagLong", ["a", "b"], "a>b", [470, 471], 1),
    );
  });

  test("the family a machine stands in comes from lots, running and done work; equal starts go by id", () => {
    const setup = table(
      ["V", "T"],
      [
        [0, 50],
        [40, 0],
      ],
    );
    const phases = [prepare(0), run({ seconds: 600 })];
    const problem = shop({
      now: 420,
      machines: [machine("m", { setup, family: "V" })],
      operations: [
        operation("done", { family: "T", progress: { done: [{ mode: "a", pieces: 1, start: 0, end: 60 }] } }),
        operation("a", { pieces: 2, phases, family: "T", split: { lots: 2, minPieces: 1 } }),
        operation("b", { phases, family: "V" }),
      ],
    });
    const between = plan(
      problem,
      put("a", [null, [420, 430]], { pieces: 1 }),
      put("b", [
        [430, 470],
        [470, 480],
      ]),
      put(
        "a",
        [
          [480, 530],
          [530, 540],
        ],
        { pieces: 1 },
      ),
    );
    expectNothingWrong(problem, between);
    expect(check(problem, between).cost.parts.setup).toBe(90);
    const equal = plan(
      problem,
      put("a", [null, [420, 440]]),
      put("b", [
        [420, 460],
        [460, 470],
      ]),
    );
    expect(wrongWith(problem, equal).map(({ kind }) => kind)).toEqual(["machineDoubleUse", "crewShort"]);
  });

  test("an operation with no phase left is an instant: it occupies nothing and still counts in links", () => {
    const problem = shop({ operations: [operation("a"), operation("mark", { phases: [run(0)] })], links: [lag("a", "mark", 0)] });
    expectNothingWrong(problem, plan(problem, put("a", [[420, 480]]), put("mark", [], { start: 480 })));
    expectWrong(
      problem,
      plan(problem, put("a", [[420, 480]]), put("mark", [], { start: 450 })),
      wrong("lagShort", ["a", "mark"], "a>mark", [450, 480], 30),
    );
  });

  test("transfer through lots; the next operation, not each lot of it, may not end first (C43)", () => {
    const worked = (id: string, seconds: number) =>
      operation(id, { machines: [id], pieces: 4, phases: [run({ seconds }, { needs: 50 })], split: { lots: 2, minPieces: 1 } });
    const problem = shop({ operations: [worked("a", 600), worked("b", 300)], links: [transfer("a", "b", 2)] });
    const given = (first: number, second: number) =>
      plan(
        problem,
        put("a", [[420, 440]], { pieces: 2 }),
        put("a", [[450, 470]], { pieces: 2 }),
        put("b", [[first, first + 10]], { pieces: 2 }),
        put("b", [[second, second + 10]], { pieces: 2 }),
      );
    expectNothingWrong(problem, given(440, 470));
    expectWrong(problem, given(440, 465), wrong("transferEarly", ["a", "b"], "a>b", [465, 470], 5));
    expectWrong(problem, given(435, 470), wrong("transferEarly", ["a", "b"], "a>b", [435, 440], 5));
  });

  test("kit spans hold from the first start to the last end, and add up with other holds", () => {
    const problem = shop({
      kits: [kit("motor", 1)],
      operations: [operation("a"), operation("b"), operation("other", { machines: ["n"], kits: [{ kit: "motor", count: 1 }] })],
      kitSpans: [{ id: "span", kit: "motor", count: 1, from: "a", to: "b" }],
    });
    const given = (start: number) =>
      plan(problem, put("a", [[420, 480]]), put("b", [[600, 660]]), put("other", [[start, start + 60]]));
    expectNothingWrong(problem, given(660));
    expectWrong(problem, given(500), wrong("kitShort", ["a", "b", "other"], "motor", [500, 560], 1));
  });
});

test("a stretch of excess goes on while anything is short, whoever uses it; a new one begins after a minute without (C11)", () => {
  const draws = [{ supply: "dc", amount: 60 }];
  const problem = shop({
    crews: [crew("day", { people: 400 })],
    supplies: [supply("dc", 100)],
    operations: ["a", "b", "c", "d"].map((id) => operation(id, { machines: [id], phases: [run(60, { draws })] })),
  });
  const given = plan(problem, put("a", [[420, 480]]), put("b", [[440, 500]]), put("c", [[480, 540]]), put("d", [[510, 570]]));
  expectWrong(
    problem,
    given,
    wrong("supplyShort", ["a", "b", "c"], "dc", [440, 500], 20),
    wrong("supplyShort", ["c", "d"], "dc", [510, 540], 20),
  );
});

describe("cost", () => {
  test("waiting for each machine, unsocial minutes rounded up once, completed orders nothing", () => {
    const crews = [crew("day", { unsocial: [[880, 900]] })];
    const done = { done: [{ mode: "a", pieces: 1, start: 0, end: 60 }] };
    const problem = shop({
      now: 100,
      crews,
      orders: [order("o", { release: 50, due: 890 }), order("finished", { due: 0, weight: 9 })],
      operations: [
        operation("a", { machines: ["m", "n"], phases: [run(60, { needs: 33 }), clear(15, { needs: 33 })] }),
        operation("z", { order: "finished", machines: ["q"], progress: done }),
      ],
      weights: { ...NO_WEIGHTS, makespan: 1, maxLateness: 1, lateOrders: 1 },
    });
    const given = plan(
      problem,
      put("a", [
        [800, 860],
        [885, 900],
      ]),
    );
    expectNothingWrong(problem, given);
    const { parts, total } = check(problem, given).cost;
    expect(parts).toEqual({
      tardiness: 10,
      disturbance: 0,
      waiting: 50,
      setup: 0,
      unsocial: 5,
      flow: 850,
      makespan: 900,
      maxLateness: 10,
      lateOrders: 1,
    });
    expect(total).toBe(911);
  });

  test("disturbance: nearness by published start, lots without a partner, capped moves, new crews and machines", () => {
    const crews = ["day", "other"].map((id) => crew(id));
    const modes = ["x", "y"].map((id) => mode(id, [id], [run({ seconds: 600 })]));
    const base = shop({ crews, operations: [operation("a", { modes, pieces: 2, split: { lots: 2, minPieces: 1 } })] });
    const far = plan(
      base,
      put("a", [[7200, 7210]], { mode: "x", pieces: 1 }),
      put("a", [[7210, 7220]], { mode: "x", pieces: 1 }),
    );
    const problem = { ...base, published: far };
    const joined = plan(problem, put("a", [[20_000, 20_020]], { mode: "y", crews: [["other"]] }));
    expect(check(problem, joined).cost.parts.disturbance).toBe(10_080 + 480 + 120 + 480);
    expect(check({ ...problem, now: 1 }, joined).cost.parts.disturbance).toBe(2 * (10_080 + 480 + 120 + 480));
    expect(check(problem, far).cost.parts.disturbance).toBe(0);
  });
});

describe("words", () => {
  test("sentences name work, order, machine, day and time", () => {
    const operations = [
      operation("a", { name: "Winding", order: "Rotor R14" }),
      operation("b", { name: "Impregnation", order: "Stator S2" }),
    ];
    const orders = [order("Rotor R14", { name: "Rotor R14" }), order("Stator S2", { name: "Stator S2" })];
    const problem = shop({
      operations,
      orders,
      machines: [machine("m", { name: "Press 2" })],
      crews: [crew("day", { people: 200 })],
    });
    const [conflict] = check(problem, plan(problem, put("a", [[420, 480]]), put("b", [[440, 500]]))).conflicts;
    expect(conflict?.sentence).toBe(
      "Press 2 is taken by more than one operation from Mon 07:20 to Mon 08:00: Impregnation (Stator S2) and Winding (Rotor R14).",
    );
  });

  test("minutes are said in the site's zone, through a clock change; far days carry their date", () => {
    // Central European time began summer time on Sunday 29 March 2026 at 01:00 UTC (Directive 2000/84/EC, article 2).
    const say = sayMinutes({ zone: "Europe/Berlin", origin: "2026-03-27T23:00:00Z", now: 0 });
    expect(say(0)).toBe("Sat 00:00");
    expect(say(1440 + 119)).toBe("Sun 01:59");
    expect(say(1440 + 120)).toBe("Sun 03:00");
    expect(say(10 * 1440)).toBe("Tue 7 Apr 01:00");
  });

  test("durations and people", () => {
    expect([0, 40, 60, 220, 605, 4320, 7330].map(sayDuration)).toEqual([
      "0 min",
      "40 min",
      "1 h",
      "3 h 40",
      "10 h 05",
      "3 d",
      "5 d 2 h 10",
    ]);
    expect([50, 100, 40, 240, 205].map(sayPeople)).toEqual([
      "half a person",
      "1 person",
      "0.4 people",
      "2.4 people",
      "2.05 people",
    ]);
  });
});
