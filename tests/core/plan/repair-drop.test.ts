/**
 * Work dropped anywhere in random tiny shops: every answer is judged right and better than leaving it, what was dropped stays
 * unless the answer says so, nothing is planned that was not, and a longer search never answers worse.
 */
import { expect, test } from "vitest";
import { check } from "../../../src/core/check/checker.ts";
import { createRandom } from "../../../src/core/ground/prng.ts";
import { makePlan } from "../../../src/core/plan/make-plan.ts";
import { createMover } from "../../../src/core/plan/move.ts";
import { planDifference } from "../../../src/core/plan/plan-difference.ts";
import { repairDrop } from "../../../src/core/plan/repair-drop.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { samePlan } from "../../../src/core/problem/same-plan.ts";
import { tinyProblem } from "../../arbitraries/tiny-problem.ts";
import { crew, machine, mode, need, operation, order, phase, shop } from "../solve/shop.ts";

/** As a database gives it back: fields in another order. */
const stored = (plan: Plan): Plan =>
  JSON.parse(
    JSON.stringify(plan, (_, value: unknown) =>
      value !== null && typeof value === "object" && !Array.isArray(value)
        ? Object.fromEntries(Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1)))
        : value,
    ),
  ) as Plan;

const lotsOf = (plan: Plan, id: string) => plan.operations.find(({ operation: of }) => of === id)?.lots;

test("random drops", () => {
  const seen = { broken: 0, mended: 0, gone: 0 };
  for (let seed = 1; seed <= 75; seed++) {
    const problem = tinyProblem(seed);
    const { plan: made } = makePlan(problem, { seed, iterations: 10 });
    const random = createRandom(seed + 31);
    const free = problem.operations.filter(({ progress }) => progress.running.length === 0 && progress.done.length === 0);
    if (free.length === 0 || made.operations.length === 0) continue;
    const one = free[random.int(free.length)]!;
    const way = one.modes[random.int(one.modes.length)]!;
    // one other operation is out of the plan: that is the planner's wish
    const out = free.find(({ id }) => id !== one.id)?.id;
    const before = { operations: made.operations.filter(({ operation: id }) => id !== out) };
    const plan = stored(createMover(problem).place(before, one.id, way.id, problem.now + random.int(60)));
    const asDropped = check(problem, plan);
    if (asDropped.conflicts.length > 0) seen.broken++;
    const search = repairDrop(problem, plan, one.id, { seed });
    const [first, second] = [search.next(20), search.next(60)];
    for (const answers of [first, second])
      for (const answer of answers) {
        expect(check(problem, answer.plan).conflicts, `seed ${seed}`).toEqual(answer.conflicts);
        expect(answer.conflicts.length, `seed ${seed}`).toBeLessThan(asDropped.conflicts.length);
        expect(lotsOf(answer.plan, out ?? ""), `seed ${seed}`).toBe(undefined);
        const stays = JSON.stringify(stored({ operations: [{ operation: one.id, lots: lotsOf(answer.plan, one.id) ?? [] }] }));
        const put = JSON.stringify(stored({ operations: [{ operation: one.id, lots: lotsOf(plan, one.id) ?? [] }] }));
        expect(answer.movesDropped, `seed ${seed}`).toBe(stays !== put);
        if (answer.movesDropped) seen.gone++;
        if (answer.conflicts.every(({ kind }) => kind === "notPlanned")) seen.mended++;
      }
    const best = (answers: typeof first): number => Math.min(...answers.map(({ conflicts }) => conflicts.length), 99);
    expect(best(second), `seed ${seed}`).toBeLessThanOrEqual(best(first));
  }
  expect(Math.min(seen.broken, seen.mended, seen.gone)).toBeGreaterThan(10);
});

/** Four jobs of three hours on one machine, one after the other, promised with a day to spare. */
const row = (): Problem =>
  shop({
    crews: [crew("day", ["operate"], 100)],
    machines: [machine("m")],
    orders: ["a", "b", "c", "d"].map((id) => order(id, { due: 5000 })),
    operations: ["a", "b", "c", "d"].map((id) =>
      operation(id, [mode(["m"], [phase("run", "pausable", 180, { needs: [need("operate")] })])], { order: id }),
    ),
  });

test("dropped over its neighbour, it stays and the neighbour makes room", () => {
  const problem = row();
  const { plan } = makePlan(problem, { seed: 1, iterations: 100 });
  const byStart = [...plan.operations].sort((x, y) => x.lots[0]!.start - y.lots[0]!.start);
  const [under, last] = [byStart[1]!, byStart[3]!];
  const dropped = createMover(problem).place(plan, last.operation, last.lots[0]!.mode, under.lots[0]!.start);
  expect(check(problem, dropped).conflicts.length).toBeGreaterThan(0);
  const [best] = repairDrop(problem, dropped, last.operation, { seed: 1 }).next(200);
  expect(best).toMatchObject({ conflicts: [], movesDropped: false });
  expect(lotsOf(best!.plan, last.operation)![0]!.start).toBe(under.lots[0]!.start);
  expect(best!.moved).toContain(under.operation);
  expect(best!.moved).not.toContain(last.operation);
});

test("a plan that was stored differs from nothing when it is the same", () => {
  const problem = row();
  const { plan } = makePlan(problem, { seed: 1, iterations: 50 });
  expect(JSON.stringify(stored(plan))).not.toBe(JSON.stringify(plan));
  expect(samePlan(plan, stored(plan))).toBe(true);
  expect(planDifference(problem, stored(plan), plan)).toEqual({ moved: [], orders: [], machines: [], crews: [], cuts: [] });
  const other = { operations: plan.operations.map((each, i) => (i === 0 ? { ...each, lots: [] } : each)) };
  expect(samePlan(plan, other)).toBe(false);
});
