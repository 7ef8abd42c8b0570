/**
 * Levers against brute force: on small shops every sequence of all work on every choice of machines is laid out as early as it goes
 * (serial generation; for a regular measure one of these is best: A. Sprecher, R. Kolisch and A. Drexl, Semi-active, active, and
 * non-delay schedules for the resource-constrained project scheduling problem, EJOR 80, 1995), once for each lever. The layout below
 * knows only one-piece solid attended work of one person, and shares no code with the engine.
 */
import { describe, expect, test } from "vitest";
import { type ProblemFile, problemFileSchema, readProblemFile } from "../../../src/contract/problem-file.ts";
import { changedProblem } from "../../../src/contract/scenario/changed-problem.ts";
import { changeOfLever } from "../../../src/contract/scenario/lever-change.ts";
import { check } from "../../../src/core/check/checker.ts";
import { present } from "../../../src/core/ground/invariant.ts";
import { createRandom } from "../../../src/core/ground/prng.ts";
import { makePlan } from "../../../src/core/plan/make-plan.ts";
import { orderCompletions } from "../../../src/core/plan/plan-difference.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { type Lever, leverCandidates } from "../../../src/core/scenario/lever-candidates.ts";
import { rankLevers } from "../../../src/core/scenario/levers.ts";

const WEIGHTS = { tardiness: 1000, disturbance: 0, waiting: 0, setup: 0, unsocial: 0, flow: 0 };

/** Three mills of one work centre, one fitter on weekdays 07:00-15:00, four orders; only "late" has a due date. */
function smallShop(seed: number): ProblemFile {
  const random = createRandom(seed);
  const between = (least: number, most: number): number => least + random.int(most - least + 1);
  const operation = (id: string, machine: string, minutes: number) => ({
    id,
    modes: [
      {
        id: machine,
        machines: [machine],
        phases: [
          { kind: "run" as const, flow: "solid" as const, work: { kind: "fixed" as const, minutes }, needs: [{ skill: "mill" }] },
        ],
      },
    ],
  });
  const machines = ["m1", "m2", "m3"];
  const others = [1, 2].map((n) => ({
    id: `o${n}`,
    operations: [operation(`o${n}/1`, present(machines[random.int(2)], "machine"), 10 * between(6, 20))],
  }));
  const steps = [10 * between(12, 24), 10 * between(12, 24), 10 * between(6, 14)];
  return problemFileSchema.parse({
    format: "slotwright-problem",
    version: 1,
    name: `levers ${seed}`,
    zone: "UTC",
    origin: "2026-06-11", // a Thursday: a closed day lies within reach
    horizon: "2026-06-19",
    calendars: [
      { id: "day", weekly: [{ days: [1, 2, 3, 4, 5], from: "07:00", until: "15:00" }] },
      { id: "hall", weekly: [{ days: [1, 2, 3, 4, 5], from: "06:00", until: "16:00" }] },
    ],
    machines: machines.map((id) => ({ id, group: "Mills", calendar: "hall" })),
    crews: [{ id: "fitter", skills: ["mill"], calendar: "day" }],
    orders: [
      ...others,
      {
        id: "late",
        due: 420 + steps.reduce((sum, minutes) => sum + minutes, 0) - 60,
        operations: steps.map((minutes, i) => operation(`late/${i + 1}`, present(machines[(i + seed) % 2], "machine"), minutes)),
      },
    ],
    links: steps.slice(1).map((_, i) => ({ kind: "lag" as const, id: `l${i}`, from: `late/${i + 1}`, to: `late/${i + 2}` })),
    weights: WEIGHTS,
  });
}

/** The earliest possible end of the order over all sequences and machine choices; minute by minute, one person, no rests. */
function bestFinish(problem: Problem, order: string): number {
  const free = new Uint8Array(problem.horizon);
  for (const [start, end] of present(problem.crews[0], "crew").present) free.fill(1, Math.max(0, start), Math.max(0, end));
  const open = new Map(
    problem.machines.map((machine) => {
      const minutes = new Uint8Array(problem.horizon);
      for (const [start, end] of machine.open) minutes.fill(1, Math.max(0, start), Math.max(0, end));
      return [machine.id as string, minutes];
    }),
  );
  const before = new Map(problem.links.map(({ from, to }) => [to as string, from as string]));
  let best = Number.POSITIVE_INFINITY;
  const lay = (ends: ReadonlyMap<string, number>): void => {
    const own = problem.operations.filter((operation) => operation.order === order);
    const done = own.filter(({ id }) => ends.has(id));
    if (done.some(({ id }) => (ends.get(id) ?? 0) >= best)) return;
    if (done.length === own.length) {
      best = Math.min(best, ...[Math.max(...own.map(({ id }) => ends.get(id) ?? 0))]);
      return;
    }
    for (const { id, modes } of problem.operations) {
      const previous = before.get(id);
      if (ends.has(id) || (previous !== undefined && !ends.has(previous))) continue;
      for (const mode of modes) {
        const minutes = mode.phases[0]?.work.kind === "fixed" ? mode.phases[0].work.minutes : 0;
        const places = mode.machines.map((machine) => present(open.get(machine), "machine"));
        const fits = (at: number): boolean => free[at] === 1 && places.every((place) => place[at] === 1);
        let run = 0;
        let at = Math.max(0, previous === undefined ? 0 : (ends.get(previous) ?? 0));
        while (run < minutes && at < problem.horizon) run = fits(at++) ? run + 1 : 0;
        if (run < minutes) continue;
        free.fill(0, at - minutes, at);
        for (const place of places) place.fill(0, at - minutes, at);
        lay(new Map(ends).set(id, at));
        free.fill(1, at - minutes, at);
        for (const place of places) place.fill(1, at - minutes, at);
      }
    }
  };
  lay(new Map());
  return best;
}

const SEEDS = [1, 2, 3, 4, 5, 6];

describe.each(SEEDS)("small shop %i", (seed) => {
  const file = smallShop(seed);
  const read = readProblemFile(file);
  if (!read.ok) throw new Error(JSON.stringify(read.error));
  const problem = read.value;
  const pullAll = (levers: readonly Lever[]): Problem | null => {
    const changed = changedProblem(file, problem, levers.map(changeOfLever));
    return changed.ok ? changed.value : null;
  };
  const pull = (lever: Lever): Problem | null => pullAll([lever]);
  const { plan } = makePlan(problem, { seed: 1, iterations: 300 });
  const outcome = present(rankLevers(problem, plan, "late", { pull: pullAll, seed: 1, steps: 400, most: 1000 }), "outcome");
  const base = present(outcome.searched, "search");

  test("what is said to be removed is what brute force removes, lever by lever, and so is the ranking", () => {
    const without = bestFinish(problem, "late");
    expect(base.finish).toBe(without);
    const { levers, leftOut } = leverCandidates(problem, base.plan, "late", { buyMinutes: null, most: 1000 });
    expect(leftOut).toBe(0);
    const late = (finish: number): number => Math.max(0, finish - outcome.due);
    const expected = levers
      .map((lever) => {
        const removed = late(without) - late(bestFinish(present(pull(lever), "shop"), "late"));
        const hours = "start" in lever ? (lever.end - lever.start) / 60 : 0;
        return { lever, removed, perHour: hours === 0 ? null : removed / hours };
      })
      .filter(({ removed }) => removed > 0);
    const key = (lever: Lever): string => JSON.stringify(lever);
    const removed = (list: readonly { lever: Lever; removed: number }[]) =>
      Object.fromEntries(list.map((each) => [key(each.lever), each.removed]).sort());
    expect(removed(outcome.ranked)).toEqual(removed(expected));
    // By gain per hour, without hours first: the sequence of gains is that of brute force.
    const gains = expected.map(({ perHour }) => perHour ?? Number.POSITIVE_INFINITY).sort((a, b) => b - a);
    expect(outcome.ranked.map(({ perHour }) => perHour ?? Number.POSITIVE_INFINITY)).toEqual(gains);
  });

  test("a lever that is said to help does so when it is pulled and the shop is planned anew", () => {
    for (const { lever, finish, removed, plan: found } of outcome.ranked.slice(0, 5)) {
      const shop = present(pull(lever), "shop");
      expect(check(shop, found).conflicts).toEqual([]);
      expect(orderCompletions(shop, found).get("late")).toBe(finish);
      const again = makePlan(shop, { seed: 99, iterations: 600 }).plan;
      const anew = Math.max(0, (orderCompletions(shop, again).get("late") ?? Number.POSITIVE_INFINITY) - outcome.due);
      expect(Math.max(0, base.finish - outcome.due) - anew).toBeGreaterThanOrEqual(removed);
    }
  });
});

test("the small shops are late and some lever helps in most of them", () => {
  const helped = SEEDS.filter((seed) => {
    const read = readProblemFile(smallShop(seed));
    return read.ok && bestFinish(read.value, "late") > (read.value.orders.find(({ id }) => id === "late")?.due ?? 0);
  });
  expect(helped.length).toBeGreaterThan(SEEDS.length / 2);
});

test("an order without a due date has no lateness to remove", () => {
  const read = readProblemFile(smallShop(1));
  if (!read.ok) throw new Error("no problem");
  const { plan } = makePlan(read.value, { seed: 1, iterations: 50 });
  expect(rankLevers(read.value, plan, "o1", { pull: () => null, seed: 1 })).toBeNull();
});
