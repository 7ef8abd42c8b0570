/** Replays against the plan itself, published project networks, closed forms of queues, and split runs. */
import { describe, expect, test } from "vitest";
import { demoShop } from "../../../seed/demo-shop.ts";
import { readProblemFile } from "../../../src/contract/problem-file.ts";
import type { Interval } from "../../../src/core/calendar/minute.ts";
import { dispatchNetwork } from "../../../src/core/explain/dispatch-network.ts";
import { layWork, NEVER } from "../../../src/core/explain/lay-work.ts";
import { createRandom } from "../../../src/core/ground/prng.ts";
import { makePlan } from "../../../src/core/plan/make-plan.ts";
import { flatNetwork } from "../../../src/core/risk/flat-network.ts";
import { Laid, layFlat } from "../../../src/core/risk/lay-flat.ts";
import { overRestOfDate } from "../../../src/core/risk/over-rest.ts";
import { normalBelow, pertMean, pertVariance } from "../../../src/core/risk/pert.ts";
import { createReplay, mergeRuns, simulateRuns } from "../../../src/core/risk/replay.ts";
import { DEFAULT_RISK_PROFILE, NO_RISK, type RiskProfile } from "../../../src/core/risk/risk-profile.ts";
import { dateAt, deciders, howSure, riskReport } from "../../../src/core/risk/risk-report.ts";
import { shopInProgress } from "../../arbitraries/shop-in-progress.ts";
import { tinyProblem } from "../../arbitraries/tiny-problem.ts";
import { crew, lag, operation, order, plan, put, run, shop, unattended } from "../check/shop.ts";
import { CONSTRUCTION, pointOf, projectShop, SMALL_PROJECT, WEEK } from "./project-networks.ts";

describe("a replay in which nothing goes otherwise", () => {
  test("is the plan to the minute, on 40 random shops, half of them in progress", () => {
    let orders = 0;
    for (let seed = 1; seed <= 40; seed++) {
      const problem = seed % 2 === 0 ? tinyProblem(seed) : shopInProgress(seed).problem;
      const outcome = makePlan(problem, { seed, iterations: 30 });
      if (outcome.conflicts.length > 0) continue;
      const report = howSure(problem, outcome.plan, { seed, runs: 1, profile: NO_RISK });
      for (const { order: id, planned, dates } of report.orders) {
        expect(dates.p50, `seed ${seed}, order ${id}`).toBe(planned);
        orders++;
      }
    }
    expect(orders).toBeGreaterThan(30);
  });

  test("is the plan to the minute in the demo shop: batches handed on piece by piece over nights, shared people and supplies", () => {
    const read = readProblemFile(demoShop("2026-06-10T10:00"));
    if (!read.ok) throw new Error(JSON.stringify(read.error));
    const start = read.value.published ?? { operations: [] };
    const { plan: made, conflicts } = makePlan(read.value, { seed: 1, iterations: 1, start });
    expect(conflicts).toEqual([]);
    const { orders } = howSure(read.value, made, { seed: 1, runs: 1, profile: NO_RISK });
    expect(orders.length).toBeGreaterThan(20);
    for (const { order: id, planned, dates } of orders) expect(dates.p50, `order ${id}`).toBe(planned);
  });

  test("lays work through the calendars as the explanations do: every phase from random minutes on, shorter and longer", () => {
    let laidOnes = 0;
    for (let seed = 1; seed <= 12; seed++) {
      const problem = seed % 2 === 0 ? tinyProblem(seed) : shopInProgress(seed).problem;
      const network = dispatchNetwork(problem, makePlan(problem, { seed, iterations: 10 }).plan);
      const random = createRandom(seed);
      const flat = flatNetwork(network);
      const laid = new Laid();
      network.nodes.forEach((node, i) => {
        for (let turn = 0; turn < 8; turn++) {
          const notBefore = problem.now + random.int(Math.max(1, problem.horizon - problem.now));
          const pieces = node.pieces && { ...node.pieces, seconds: node.pieces.seconds * (0.5 + random.next()) };
          const minutes = pieces
            ? pieces.offset + Math.ceil((pieces.count * pieces.seconds) / 60)
            : Math.round(node.minutes * (0.5 + random.next()));
          const handedOn = random.int(2) === 0 ? null : notBefore;
          const [work, begun] = [[] as Interval[], { begin: 0 }];
          const end = layWork(node.course, minutes, pieces, notBefore, handedOn, work, begun);
          const found = layFlat(
            flat,
            i,
            minutes,
            pieces ?? { seconds: 1, offset: 0, count: 0 },
            notBefore,
            handedOn ?? Number.NaN,
            laid,
          );
          const stretches = Array.from({ length: laid.stretches }, (_, s) => [laid.work[2 * s], laid.work[2 * s + 1]]);
          expect({ seed, i, end: found, begin: laid.begin, stretches }).toEqual({
            seed,
            i,
            end,
            begin: begun.begin,
            stretches: work,
          });
          if (end !== NEVER && minutes > 0) laidOnes++;
        }
      });
    }
    expect(laidOnes).toBeGreaterThan(200);
  });

  test("as soon as possible, it is never later than the plan", () => {
    const counts = { earlier: 0, same: 0 };
    for (let seed = 1; seed <= 40; seed++) {
      const problem = tinyProblem(seed);
      const outcome = makePlan(problem, { seed, iterations: 30 });
      if (outcome.conflicts.length > 0) continue;
      const profile: RiskProfile = { ...NO_RISK, starts: "asSoonAsPossible" };
      for (const { planned, dates } of howSure(problem, outcome.plan, { seed, runs: 1, profile }).orders) {
        expect(dates.p50 ?? Number.POSITIVE_INFINITY, `seed ${seed}`).toBeLessThanOrEqual(planned);
        counts[dates.p50 === planned ? "same" : "earlier"]++;
      }
    }
    // Engine plans lie to the left as a rule.
    expect(counts.same, JSON.stringify(counts)).toBeGreaterThan(20);
  });
});

describe("published project networks", () => {
  // Anderson, Sweeney, Williams: mean 17 weeks on A-E-H-I-J, variance 2.7222, P(T <= 20) = 0.9655 by the normal approximation.
  test("Anderson, Sweeney, Williams: path figures, and a simulated chance near the approximation", () => {
    const path = ["A", "E", "H", "I", "J"].map((id) => pointOf(SMALL_PROJECT.activities[id] ?? [0, 0, 0]));
    const mean = path.reduce((sum, point) => sum + pertMean(point), 0) / WEEK;
    const variance = path.reduce((sum, point) => sum + pertVariance(point), 0) / WEEK ** 2;
    expect(mean).toBeCloseTo(17, 9);
    expect(variance).toBeCloseTo(2.7222, 4);
    expect(normalBelow((20 - mean) / Math.sqrt(variance))).toBeCloseTo(0.9655, 3);
    const { problem, plan: project, profile } = projectShop(SMALL_PROJECT, 20);
    const report = howSure(problem, project, { seed: 1, runs: 2000, profile });
    const [only] = report.orders;
    expect(only?.planned).toBe(17 * WEEK);
    // The path sum ignores the near-critical A-D-G-J (one week of slack) and takes a smaller variance than the beta: the truth is lower.
    expect(only?.onTime).toBeGreaterThan(0.9);
    expect(only?.onTime).toBeLessThan(0.9655);
    const decides = new Map(report.operations.map((entry) => [entry.operation, entry.decidesEnd]));
    expect(decides.get("A")).toBeGreaterThan(0.99);
    expect(decides.get("J")).toBe(1);
    expect(decides.get("H")).toBeGreaterThan(decides.get("D") ?? 1);
    expect((decides.get("D") ?? 0) + (decides.get("H") ?? 0)).toBeGreaterThan(0.9);
    expect(decides.get("F")).toBeLessThan(0.01);
  });

  // Hillier, Lieberman: mean 44 weeks on A-B-C-E-F-J-L-N, variance 9, P(T <= 47) = 0.8413 by the normal approximation.
  test("Hillier, Lieberman: path figures, and the near-critical paths that the approximation leaves out", () => {
    const path = [..."ABCEFJLN"].map((id) => pointOf(CONSTRUCTION.activities[id] ?? [0, 0, 0]));
    expect(path.reduce((sum, point) => sum + pertMean(point), 0) / WEEK).toBeCloseTo(44, 9);
    expect(path.reduce((sum, point) => sum + pertVariance(point), 0) / WEEK ** 2).toBeCloseTo(9, 9);
    const { problem, plan: project, profile } = projectShop(CONSTRUCTION, 47);
    const [only] = howSure(problem, project, { seed: 1, runs: 2000, profile }).orders;
    expect(only?.planned).toBe(44 * WEEK);
    expect(only?.onTime).toBeGreaterThan(0.7);
    expect(only?.onTime).toBeLessThan(0.8413);
  });
});

test("what decides the end of one order is not what decides the end of all", () => {
  const problem = shop({
    crews: [],
    orders: [order("short"), order("long")],
    operations: [
      operation("x", { machines: ["m"], order: "short", phases: [unattended(60)] }),
      operation("y", { machines: ["m"], order: "short", phases: [unattended(60)] }),
      operation("z", { machines: ["n"], order: "long", phases: [unattended(600)] }),
    ],
    links: [lag("x", "y", 0, null)],
  });
  const made = plan(problem, put("x", [[0, 60]]), put("y", [[60, 120]]), put("z", [[0, 600]]));
  const replay = createReplay(problem, made, { ...NO_RISK, operations: { x: { best: 1, likely: 1.5, worst: 2 } } });
  const of = (row?: number) =>
    deciders(replay, simulateRuns(replay, { seed: 1, firstRun: 0, runs: 50, ...(row === undefined ? {} : { order: row }) }), 9);
  expect(of()).toEqual([{ operation: "z", share: 1 }]);
  expect(of(0)).toEqual([
    { operation: "x", share: 1 },
    { operation: "y", share: 1 },
  ]);
});

describe("one order, closed forms", () => {
  const alone = (release: number) => {
    const problem = shop({
      crews: [],
      orders: [order("o", { release, due: 1000 })],
      operations: [operation("x", { phases: [unattended(200)] })],
    });
    return { problem, plan: plan(problem, put("x", [[release, release + 200]])) };
  };

  test("the mean of one uncertain operation is its planned minutes times the mean factor", () => {
    const { problem, plan: made } = alone(0);
    const profile: RiskProfile = { ...NO_RISK, operations: { x: { best: 0.5, likely: 1, worst: 3 } } };
    const part = simulateRuns(createReplay(problem, made, profile), { seed: 5, firstRun: 0, runs: 4000 });
    const mean = part.completions.reduce((sum, end) => sum + end, 0) / 4000;
    expect(mean / 200).toBeCloseTo(pertMean({ best: 0.5, likely: 1, worst: 3 }), 1);
  });

  test("late material: the share of late orders is its chance", () => {
    const { problem, plan: made } = alone(800);
    const profile: RiskProfile = {
      ...NO_RISK,
      material: { chance: 0.3, delayMinutes: { best: 100, likely: 200, worst: 300 } },
    };
    const [only] = howSure(problem, made, { seed: 2, runs: 4000, profile }).orders;
    expect(only?.onTime).toBeGreaterThan(0.7 - 4 * Math.sqrt(0.21 / 4000));
    expect(only?.onTime).toBeLessThan(0.7 + 4 * Math.sqrt(0.21 / 4000));
    // What is on hand already cannot come late.
    expect(howSure(alone(0).problem, alone(0).plan, { seed: 2, runs: 50, profile }).orders[0]?.onTime).toBe(1);
  });

  test("machine stops lengthen the mean by the availability", () => {
    const { problem, plan: made } = alone(0);
    const profile: RiskProfile = { ...NO_RISK, stops: { m: { meanBetween: 90, meanRepair: 30 } } };
    const part = simulateRuns(createReplay(problem, made, profile), { seed: 9, firstRun: 0, runs: 6000 });
    const mean = part.completions.reduce((sum, end) => sum + end, 0) / 6000;
    expect(Math.abs(mean - 200 / 0.75)).toBeLessThan(5);
  });
});

// The two-job shop by hand: x then y on one machine, attended 07:00-15:00 by one crew; x takes longer, y is pushed over the night.
test("calendars hold in a replay: what no longer fits today begins tomorrow", () => {
  const problem = shop({
    orders: [order("o", { due: 900 })],
    operations: [operation("x", { phases: [run(240)] }), operation("y", { phases: [run(240)] })],
  });
  const made = plan(problem, put("x", [[420, 660]]), put("y", [[660, 900]]));
  const factor = 1.1; // x: 264 minutes, until 684; y then needs until 924 + 24, after the shift
  const profile: RiskProfile = { ...NO_RISK, operations: { x: { best: factor, likely: factor, worst: factor } } };
  const report = howSure(problem, made, { seed: 1, runs: 3, profile });
  expect(report.orders[0]?.dates.p50).toBe(1860 + 240);
  expect(report.orders[0]?.onTime).toBe(0);
  expect(report.operations[0]).toEqual({ operation: "x", decidesEnd: 1, decidesLateness: 1 });
});

// Friday's shift is [6180, 6660), Monday's begins at 10500; due on Saturday at 24:00, 8640.
test("due on a Saturday: what runs over on Friday goes on on Monday, and the answer says how often and what an hour would do", () => {
  const friday = (factor: number, due = 8640) => {
    const problem = shop({
      orders: [order("o", { due })],
      operations: [operation("x", { phases: [{ ...run(480), flow: "pausable" }] })],
    });
    const made = plan(problem, put("x", [[6180, 6660]]));
    const profile: RiskProfile = {
      ...NO_RISK,
      stayMinutes: 30,
      operations: { x: { best: factor, likely: factor, worst: factor } },
    };
    return howSure(problem, made, { seed: 1, runs: 3, profile }).orders[0];
  };
  expect(friday(1.05)).toMatchObject({ onTime: 1, overRest: null }); // 24 minutes: somebody stays
  expect(friday(1.1)).toMatchObject({ onTime: 0, overRest: { leave: 6660, back: 10500, share: 1, hourEnough: 1 } });
  expect(friday(1.25)).toMatchObject({ onTime: 0, overRest: { leave: 6660, back: 10500, share: 1, hourEnough: 0 } });
  // due when its people are there: nothing to be said of a rest
  expect(friday(1.25, 10560)).toMatchObject({ onTime: 0, overRest: null });
  // a date still to be promised: ended on Friday, it is said what happens when it runs over; ended on Thursday, Friday is left
  const promised = (ends: readonly number[], day = 0) => {
    const problem = shop({ orders: [order("o")], operations: [operation("x", { phases: [{ ...run(400), flow: "pausable" }] })] });
    const network = dispatchNetwork(problem, plan(problem, put("x", [[6180 - day, 6580 - day]])));
    return overRestOfDate(network, 0, 6580 - day, ends);
  };
  expect(promised([6580, 6650, 10520, 10600])).toEqual({ leave: 6660, back: 10500, share: 0.5, hourEnough: 0.25 });
  expect(promised([6580, 6650])).toBe(null);
  expect(promised([5140, 6200], 1440)).toBe(null);
});

test("one person serves two machines in the plan's order, two people side by side", () => {
  const delay = (people: number): number | null | undefined => {
    const problem = shop({
      crews: [crew("day", { people })],
      operations: [operation("x", { machines: ["m"], order: "ox" }), operation("y", { machines: ["n"], order: "oy" })],
    });
    const made = plan(problem, put("x", [[420, 480]]), put("y", [[480, 540]]));
    const profile: RiskProfile = { ...NO_RISK, operations: { x: { best: 2, likely: 2, worst: 2 } } };
    return howSure(problem, made, { seed: 1, runs: 1, profile }).orders.find((entry) => entry.order === "oy")?.dates.p50;
  };
  expect(delay(100)).toBe(600);
  expect(delay(200)).toBe(540);
});

describe("work that takes longer than planned", () => {
  const longer = (flow: "solid" | "pausable", factor: number, stayMinutes: number): number | null | undefined => {
    const problem = shop({
      orders: [order("o", { due: 900 })],
      operations: [operation("x", { phases: [{ ...run(480), flow }] })],
    });
    const made = plan(problem, put("x", [[420, 900]]));
    const profile: RiskProfile = { ...NO_RISK, stayMinutes, operations: { x: { best: factor, likely: factor, worst: factor } } };
    return howSure(problem, made, { seed: 1, runs: 1, profile }).orders[0]?.dates.p50;
  };

  test("and may not be interrupted was begun all the same, and is worked to its end", () => {
    expect(longer("solid", 1.25, 0)).toBe(900 + 120);
    expect(longer("solid", 0.5, 0)).toBe(660);
  });

  test("and may be interrupted is ended past closing by who stays, or goes on the next day", () => {
    expect(longer("pausable", 1.05, 30)).toBe(900 + 24);
    expect(longer("pausable", 1.05, 20)).toBe(1860 + 24);
    expect(longer("pausable", 1.25, 30)).toBe(1860 + 120);
  });
});

test("nobody waits idle for material that has not come: what is ready goes first where it ends in time", () => {
  const end = (delay: number): number | null | undefined => {
    const problem = shop({
      orders: [order("ox", { release: 450 }), order("oy")],
      operations: [operation("x", { machines: ["m"], order: "ox" }), operation("y", { machines: ["n"], order: "oy" })],
    });
    const made = plan(problem, put("x", [[450, 510]]), put("y", [[510, 570]]));
    const late = { chance: 1, delayMinutes: { best: delay, likely: delay, worst: delay } };
    const profile: RiskProfile = { ...NO_RISK, orders: { ox: late } };
    return howSure(problem, made, { seed: 1, runs: 1, profile }).orders.find((entry) => entry.order === "oy")?.dates.p50;
  };
  // x cannot begin before 650: y is done by then. Before 530: y would not be, so it waits for x.
  expect(end(200)).toBe(570);
  expect(end(80)).toBe(590 + 60);
});

test("a broken longest lag is counted", () => {
  const problem = shop({
    operations: [operation("x", { machines: ["m"] }), operation("y", { machines: ["n"] }), operation("z", { machines: ["n"] })],
    crews: [crew("day", { people: 300 })],
    links: [lag("x", "y", 0, 30)],
  });
  const made = plan(problem, put("x", [[420, 480]]), put("z", [[420, 480]]), put("y", [[480, 540]]));
  const profile: RiskProfile = { ...NO_RISK, operations: { z: { best: 2, likely: 2, worst: 2 } } };
  expect(howSure(problem, made, { seed: 1, runs: 4, profile }).brokenLags).toEqual([{ link: "x>y", share: 1 }]);
});

describe("runs", () => {
  test("split into parts and merged in any order they are the same runs", () => {
    const problem = tinyProblem(12);
    const made = makePlan(problem, { seed: 1, iterations: 30 }).plan;
    const replay = createReplay(problem, made, DEFAULT_RISK_PROFILE);
    const whole = simulateRuns(replay, { seed: 42, firstRun: 0, runs: 90 });
    const parts = [
      simulateRuns(replay, { seed: 42, firstRun: 60, runs: 30 }),
      simulateRuns(replay, { seed: 42, firstRun: 0, runs: 25 }),
      simulateRuns(createReplay(problem, made, DEFAULT_RISK_PROFILE), { seed: 42, firstRun: 25, runs: 35 }),
    ];
    expect(mergeRuns(parts)).toEqual(whole);
    expect(riskReport(replay, parts)).toEqual(riskReport(replay, [whole]));
    expect(() => mergeRuns(parts.slice(0, 2))).toThrow(/missing/);
  });

  test("another seed gives other runs, the same seed the same", () => {
    const { problem, plan: project, profile } = projectShop(SMALL_PROJECT, 20);
    const ends = (seed: number) => howSure(problem, project, { seed, runs: 50, profile }).end;
    expect(ends(1)).toEqual(ends(1));
    expect(ends(1)).not.toEqual(ends(2));
  });

  test("the date at a confidence is the end that so many runs do not pass", () => {
    const ends = Array.from({ length: 100 }, (_, i) => i + 1);
    expect([0.5, 0.8, 0.95].map((confidence) => dateAt(ends, confidence))).toEqual([50, 80, 95]);
    expect(dateAt([...ends.slice(0, 94), -1, -1, -1, -1, -1, -1], 0.95)).toBeNull();
  });
});
