/**
 * Troubles change what they say and nothing else, and what a plan then breaks is what the checker finds; the repair that follows
 * mends it. Pieces scrapped become an order of their own that the rest waits for. Contradictions with what has happened are refused.
 */
import { describe, expect, test } from "vitest";
import { check } from "../../../src/core/check/checker.ts";
import { makePlan } from "../../../src/core/plan/make-plan.ts";
import { repairPlan } from "../../../src/core/plan/repair.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { advance } from "../../../src/core/track/advance.ts";
import { piecesScrapped } from "../../../src/core/track/remake.ts";
import { breakage, type Trouble, withTrouble } from "../../../src/core/track/trouble.ts";
import { crew, lag, machine, mode, need, operation, order, phase, shop } from "../solve/shop.ts";

const pieces = (seconds: number) => ({ work: { kind: "perPiece" as const, seconds }, needs: [need("turn")] });
const problem = shop({
  machines: [machine("mill"), machine("lathe")],
  crews: [crew("turners", ["turn"], 200)],
  orders: [order("o1", { quantity: 4, due: 900 })],
  operations: [
    operation("first", [mode(["mill"], [phase("run", "pausable", 0, pieces(3600))], { id: "m" })], { pieces: 4 }),
    operation("second", [mode(["lathe"], [phase("run", "pausable", 0, pieces(1800))], { id: "m" })], { pieces: 4 }),
  ],
  links: [lag("first", "second")],
});
const { plan } = makePlan(problem, { seed: 1, iterations: 20 });
const changed = (trouble: Trouble, before: Problem = problem): Problem => {
  const result = withTrouble(before, trouble);
  if (!result.ok) throw new Error(result.error.message);
  return result.value;
};

describe("each trouble breaks what it must, and repair mends it", () => {
  const broken = (trouble: Trouble): readonly string[] => {
    const now = changed(trouble);
    const kinds = breakage(problem, now, plan).conflicts.map(({ kind }) => kind);
    for (const { conflicts } of repairPlan(now, plan, { seed: 1, steps: 20 })) expect(conflicts).toEqual([]);
    return kinds;
  };

  test("the plan itself holds: [420, 660) and [660, 780)", () => {
    expect(check(problem, plan).conflicts).toEqual([]);
    expect(plan.operations.map(({ lots }) => [lots[0]?.start, lots[0]?.end])).toEqual([
      [420, 660],
      [660, 780],
    ]);
  });
  test("a machine stands still over its work", () => {
    expect(broken({ kind: "machineStopped", machine: "mill", from: 500, until: 600, reason: "spindle" })).toEqual([
      "machineClosed",
    ]);
    const unknownEnd = changed({ kind: "machineStopped", machine: "lathe", from: 0, until: null, reason: "?" });
    expect(breakage(problem, unknownEnd, plan).conflicts.map(({ resource }) => resource)).toEqual(["lathe"]);
    expect(unknownEnd.machines[1]?.open.every(([, end]) => end <= 0)).toBe(true);
  });
  test("the crew is away, wholly or in part", () => {
    expect(broken({ kind: "personAbsent", crew: "turners", from: 420, until: 480, people: null })).toContain("nobodyThere");
    // one of two is enough for one machine at a time
    expect(broken({ kind: "personAbsent", crew: "turners", from: 420, until: 480, people: 100 })).toEqual([]);
    const away = changed({ kind: "personAbsent", crew: "turners", from: 420, until: 480, people: null });
    expect(away.crews[0]?.present[10]?.[0]).toBe(480);
    const half = changed({ kind: "personAbsent", crew: "turners", from: 420, until: 480, people: 100 });
    expect(half.crews[0]?.present).toEqual(problem.crews[0]?.present);
  });
  test("material comes late; date and quantity change", () => {
    expect(broken({ kind: "materialLate", order: "o1", release: 450 })).toEqual(["beforeRelease"]);
    expect(broken({ kind: "quantityChanged", order: "o1", quantity: 5 }).length).toBeGreaterThan(0);
    const sooner = breakage(problem, changed({ kind: "dateChanged", order: "o1", due: 700 }), plan);
    expect(sooner.conflicts).toEqual([]);
    expect(sooner.orders).toMatchObject([{ order: "o1", lateBefore: 0, lateAfter: 80 }]);
    expect(breakage(problem, changed({ kind: "dateChanged", order: "o1", deadline: 700 }), plan).conflicts).toMatchObject([
      { kind: "afterDeadline" },
    ]);
  });
  test("a run is found stopped", () => {
    const running = advance(problem, plan, 500);
    expect(withTrouble(problem, { kind: "runStopped", operation: "first", remaining: 10 })).toMatchObject({ ok: false });
    const stopped = changed({ kind: "runStopped", operation: "first", remaining: 220 }, running);
    expect(stopped.operations[0]?.progress.running).toMatchObject([{ remaining: 220, working: false }]);
    const ahead = makePlan(running, { seed: 1, iterations: 10 }).plan;
    expect(breakage(running, stopped, ahead).conflicts.map(({ kind }) => kind)).toContain("wrongWork");
  });
  test("what contradicts the facts is refused", () => {
    const running = advance(problem, plan, 500);
    for (const [trouble, at] of [
      [{ kind: "machineStopped", machine: "saw", from: 0, until: 10, reason: "" }, "machine"],
      [{ kind: "machineStopped", machine: "mill", from: 10, until: 10, reason: "" }, "until"],
      [{ kind: "personAbsent", crew: "nobody", from: 0, until: 10, people: null }, "crew"],
      [{ kind: "materialLate", order: "o9", release: 10 }, "order"],
      [{ kind: "quantityChanged", order: "o1", quantity: 3 }, "quantity"],
      [{ kind: "quantityChanged", order: "o1", quantity: 6 }, "quantity"],
    ] as const)
      expect(withTrouble(running, trouble)).toMatchObject({ ok: false, error: { at } });
  });
});

describe("pieces scrapped", () => {
  test("lost while the rest has not begun: made again, and the rest waits for them", () => {
    const running = advance(problem, plan, 660);
    const remade = piecesScrapped(running, { lostAt: "first", pieces: 1 });
    if (!remade.ok) throw new Error(remade.error.message);
    const { added } = remade.value;
    expect(added.operations.map(({ id, pieces: count }) => [id, count])).toEqual([["first again", 1]]);
    expect(added.links).toMatchObject([{ kind: "lag", from: "first again", to: "second" }]);
    const outcome = makePlan(remade.value.problem, { seed: 1, iterations: 20 });
    expect(outcome.conflicts).toEqual([]);
    const startOf = (id: string) => outcome.plan.operations.find((planned) => planned.operation === id)?.lots[0]?.start;
    expect(startOf("first again")).toBe(660);
    expect(startOf("second")).toBe(720);
  });
  test("lost at the end, or after the rest has begun: they go the whole way by themselves", () => {
    const finished = advance(problem, plan, 780);
    const remade = piecesScrapped(finished, { lostAt: "second", pieces: 2 });
    if (!remade.ok) throw new Error(remade.error.message);
    expect(remade.value.added.operations.map(({ id }) => id)).toEqual(["first again", "second again"]);
    expect(remade.value.added.links).toMatchObject([{ from: "first again", to: "second again" }]);
    expect(remade.value.added.order).toMatchObject({ quantity: 2, due: 900 });
    expect(makePlan(remade.value.problem, { seed: 1, iterations: 20 }).conflicts).toEqual([]);
    const later = piecesScrapped(finished, { lostAt: "second", from: "second", pieces: 1 });
    expect(later.ok && later.value.added.operations.map(({ id }) => id)).toEqual(["second again"]);
    const begun = piecesScrapped(advance(problem, plan, 700), { lostAt: "first", pieces: 1 });
    expect(begun.ok && begun.value.added.operations.map(({ id }) => id)).toEqual(["first again", "second again"]);
    expect(piecesScrapped(finished, { lostAt: "second", pieces: 5 })).toMatchObject({ ok: false });
    expect(piecesScrapped(finished, { lostAt: "first", from: "second", pieces: 1 })).toMatchObject({ ok: false });
  });
});

test("a phase that needs nobody has begun at the minute where the phase before it ends, though nobody is there any more", () => {
  const early = shop({
    machines: [machine("oven", { unattended: { kind: "allowed", maxMinutes: null, windows: null } })],
    crews: [crew("day", ["load"], 100, [[0, 30]])],
    operations: [operation("cure", [mode(["oven"], [phase("run", "solid", 60), phase("clear", "solid", 20)])])],
  });
  const made = makePlan(early, { seed: 1, iterations: 5 });
  expect(made.conflicts).toEqual([]);
  const after = advance(early, made.plan, 60);
  expect(after.operations[0]?.progress.running).toMatchObject([{ phase: 1, remaining: 20, working: true }]);
  expect(makePlan(after, { seed: 1, iterations: 5 }).conflicts).toEqual([]);
});
