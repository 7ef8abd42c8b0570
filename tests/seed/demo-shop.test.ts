/**
 * What the front page says one can see in the demo shop is there, whatever the day it is opened on: a weekday afternoon, a weekend,
 * an early morning. Judged from the published plan and the problem, not from how the plan was made.
 */
import { DateTime } from "luxon";
import { describe, expect, test } from "vitest";
import { RUSH_ORDER } from "../../seed/demo-shop/order-book.ts";
import { demoShop } from "../../seed/demo-shop.ts";
import { readProblemFile } from "../../src/contract/problem-file.ts";
import { check } from "../../src/core/check/checker.ts";
import { makePlan } from "../../src/core/plan/make-plan.ts";
import type { Plan, PlannedLot } from "../../src/core/problem/plan.ts";
import type { Problem } from "../../src/core/problem/problem.ts";
import { advance } from "../../src/core/track/advance.ts";
import { fitPlan } from "../../src/server/actions/fit-plan.ts";

type Placed = { readonly order: string; readonly lot: PlannedLot };

const DAYS = [
  "2026-11-25T14:00:00Z",
  "2026-11-27T21:00:00Z",
  "2026-11-28T21:00:00Z",
  "2026-11-29T09:00:00Z",
  "2026-11-30T05:00:00Z",
  "2026-12-02T06:00:00Z",
  "2027-03-27T23:30:00Z",
];

describe.each(DAYS)("opened at %s", (now) => {
  const file = demoShop(now);
  const read = readProblemFile(file);
  if (!read.ok) throw new Error(JSON.stringify(read.error));
  const problem: Problem = read.value;
  const published: Plan = problem.published ?? { operations: [] };
  const operation = (id: string) => {
    const found = problem.operations.find((candidate) => candidate.id === id);
    if (!found) throw new Error(`no operation ${id}`);
    return found;
  };
  const placedIn = (plan: Plan): Placed[] =>
    plan.operations.flatMap((planned) =>
      planned.lots.map((lot) => ({ order: operation(planned.operation).order as string, lot })),
    );
  const modeOf = (plan: Plan, lot: PlannedLot) => {
    const owner = plan.operations.find((planned) => planned.lots.includes(lot));
    const mode = owner && operation(owner.operation).modes.find((candidate) => candidate.id === lot.mode);
    if (!mode) throw new Error("a lot of no operation");
    return mode;
  };
  const onSite = (minute: number): boolean =>
    problem.crews.some((crew) => crew.present.some(([a, b]) => a <= minute && minute < b));
  const spanOf = (order: string): [number, number] => {
    const lots = placedIn(published).filter((placed) => placed.order === order);
    return [Math.min(...lots.map(({ lot }) => lot.start)), Math.max(...lots.map(({ lot }) => lot.end))];
  };

  test("work runs now, some is frozen, one order is in nobody's plan, one is late", () => {
    expect(problem.operations.some(({ progress }) => progress.running.length > 0)).toBe(true);
    const freeze = problem.freeze ?? 0;
    expect(placedIn(published).some(({ lot }) => lot.start >= problem.now && lot.start < freeze)).toBe(true);
    expect(problem.orders.some((order) => order.id === RUSH_ORDER)).toBe(true);
    expect(placedIn(published).some(({ order }) => order === RUSH_ORDER)).toBe(false);
    const late = problem.orders.filter(({ id, due }) => due !== null && spanOf(id)[1] > Math.max(due, problem.now));
    expect(late.length).toBeGreaterThan(0);
  });

  test("it opens without a conflict but the rush order nobody has planned, and so it stays as time goes on by plan", () => {
    for (const hours of [0, 5, 20, 31, 44, 60]) {
      const later = advance(problem, fitPlan(problem, published), problem.now + hours * 60);
      const conflicts = check(later, fitPlan(later, published)).conflicts.filter(
        ({ kind, operations }) => kind !== "notPlanned" || operations.some((id) => operation(id).order !== RUSH_ORDER),
      );
      expect(
        conflicts.map(({ sentence }) => sentence),
        `${hours} h later`,
      ).toEqual([]);
    }
  });

  test("the wire-cut machine ends a run with nobody on site, and the part waits; attended batches rest between pieces", () => {
    const wireCut = placedIn(published).filter(({ lot }) => modeOf(published, lot).machines.includes("wire-cut"));
    const waits = wireCut.some(({ lot }) => {
      const run = lot.phases.find((phase) => modeOf(published, lot).phases[phase.phase]?.kind === "run")?.work.at(-1)?.[1];
      return run !== undefined && !onSite(run) && lot.end > run;
    });
    expect(waits).toBe(true);
    const rests = placedIn(published).some(({ lot }) =>
      lot.phases.some((phase) => modeOf(published, lot).phases[phase.phase]?.flow === "piecewise" && phase.work.length > 1),
    );
    expect(rests).toBe(true);
  });

  test("Dyno 1's calibration lapses while the endurance campaign is under way", () => {
    const due = problem.machines.find(({ id }) => id === "dyno-1")?.calibrations[0]?.due ?? Number.NaN;
    const [from, until] = spanOf("2302");
    expect(from).toBeLessThan(due);
    expect(until).toBeGreaterThan(due);
  });

  test("two campaigns together want more DC than there is: without the limit the plan would draw more", () => {
    const limit = 300;
    const supplies = problem.supplies.map((supply) =>
      supply.id === "dc"
        ? { ...supply, amount: { at: supply.amount.at, value: supply.amount.value.map((v) => v * 10) } }
        : supply,
    );
    const unlimited: Problem = { ...problem, published: null, freeze: null, supplies };
    expect(
      peakOf(
        published,
        problem.orders.map(({ id }) => id),
      ),
    ).toBeLessThanOrEqual(limit);
    expect(peakOf(makePlan(unlimited, { seed: 7, iterations: 600 }).plan, ["2302", "2303"])).toBeGreaterThan(limit);
  });

  test("several machines are set up on one Monday morning", () => {
    const byMonday = new Map<string, Set<string>>();
    for (const { lot } of placedIn(published)) {
      const mode = modeOf(published, lot);
      for (const phase of lot.phases.filter(({ phase }) => mode.phases[phase]?.kind === "prepare")) {
        const begin = DateTime.fromISO(problem.origin, { zone: problem.zone }).plus({ minutes: phase.work[0]?.[0] ?? 0 });
        if (begin.weekday !== 1 || begin.hour < 6 || begin.hour >= 10) continue;
        const day = begin.toISODate() ?? "";
        byMonday.set(day, (byMonday.get(day) ?? new Set()).add(mode.machines.join("+")));
      }
    }
    expect(Math.max(...[...byMonday.values()].map((machines) => machines.size))).toBeGreaterThanOrEqual(3);
  });

  test("re-planned with the rush order, no rule is broken", () => {
    const outcome = makePlan(problem, { seed: 1, iterations: 400 });
    expect(check(problem, outcome.plan).conflicts).toEqual([]);
    expect(placedIn(outcome.plan).some(({ order }) => order === RUSH_ORDER)).toBe(true);
  });

  /** Largest DC draw of these orders together at any minute from now on. */
  function peakOf(plan: Plan, orders: readonly string[]): number {
    const change = new Map<number, number>();
    const add = (minute: number, amount: number): void => void change.set(minute, (change.get(minute) ?? 0) + amount);
    for (const { lot } of placedIn(plan).filter(({ order }) => orders.includes(order)))
      for (const phase of lot.phases) {
        const amount = (modeOf(plan, lot).phases[phase.phase]?.draws ?? [])
          .filter(({ supply }) => supply === "dc")
          .reduce((sum, draw) => sum + draw.amount, 0);
        for (const [start, end] of phase.work) {
          if (end <= problem.now) continue;
          add(Math.max(start, problem.now), amount);
          add(end, -amount);
        }
      }
    let level = 0;
    let peak = 0;
    for (const minute of [...change.keys()].sort((a, b) => a - b)) {
      level += change.get(minute) ?? 0;
      peak = Math.max(peak, level);
    }
    return peak;
  }
});
