/**
 * Free windows on random tiny shops, against brute force: every minute is tried as a booking and judged by the checker alone. A
 * window offered is bookable, none of that length ends earlier on that machine, and what is said to have to move is enough.
 */
import { describe, expect, test } from "vitest";
import { subtract } from "../../../src/core/calendar/intervals.ts";
import { check } from "../../../src/core/check/checker.ts";
import { createRandom } from "../../../src/core/ground/prng.ts";
import type { Operation } from "../../../src/core/orders/operation.ts";
import { freeWindows, type WindowWish } from "../../../src/core/plan/free-windows.ts";
import { makePlan } from "../../../src/core/plan/make-plan.ts";
import { newConflicts } from "../../../src/core/plan/new-conflicts.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { shopInProgress } from "../../arbitraries/shop-in-progress.ts";
import { tinyProblem } from "../../arbitraries/tiny-problem.ts";
import { layOut } from "../../reference/enumerate.ts";
import { Minutes } from "../../reference/minutes.ts";
import { crew, lag, machine, mode, need, operation, order, phase, shop, supply, weekdays } from "../solve/shop.ts";

/** A booking of the wish as an operation of the shop, as a planner would enter it. */
function booked(problem: Problem, wish: WindowWish, on: string): Problem {
  const entry: Operation = {
    id: "booking",
    order: "booking",
    name: "booking",
    piecesPerUnit: 1,
    pieces: 1,
    window: { start: null, end: wish.before ?? null },
    modes: [
      {
        id: "m",
        machines: [on],
        families: [null],
        calendar: null,
        phases: [
          {
            kind: "run",
            flow: wish.restMost ? "pausable" : "solid",
            work: { kind: "fixed", minutes: wish.minutes },
            needs: wish.operatorSkill ? [{ skill: wish.operatorSkill, amount: 100 }] : [],
            draws: wish.supplies ?? [],
            maxWait: null,
          },
        ],
      },
    ],
    startSkill: null,
    selfStart: false,
    prepareEarly: false,
    split: null,
    needsCalibrations: wish.needsCalibrations ?? [],
    calibrates: [],
    kits: [],
    pin: null,
    progress: { done: [], running: [] },
  };
  return {
    ...problem,
    orders: [...problem.orders, order("booking", { release: Math.max(problem.now, wish.earliest ?? 0), weight: 0 })],
    operations: [...problem.operations, entry],
  };
}

/** The first end at which the checker finds nothing new, over every begin and every crew that could serve; null: none. */
function firstByForce(problem: Problem, plan: Plan, wish: WindowWish, on: string): number | null {
  const asked = booked(problem, wish, on);
  const before = check(asked, plan).conflicts;
  const crews = wish.operatorSkill ? problem.crews.filter(({ skills }) => skills.includes(wish.operatorSkill ?? "")) : [null];
  const present = (minute: number): boolean =>
    problem.crews.length === 0 || problem.crews.some((c) => c.present.some(([a, b]) => a <= minute && minute < b));
  const entry = asked.operations.at(-1)!;
  const minutes = new Minutes(asked);
  let first: number | null = null;
  for (let start = problem.now; start + wish.minutes <= (first ?? problem.horizon + 1) - 1; start++) {
    // attended work without a skill: somebody is on site throughout
    if (!wish.unattended && !wish.operatorSkill) {
      let attended = true;
      for (let minute = start; minute < start + wish.minutes; minute++) attended &&= present(minute);
      if (!attended) continue;
    }
    for (const by of crews) {
      const its = by === null ? [] : [by.id];
      const work = wish.restMost
        ? layOut(minutes, entry, entry.modes[0]!, 0, its, start, wish.minutes, problem.horizon)
        : [[start, start + wish.minutes] as const];
      const end = work?.at(-1)?.[1] ?? start;
      if (work === null || end - start - wish.minutes > (wish.restMost ?? 0) || end >= (first ?? end + 1)) continue;
      const lot = { mode: "m", pieces: 1, start, end, phases: [{ phase: 0, work, crews: its }] };
      const after = check(asked, { operations: [...plan.operations, { operation: "booking", lots: [lot] }] }).conflicts;
      if (
        newConflicts(
          before.filter(({ kind }) => kind !== "notPlanned"),
          after,
        ).filter(({ kind }) => kind !== "notPlanned").length === 0
      )
        first = end;
    }
  }
  return first;
}

function wishFor(problem: Problem, seed: number): WindowWish {
  const random = createRandom(seed * 7 + 1);
  const skills = [...new Set(problem.crews.flatMap((c) => c.skills))];
  const skill = skills.length > 0 && random.next() < 0.4 ? (skills[random.int(skills.length)] ?? null) : null;
  const wantsAlone = skill === null && random.next() < 0.6;
  return {
    minutes: 1 + random.int(14),
    unattended: wantsAlone,
    operatorSkill: skill,
    supplies: problem.supplies.length > 0 && random.next() < 0.7 ? [{ supply: "dc", amount: 2 + random.int(8) }] : [],
    needsCalibrations: random.next() < 0.3 && problem.machines.some((m) => m.calibrations.length > 0) ? ["force"] : [],
    earliest: random.next() < 0.4 ? problem.now + random.int(40) : problem.now,
    ...(random.next() < 0.3 ? { before: problem.now + 30 + random.int(60) } : {}),
    windowsMost: 2,
    // over breaks: of the people asked for, or of the machine that runs alone
    restMost: (skill !== null || wantsAlone) && random.next() < 0.6 ? 1 + random.int(25) : 0,
  };
}

type Counts = { offered: number; refused: number; better: number; overBreaks: number };

function agree(problem: Problem, plan: Plan, seed: number): Counts {
  let overBreaks = 0;
  const wish = wishFor(problem, seed);
  const answer = freeWindows(problem, plan, wish);
  if (!answer.ok) throw new Error(JSON.stringify(answer.error));
  let refused = 0;
  for (const { id } of problem.machines) {
    const first = answer.value.windows.find((window) => window.machine === id)?.end ?? null;
    if (first === null) refused++;
    const byForce = firstByForce(problem, plan, wish, id);
    expect({ seed, machine: id, wish, first }).toEqual({ seed, machine: id, wish, first: byForce });
  }
  for (const window of answer.value.windows) {
    const asked = booked(problem, wish, window.machine);
    const lot = {
      ...window.lot,
      mode: "m",
    };
    const added = newConflicts(
      check(asked, plan).conflicts,
      check(asked, { operations: [...plan.operations, { operation: "booking", lots: [lot] }] }).conflicts,
    );
    expect({ seed, window, added }).toEqual({ seed, window, added: [] });
    const rested = window.rests.reduce((sum, [from, until]) => sum + until - from, 0);
    expect(window.end - window.start - rested).toBe(wish.minutes);
    expect(rested).toBeLessThanOrEqual(wish.restMost ?? 0);
    if (rested > 0) overBreaks++;
    expect(window.freeFrom).toBeLessThanOrEqual(window.start);
    expect(window.freeUntil).toBeGreaterThanOrEqual(window.end);
  }
  for (const better of answer.value.better) {
    const rest: Plan = { operations: plan.operations.filter(({ operation: id }) => id !== better.moves) };
    const end = firstByForce(problem, rest, wish, better.machine);
    expect({ seed, better, sooner: end !== null && end <= better.end }).toEqual({ seed, better, sooner: true });
    expect(better.end).toBeLessThan(answer.value.windows[0]?.end ?? Number.POSITIVE_INFINITY);
  }
  return { offered: answer.value.windows.length, refused, overBreaks, better: answer.value.better.length };
}

describe("against every minute", () => {
  test("fresh plans of tiny shops", () => {
    let offered = 0;
    let refused = 0;
    let better = 0;
    let overBreaks = 0;
    for (let seed = 1; seed <= 60; seed++) {
      const problem = tinyProblem(seed, { horizon: 90 });
      const { plan } = makePlan(problem, { seed, iterations: 10 });
      const counts = agree(problem, plan, seed);
      offered += counts.offered;
      refused += counts.refused;
      better += counts.better;
      overBreaks += counts.overBreaks;
    }
    expect(offered).toBeGreaterThan(80);
    expect(refused).toBeGreaterThan(5);
    expect(better).toBeGreaterThan(10);
    expect(overBreaks).toBeGreaterThan(5);
  });

  test("shops in progress, with running, done and frozen work", () => {
    let offered = 0;
    for (let seed = 1; seed <= 25; seed++) {
      const { problem } = shopInProgress(seed);
      const { plan } = makePlan(problem, { seed, iterations: 10 });
      offered += agree(problem, plan, seed).offered;
    }
    expect(offered).toBeGreaterThan(25);
  });
});

test("six hours of work in a shift with a break: offered with the break, and not without leave to rest", () => {
  // shift 07:00-15:00 with a break 12:00-12:30: four and a half hours before, two and a half behind it
  const shift = weekdays(420, 900);
  const broken = subtract(shift, weekdays(720, 750));
  const tester = { ...crew("testers", ["test"], 100, broken), present: shift };
  const problem = shop({ machines: [machine("rig", { kind: "rig" })], crews: [tester], orders: [], operations: [] });
  const ask = (restMost: number) =>
    freeWindows(problem, { operations: [] }, { minutes: 360, unattended: false, operatorSkill: "test", restMost, earliest: 480 });
  expect(ask(0)).toMatchObject({ ok: true, value: { windows: [] } });
  expect(ask(29)).toMatchObject({ ok: true, value: { windows: [] } });
  expect(ask(30)).toMatchObject({
    ok: true,
    value: { windows: [{ start: 480, end: 870, rests: [[720, 750]] }, { start: 1860 }, {}] },
  });
});

test("a night on a rig: after the work before it, with enough of the supply, and who stands in the way of an earlier one", () => {
  const rig = machine("rig", { kind: "rig", unattended: { kind: "allowed", windows: null, maxMinutes: null } });
  const problem = shop({
    machines: [rig, machine("mill")],
    crews: [crew("testers", ["test"])],
    supplies: [supply("dc", 200)],
    orders: [order("o1", { due: 5000 })],
    operations: [
      operation("long test", [
        mode(["rig"], [phase("run", "solid", 900, { draws: [{ supply: "dc", amount: 100 }] })], { id: "m" }),
      ]),
      operation("milling", [mode(["mill"], [phase("run", "pausable", 60, { needs: [need("test")] })], { id: "m" })]),
    ],
    links: [lag("milling", "long test")],
  });
  const { plan, conflicts } = makePlan(problem, { seed: 1, iterations: 20 });
  expect(conflicts).toEqual([]);
  // the milling ends at 480, the test runs [480, 1380) into the night; nobody is there to start another before Tuesday 07:00
  const answer = freeWindows(problem, plan, {
    minutes: 600,
    unattended: true,
    kind: "rig",
    supplies: [{ supply: "dc", amount: 150 }],
  });
  if (!answer.ok) throw new Error(answer.error.message);
  expect(answer.value.windows[0]).toMatchObject({ machine: "rig", start: 1860, end: 2460, freeFrom: 1380, nightMinutes: 120 });
  expect(answer.value.windows.every(({ machine: on }) => on === "rig")).toBe(true);
  expect(answer.value.better[0]).toMatchObject({ machine: "rig", start: 420, moves: "long test", movesTo: { makesLate: false } });
  // attended throughout: a shift is only 480 minutes long
  const attended = freeWindows(problem, plan, { minutes: 481, unattended: false, kind: "rig" });
  expect(attended.ok && attended.value.windows).toEqual([]);
  expect(freeWindows(problem, plan, { minutes: 60, unattended: true, machines: ["lathe"] })).toMatchObject({ ok: false });
});
