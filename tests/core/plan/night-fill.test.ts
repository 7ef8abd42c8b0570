/**
 * Night fill: on random tiny shops the plan proposed has nothing new broken, no order becomes late or later and no night is used less;
 * the hours by week agree with a count minute by minute. On tiny shops with nights its gain is held against the most that any plan has. On an invented shop the long test of Wednesday starts on Monday before people leave.
 */
import { expect, test } from "vitest";
import { check } from "../../../src/core/check/checker.ts";
import { makePlan } from "../../../src/core/plan/make-plan.ts";
import { newConflicts } from "../../../src/core/plan/new-conflicts.ts";
import { nightFill } from "../../../src/core/plan/night-fill.ts";
import { nightMinutes, nightUse } from "../../../src/core/plan/night-hours.ts";
import { orderCompletions } from "../../../src/core/plan/plan-difference.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import { nightShop } from "../../arbitraries/night-shop.ts";
import { tinyProblem } from "../../arbitraries/tiny-problem.ts";
import { referenceCheck } from "../../reference/checker.ts";
import { mostNight } from "../../reference/most-night.ts";
import { crew, machine, mode, need, operation, order, phase, shop } from "../solve/shop.ts";

const sum = (list: readonly { readonly used: number }[]): number => list.reduce((total, { used }) => total + used, 0);

test("random tiny shops", () => {
  let proposals = 0;
  let worked = 0;
  for (let seed = 1; seed <= 30; seed++) {
    const problem = tinyProblem(seed);
    // what nothing follows is not planned yet
    const last = new Set(problem.operations.map(({ id }) => id).filter((id) => !problem.links.some(({ from }) => from === id)));
    const whole = makePlan(problem, { seed, iterations: 10 }).plan;
    const plan = { operations: whole.operations.filter((planned) => !last.has(planned.operation)) };
    const fill = nightFill(problem, plan, { gainLeast: 1 });
    expect({ seed, added: newConflicts(check(problem, plan).conflicts, check(problem, fill.plan).conflicts) }).toEqual({
      seed,
      added: [],
    });
    const before = orderCompletions(problem, plan);
    for (const [id, end] of orderCompletions(problem, fill.plan)) {
      const old = before.get(id) ?? null;
      const due = problem.orders.find((one) => one.id === id)?.due ?? null;
      if (old !== null && due !== null)
        expect({ seed, id, later: end === null || end > Math.max(due, old) }).toEqual({ seed, id, later: false });
    }
    expect(sum(fill.after)).toBeGreaterThanOrEqual(sum(fill.before));
    proposals += fill.proposals.length;
    // minute by minute
    const onSite = (minute: number): boolean =>
      problem.crews.length === 0 || problem.crews.some(({ present }) => present.some(([a, b]) => a <= minute && minute < b));
    for (const { machine: id, used, possible } of nightUse(problem, fill.plan, problem.now, problem.horizon)) {
      const minutes = new Set<number>();
      for (const { operation: of, lots } of fill.plan.operations) {
        const source = problem.operations.find((candidate) => candidate.id === of)!;
        for (const lot of lots) {
          const its = source.modes.find((candidate) => candidate.id === lot.mode)!;
          if (!its.machines.includes(id)) continue;
          for (const { phase: index, work } of lot.phases)
            if (its.phases[index]!.needs.length === 0)
              for (const [a, b] of work) for (let minute = a; minute < b; minute++) if (!onSite(minute)) minutes.add(minute);
        }
      }
      expect({ seed, id, used }).toEqual({ seed, id, used: minutes.size });
      expect(used).toBeLessThanOrEqual(possible);
      worked += used;
    }
  }
  expect(proposals).toBeGreaterThan(3);
  expect(worked).toBeGreaterThan(8);
});

test("most of what the nights of tiny shops could gain is found, and never more than there is", () => {
  let [before, found, still, most, reached, shops] = [0, 0, 0, 0, 0, 0];
  for (let seed = 1; seed <= 12; seed++) {
    const problem = nightShop(seed);
    const { plan, conflicts } = makePlan(problem, { seed, iterations: 50 });
    if (conflicts.length > 0) continue;
    const ends = orderCompletions(problem, plan);
    const latest = new Map(
      problem.orders.map(({ id, due }) => [id, due === null ? problem.horizon : Math.max(due, ends.get(id) ?? due)]),
    );
    const possible = mostNight(problem, latest);
    const fillWith = (moves: boolean) => {
      const { plan: next } = nightFill(problem, plan, { gainLeast: 1, until: problem.horizon, moves });
      expect({ seed, conflicts: referenceCheck(problem, next) }).toEqual({ seed, conflicts: [] });
      for (const [id, end] of orderCompletions(problem, next)) expect(end).toBeLessThanOrEqual(latest.get(id)!);
      return nightMinutes(problem, next);
    };
    const filled = fillWith(true);
    expect({ seed, more: filled > possible }).toEqual({ seed, more: false });
    shops++;
    before += nightMinutes(problem, plan);
    found += filled;
    still += fillWith(false);
    most += possible;
    if (filled === possible) reached++;
  }
  expect(shops).toBeGreaterThan(10);
  expect(found - before).toBeGreaterThan(0.85 * (most - before));
  expect(found).toBeGreaterThanOrEqual(still);
  expect(reached).toBeGreaterThan(0.6 * shops);
});

test("a long test planned for Wednesday starts on Monday before people leave", () => {
  const rig = machine("rig", { kind: "rig", unattended: { kind: "allowed", windows: null, maxMinutes: 600 } });
  const problem = shop({
    machines: [rig],
    crews: [crew("testers", ["test"])],
    orders: [order("o1", { due: 9000 })],
    operations: [
      operation("long test", [
        mode(["rig"], [phase("prepare", "solid", 60, { needs: [need("test")] }), phase("run", "solid", 480)], { id: "m" }),
      ]),
    ],
  });
  const plan = {
    operations: [
      {
        operation: "long test",
        lots: [
          {
            mode: "m",
            pieces: 1,
            start: 3300,
            end: 3840,
            phases: [
              { phase: 0, work: [[3300, 3360]], crews: ["testers"] },
              { phase: 1, work: [[3360, 3840]], crews: [] },
            ],
          },
        ],
      },
    ],
  } as const;
  expect(check(problem, plan).conflicts).toEqual([]);
  const fill = nightFill(problem, plan);
  // 60 minutes of its eight hours fall into Wednesday night; begun at 840, prepared at 900, all of it runs alone
  expect(fill.proposals).toHaveLength(1);
  expect(fill.proposals[0]).toMatchObject({
    operation: "long test",
    plannedStart: 3300,
    start: 840,
    nightMinutes: 480,
    gain: 420,
  });
  expect(fill.before[0]).toMatchObject({ machine: "rig", week: "2026-01-05", used: 60, possible: 3000 + 600 * 0 });
  expect(fill.after[0]).toMatchObject({ used: 480 });
});

/** One crew, Mon-Fri 07:00-15:00; a rig that may run alone; its long test lies on Wednesday, attended work on Monday afternoon. */
const crowded = (due: number) =>
  shop({
    machines: [machine("rig", { kind: "rig", unattended: { kind: "allowed", windows: null, maxMinutes: null } })],
    crews: [crew("testers", ["test"])],
    orders: [order("long", { due: 9000 }), order("short", { due })],
    operations: [
      operation(
        "long/1",
        [mode(["rig"], [phase("prepare", "solid", 60, { needs: [need("test")] }), phase("run", "solid", 900)], { id: "m" })],
        { order: "long" },
      ),
      operation("short/1", [mode(["rig"], [phase("run", "solid", 300, { needs: [need("test")] })], { id: "m" })], {
        order: "short",
      }),
    ],
  });
const crowdedPlan = {
  operations: [
    {
      operation: "long/1",
      lots: [
        {
          mode: "m",
          pieces: 1,
          start: 3300,
          end: 4260,
          phases: [
            { phase: 0, work: [[3300, 3360]], crews: ["testers"] },
            { phase: 1, work: [[3360, 4260]], crews: [] },
          ],
        },
      ],
    },
    {
      operation: "short/1",
      lots: [{ mode: "m", pieces: 1, start: 600, end: 900, phases: [{ phase: 0, work: [[600, 900]], crews: ["testers"] }] }],
    },
  ],
} as const;

test("attended work with slack makes room for a night, work without stays where it is", () => {
  const problem = crowded(9000);
  expect(check(problem, crowdedPlan).conflicts).toEqual([]);
  // with everything lying still the rig is taken until people leave
  expect(nightFill(problem, crowdedPlan, { moves: false, until: 1440 }).proposals).toEqual([]);
  const fill = nightFill(problem, crowdedPlan, { until: 1440 });
  expect(fill.proposals).toMatchObject([
    { operation: "long/1", plannedStart: 3300, nightMinutes: 900, moved: [{ operation: "short/1", from: 600 }] },
  ]);
  const [proposal] = fill.proposals;
  expect(proposal!.start + 60).toBeLessThanOrEqual(900);
  expect(check(problem, fill.plan).conflicts).toEqual([]);
  expect(orderCompletions(problem, fill.plan).get("short")).toBeLessThanOrEqual(9000);
  // due on Monday at 15:00 it may not give way
  expect(nightFill(crowded(900), crowdedPlan, { until: 1440 }).proposals).toEqual([]);
});

test("of a batch cut into two lots one runs into the night while the other stays where it is", () => {
  const problem = shop({
    machines: [machine("rig", { unattended: { kind: "allowed", windows: null, maxMinutes: null } })],
    crews: [crew("testers", ["test"])],
    orders: [order("two", { due: 9000, quantity: 20 })],
    operations: [
      operation(
        "two/1",
        [
          mode(
            ["rig"],
            [
              phase("prepare", "solid", 30, { needs: [need("test")] }),
              phase("run", "solid", 0, { work: { kind: "perPiece", seconds: 1440 } }),
            ],
            { id: "m" },
          ),
        ],
        { order: "two", pieces: 20, split: { lots: 2, minPieces: 5 } },
      ),
    ],
  });
  const lot = (start: number) => ({
    ...{ mode: "m", pieces: 10, start, end: start + 270 },
    phases: [
      { phase: 0, work: [[start, start + 30]], crews: ["testers"] },
      { phase: 1, work: [[start + 30, start + 270]], crews: [] },
    ],
  });
  const plan = { operations: [{ operation: "two/1", lots: [lot(420), lot(1860)] }] } as unknown as Plan;
  expect(check(problem, plan).conflicts).toEqual([]);
  const fill = nightFill(problem, plan, { until: 1440 });
  expect(fill.proposals).toMatchObject([{ operation: "two/1", nightMinutes: 240, gain: 240, moved: [] }]);
  expect(check(problem, fill.plan).conflicts).toEqual([]);
  const starts = fill.plan.operations[0]!.lots.map(({ start }) => start);
  expect(starts.filter((start) => start === 420 || start === 1860)).toHaveLength(1);
});

test("a wire-cut job that lasts longer than a day is one run over its nights", () => {
  // trade value U4: Friday 15:00 to Monday 07:00 is 64 h
  const problem = shop({
    machines: [machine("wire", { unattended: { kind: "allowed", windows: null, maxMinutes: null } })],
    crews: [crew("wire", ["wire"])],
    orders: [order("cut", { due: 20_000 })],
    operations: [
      operation(
        "cut/1",
        [
          mode(
            ["wire"],
            [
              phase("prepare", "solid", 60, { needs: [need("wire")] }),
              phase("run", "solid", 64 * 60),
              phase("clear", "solid", 30, { needs: [need("wire")] }),
            ],
            { id: "m" },
          ),
        ],
        { order: "cut" },
      ),
    ],
  });
  const fill = nightFill(problem, { operations: [] }, { from: 4 * 1440 });
  expect(fill.proposals).toHaveLength(1);
  const lot = fill.plan.operations[0]!.lots[0]!;
  const run = lot.phases.find(({ phase: index }) => index === 1)!;
  expect(fill.plan.operations[0]!.lots).toHaveLength(1);
  expect(run.work).toEqual([[run.work[0]![0], run.work[0]![0] + 64 * 60]]);
  expect(run.work[0]![0]).toBeLessThanOrEqual(4 * 1440 + 900);
  expect(check(problem, fill.plan).conflicts).toEqual([]);
  // all of the weekend's 64 h but what ran before people left is worked at night, in one stretch
  const used = fill.after.reduce((total, week) => total + week.used, 0);
  expect(used).toBe(64 * 60 - (4 * 1440 + 900 - run.work[0]![0]));
});
