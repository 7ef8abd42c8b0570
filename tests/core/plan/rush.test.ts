/**
 * Rush answers. On random shops: every answer passes the checker with nothing new, no answer is as good as another in everything,
 * what is said to move moves and nothing else does, and for a single operation "nothing moves" is the date that trying every
 * minute finds. On invented shops: who gives way, whose promise breaks, and where a batch is cut.
 */
import { describe, expect, test } from "vitest";
import { check } from "../../../src/core/check/checker.ts";
import { createRandom } from "../../../src/core/ground/prng.ts";
import type { Operation } from "../../../src/core/orders/operation.ts";
import { makePlan } from "../../../src/core/plan/make-plan.ts";
import { createMover } from "../../../src/core/plan/move.ts";
import { newConflicts } from "../../../src/core/plan/new-conflicts.ts";
import { orderCompletions } from "../../../src/core/plan/plan-difference.ts";
import { promise, slotPins } from "../../../src/core/plan/promise.ts";
import { rush } from "../../../src/core/plan/rush.ts";
import { noWorse } from "../../../src/core/plan/rush-choice.ts";
import type { NewOrder } from "../../../src/core/plan/wanted-order.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { shopInProgress } from "../../arbitraries/shop-in-progress.ts";
import { tinyProblem } from "../../arbitraries/tiny-problem.ts";
import { lag, machine, mode, operation, order, phase, shop } from "../solve/shop.ts";
import { holds } from "./rush-holds.ts";

/** One to three of the shop's own operations once more, one after the other, as a new order. */
function newOrderFor(problem: Problem, seed: number, most = 3): NewOrder {
  const random = createRandom(seed * 13 + 3);
  const count = 1 + random.int(most);
  const operations = Array.from({ length: count }, (_, i): Operation => {
    const like = problem.operations[random.int(problem.operations.length)]!;
    return {
      ...like,
      id: `r${i}`,
      order: "rush",
      pieces: 2,
      window: { start: null, end: null },
      pin: null,
      calibrates: [],
      split: null,
      progress: { done: [], running: [] },
    };
  });
  return {
    order: order("rush", {
      quantity: 2,
      weight: 5,
      release: problem.now + random.int(10),
      due: problem.now + 20 + random.int(40),
    }),
    operations,
    links: operations.slice(1).map((_, i) => lag(`r${i}`, `r${i + 1}`, random.int(3), random.int(4) === 0 ? 40 : null)),
    kitSpans: [],
  };
}

describe("random tiny shops", () => {
  test("new orders: nothing new is broken, no answer beats another, only what is named moves", () => {
    let answered = 0;
    let several = 0;
    for (let seed = 1; seed <= 10; seed++) {
      const problem = tinyProblem(seed);
      const { plan } = makePlan(problem, { seed, iterations: 15 });
      const outcome = rush(problem, plan, newOrderFor(problem, seed), { seed, iterations: 10 });
      if (!outcome.ok) throw new Error(outcome.error.message);
      holds(outcome.value, plan, seed);
      if (outcome.value.answers.length > 0) answered++;
      else expect(outcome.value.blocked).toBeDefined();
      if (outcome.value.answers.length > 1) several++;
    }
    expect(answered).toBeGreaterThan(6);
    expect(several).toBeGreaterThan(1);
  });

  test("orders of the shop, fresh and in mid-week with running and frozen work: earlier than they were, or no answer", () => {
    let sooner = 0;
    let inProgress = 0;
    for (let seed = 1; seed <= 24; seed++) {
      const problem = seed % 2 === 0 ? tinyProblem(seed) : shopInProgress(seed).problem;
      for (const wanted of problem.orders) {
        // planned as if nobody cared for it
        const orders = problem.orders.map((one) => ({ ...one, weight: one.id === wanted.id ? 0 : 5 }));
        const { plan } = makePlan({ ...problem, orders }, { seed, iterations: 30 });
        const outcome = rush(problem, plan, wanted.id, { seed, iterations: 0 });
        if (!outcome.ok) continue; // done, running or frozen
        if (seed % 2 === 1) inProgress++;
        holds(outcome.value, plan, seed);
        for (const answer of outcome.value.answers) {
          if (outcome.value.before.finish !== null) expect(answer.finish).toBeLessThan(outcome.value.before.finish);
          sooner++;
        }
      }
    }
    expect(sooner).toBeGreaterThan(1);
    expect(inProgress).toBeGreaterThan(2);
  });

  test("one operation that moves nobody: the date of trying every minute, and the promise of it", () => {
    let compared = 0;
    for (let seed = 1; seed <= 14; seed++) {
      const problem = tinyProblem(seed);
      const { plan } = makePlan(problem, { seed, iterations: 15 });
      const wanted = newOrderFor(problem, seed, 1);
      const outcome = promise(problem, plan, wanted, { onlyAsItStands: true });
      if (!outcome.ok) throw new Error(outcome.error.message);
      const joined = outcome.value.problem;
      const before = check(joined, plan).conflicts;
      const mover = createMover(joined);
      let best = Number.POSITIVE_INFINITY;
      for (const { id } of wanted.operations[0]!.modes) {
        for (let start = joined.now; start < joined.horizon; start++) {
          const placed = mover.place(plan, "r0", id, start);
          if (newConflicts(before, check(joined, placed).conflicts).length > 0) continue;
          best = Math.min(best, orderCompletions(joined, placed).get("rush") ?? Number.POSITIVE_INFINITY);
        }
      }
      const found = outcome.value.asItStands?.finish ?? Number.POSITIVE_INFINITY;
      expect({ seed, found }).toEqual({ seed, found: best });
      if (Number.isFinite(best)) compared++;
    }
    expect(compared).toBeGreaterThan(7);
  });
});

/** One machine that never closes, works of fixed minutes back to back. */
const oneMachine = (works: readonly { id: string; minutes: number; due: number | null; weight?: number }[]): Problem =>
  shop({
    machines: [machine("m")],
    orders: works.map(({ id, due, weight }) => order(id, { due, weight: weight ?? 1 })),
    operations: works.map(({ id, minutes }) =>
      operation(`${id} work`, [mode(["m"], [phase("run", "solid", minutes)], { id: "m" })], { order: id }),
    ),
  });

const lying = (starts: Readonly<Record<string, readonly [number, number]>>): Plan => ({
  operations: Object.entries(starts).map(([id, [start, end]]) => ({
    operation: `${id} work`,
    lots: [{ mode: "m", pieces: 1, start, end, phases: [{ phase: 0, work: [[start, end]], crews: [] }] }],
  })),
});

const urgent = (minutes: number, due: number): NewOrder => ({
  order: order("rush", { weight: 10, due }),
  operations: [operation("rush work", [mode(["m"], [phase("run", "solid", minutes)], { id: "m" })], { order: "rush" })],
  links: [],
  kitSpans: [],
});

type Work = { readonly minutes: number; readonly due: number };

/** When the urgent work ends between the two without a minute lost; never, when that makes one of them late. */
function finishIn(before: readonly Work[], behind: readonly Work[], minutes: number): number {
  let at = 0;
  let finish = Number.POSITIVE_INFINITY;
  for (const work of [...before, null, ...behind]) {
    at += work?.minutes ?? minutes;
    if (work === null) finish = at;
    else if (at > work.due) return Number.POSITIVE_INFINITY;
  }
  return finish;
}

const permutations = <T>(list: readonly T[]): T[][] =>
  list.length === 0
    ? [[]]
    : list.flatMap((one, i) => permutations([...list.slice(0, i), ...list.slice(i + 1)]).map((rest) => [one, ...rest]));

describe("invented shops", () => {
  test("three answers that differ really: behind everybody, before the one with slack, before the one whose promise it breaks", () => {
    // early: no slack at all; patient: much; after them a short gap, then a long work that is late already
    const problem = oneMachine([
      { id: "early", minutes: 100, due: 100 },
      { id: "patient", minutes: 100, due: 5000 },
      { id: "late", minutes: 600, due: 300 },
    ]);
    const plan = lying({ early: [0, 100], patient: [100, 200], late: [200, 800] });
    expect(check(problem, plan).conflicts).toEqual([]);
    const outcome = rush(problem, plan, urgent(100, 100), { iterations: 50 });
    if (!outcome.ok) throw new Error(outcome.error.message);
    holds(outcome.value, plan, 0);
    const finishes = outcome.value.answers.map(({ finish, labels, movement, lateness }) => ({
      finish,
      labels,
      movement,
      lateness,
    }));
    expect(finishes.length).toBeGreaterThanOrEqual(3);
    const by = (label: string) => outcome.value.answers.find(({ labels }) => labels.some((known) => known === label))!;
    expect(by("nothingMoves").finish).toBe(900);
    expect(by("noPromiseBroken")).toMatchObject({ finish: 200, lateness: 0 });
    expect(by("noPromiseBroken").difference.moved.map((moved) => moved.operation)).toEqual(["patient work"]);
    expect(by("earliest").finish).toBe(100);
    expect(by("earliest").ordersLate.map((shift) => shift.order)).toContain("early");
    expect(by("earliest").difference.machines).toEqual(["m"]);
    // the promise desk knows the two that hurt nobody, and the slot can be kept by pins
    const promised = promise(problem, plan, urgent(100, 100), {
      confidence: (_problem, _plan, _order, percents) => percents.map((percent) => ({ percent, finish: percent })),
    });
    expect(promised).toMatchObject({
      ok: true,
      value: {
        asItStands: {
          finish: 900,
          confidence: [
            { percent: 80, finish: 80 },
            { percent: 95, finish: 95 },
          ],
        },
        withMoves: { finish: 200 },
      },
    });
    expect(slotPins(outcome.value.problem, by("nothingMoves").plan, "rush")).toEqual([
      { operation: "rush work", pin: { machines: ["m"], start: 800 } },
    ]);
  });

  test("three answers wherever three exist, and all there are where fewer do: every start of every work tried on one machine", () => {
    const counts = { three: 0, fewer: 0, onFront: 0, behind: 0 };
    for (let seed = 1; seed <= 14; seed++) {
      const random = createRandom(seed);
      const [a, b, wanted] = [2 + random.int(4), 2 + random.int(4), 2 + random.int(4)];
      const startA = random.int(3);
      const startB = startA + a + random.int(4);
      // the first may be promised to the minute, so that the second alone can give way, or neither
      const dueA = startA + a + (random.int(2) === 0 ? 0 : random.int(20));
      const dueB = startB + b + (random.int(2) === 0 ? 0 : random.int(20));
      const problem = {
        ...oneMachine([
          { id: "a", minutes: a, due: dueA },
          { id: "b", minutes: b, due: dueB },
        ]),
        horizon: 40,
      };
      const plan = lying({ a: [startA, startA + a], b: [startB, startB + b] });
      const apart = (x: number, lengthX: number, y: number, lengthY: number): boolean => x + lengthX <= y || y + lengthY <= x;
      const moved = (start: number, old: number): number => Math.abs(start - old);
      const all: {
        finish: number;
        lateness: number;
        movement: number;
        ordersMoved: number;
        told: number;
        nightMinutesChange: number;
        cuts: number;
      }[] = [];
      for (let r = 0; r + wanted <= 24; r++)
        for (let x = 0; x + a <= 24; x++)
          for (let y = 0; y + b <= 24; y++) {
            if (!apart(r, wanted, x, a) || !apart(r, wanted, y, b) || !apart(x, a, y, b)) continue;
            const late = (end: number, old: number, due: number): number =>
              Math.max(0, Math.max(0, end - due) - Math.max(0, old - due));
            all.push({
              ...{ told: 1, nightMinutesChange: 0, cuts: 0, finish: r + wanted, movement: moved(x, startA) + moved(y, startB) },
              lateness: late(x + a, startA + a, dueA) + late(y + b, startB + b, dueB),
              ordersMoved: Number(x !== startA) + Number(y !== startB),
            });
          }
      const distinct = [...new Map(all.map((one) => [JSON.stringify(one), one])).values()];
      // grown one by one: what is beaten leaves, so that few are compared
      const best = distinct
        .sort((one, other) => one.finish - other.finish || one.movement - other.movement)
        .reduce<typeof distinct>(
          (front, one) =>
            front.some((other) => noWorse(other, one)) ? front : [...front.filter((other) => !noWorse(one, other)), one],
          [],
        );
      const outcome = rush(problem, plan, urgent(wanted, 10), { seed, iterations: 30 });
      if (!outcome.ok) throw new Error(outcome.error.message);
      holds(outcome.value, plan, seed);
      const { answers, tried } = outcome.value;
      for (const { finish, lateness, movement } of answers) {
        const same = best.some((one) => one.finish === finish && one.lateness === lateness && one.movement === movement);
        counts[same ? "onFront" : "behind"]++;
      }
      expect(answers.length, `seed ${seed}: ${JSON.stringify(best)}`).toBeGreaterThanOrEqual(Math.min(3, best.length));
      if (best.length < 3) expect({ seed, found: answers.length }).toEqual({ seed, found: best.length });
      // every plan thought of is accounted for; one that was an answer for a while counts as no better in the end
      expect(tried.plans).toBeGreaterThanOrEqual(answers.length);
      counts[best.length < 3 ? "fewer" : "three"]++;
    }
    expect(counts.three, JSON.stringify(counts)).toBeGreaterThan(3);
    expect(counts.fewer, JSON.stringify(counts)).toBeGreaterThan(1);
    expect(counts.onFront / (counts.onFront + counts.behind), JSON.stringify(counts)).toBeGreaterThan(0.85);
  });

  test("a full queue is shifted: no promise broken comes no later than the best place in the old order, and beats no permutation", () => {
    let sooner = 0;
    for (let seed = 1; seed <= 8; seed++) {
      const random = createRandom(seed);
      let end = 0;
      const works = Array.from({ length: 6 }, (_, i) => {
        const minutes = 10 + 10 * random.int(8);
        end += minutes;
        // every third is promised to the minute
        return { id: `w${i}`, minutes, due: end + (random.int(3) === 0 ? 0 : 20 * random.int(12)) };
      });
      const problem = oneMachine(works);
      let at = 0;
      const plan = lying(
        Object.fromEntries(
          works.map(({ id, minutes }): [string, readonly [number, number]] => {
            at += minutes;
            return [id, [at - minutes, at]];
          }),
        ),
      );
      const minutes = 20 + 10 * random.int(6);
      const kept = Math.min(...works.map((_, i) => finishIn(works.slice(0, i), works.slice(i), minutes)), at + minutes);
      const best = Math.min(
        ...permutations(works).flatMap((order) =>
          [...order, null].map((_, i) => finishIn(order.slice(0, i), order.slice(i), minutes)),
        ),
      );
      const outcome = rush(problem, plan, urgent(minutes, 0), { iterations: 0, seed });
      if (!outcome.ok) throw new Error(outcome.error.message);
      holds(outcome.value, plan, seed);
      const found = outcome.value.answers.find(({ labels }) => labels.includes("noPromiseBroken"))?.finish ?? Number.NaN;
      expect(found, `seed ${seed}`).toBeLessThanOrEqual(kept);
      expect(found, `seed ${seed}`).toBeGreaterThanOrEqual(best);
      if (found < at + minutes) sooner++;
    }
    expect(sooner).toBeGreaterThan(2);
  });

  /** A batch of 10 pieces, an hour each, preparing 30 minutes for each lot; promised late enough for a cut, not for a whole move. */
  const batchShop = (progress: Operation["progress"], now: number): Problem =>
    shop({
      now,
      machines: [machine("m")],
      orders: [order("batch", { quantity: 10, due: 800 })],
      operations: [
        operation(
          "batch work",
          [
            mode(
              ["m"],
              [phase("prepare", "solid", 30), phase("run", "piecewise", 0, { work: { kind: "perPiece", seconds: 3600 } })],
              { id: "m" },
            ),
          ],
          { order: "batch", pieces: 10, split: { lots: 2, minPieces: 2 }, progress },
        ),
      ],
    });

  test("a batch in the way is cut at a piece end, which says so with the extra preparing", () => {
    const problem = batchShop({ done: [], running: [] }, 0);
    const { plan } = makePlan(problem, { seed: 1, iterations: 0 });
    const wanted = urgent(60, 300);
    // the material comes at 200: whole pieces of the batch end at 90, 150, 210
    const later = { ...wanted, order: { ...wanted.order, release: 200 } };
    const outcome = rush(problem, plan, later, { iterations: 0 });
    if (!outcome.ok) throw new Error(outcome.error.message);
    holds(outcome.value, plan, 0);
    const cut = outcome.value.answers.find(({ difference }) => difference.cuts.length > 0);
    expect(cut?.finish).toBeLessThan(630);
    expect(cut?.difference.cuts[0]).toMatchObject({ operation: "batch work", running: false, extraMinutes: 30 });
    expect(cut?.difference.cuts[0]?.lots.map(({ pieces }) => pieces).reduce((a, b) => a + b, 0)).toBe(10);
    expect(cut?.ordersLate).toEqual([]);
  });

  test("so is a running one, at the first piece end that its rule allows", () => {
    // 100 minutes in: 30 of preparing, 70 of pieces; 530 to go
    const running = { mode: "m", pieces: 10, start: 0, phase: 1, crews: [], remaining: 530, working: true };
    const problem = batchShop({ done: [], running: [running] }, 100);
    const { plan, conflicts } = makePlan(problem, { seed: 1, iterations: 0 });
    expect(conflicts).toEqual([]);
    const outcome = rush(problem, plan, urgent(60, 300), { iterations: 0 });
    if (!outcome.ok) throw new Error(outcome.error.message);
    holds(outcome.value, plan, 0);
    const cut = outcome.value.answers.find(({ difference }) => difference.cuts.some((one) => one.running));
    // two pieces are out at 150; the rush job runs [150, 210), the other eight after it
    expect(cut?.finish).toBe(210);
    expect(cut?.difference.cuts[0]).toMatchObject({ extraMinutes: 30 });
    expect(cut?.difference.cuts[0]?.lots).toMatchObject([
      { pieces: 2, end: 150 },
      { pieces: 8, start: 210, end: 720 },
    ]);
    // a plan that has cut a running batch can be asked again
    const again = rush(
      outcome.value.problem,
      cut!.plan,
      {
        ...urgent(30, 300),
        order: order("rush 2", { weight: 10 }),
        operations: [operation("rush 2 work", [mode(["m"], [phase("run", "solid", 30)], { id: "m" })], { order: "rush 2" })],
      },
      { iterations: 0 },
    );
    if (!again.ok) throw new Error(again.error.message);
    holds(again.value, cut!.plan, 0);
    expect(again.value.answers.length).toBeGreaterThan(0);
  });

  test("a planned order that nothing brings forward is promised for when the plan completes it", () => {
    const problem = oneMachine([
      { id: "first", minutes: 100, due: 100 },
      { id: "second", minutes: 50, due: 500 },
    ]);
    const plan = lying({ first: [0, 100], second: [100, 150] });
    const promised = promise(problem, plan, "second");
    expect(promised).toMatchObject({ ok: true, value: { asItStands: { finish: 150 }, withMoves: null } });
    if (promised.ok) expect(promised.value.asItStands?.answer.plan).toEqual(plan);
  });

  test("a part that must be fetched soon by another order is brought forward together with that", () => {
    const work = (id: string, order: string, on: string, minutes: number) =>
      operation(id, [mode([on], [phase("run", "solid", minutes)], { id: "m" })], { order });
    const problem = shop({
      machines: [
        machine("m1", { unattended: { kind: "allowed", windows: null, maxMinutes: null } }),
        machine("m2", { unattended: { kind: "allowed", windows: null, maxMinutes: null } }),
      ],
      orders: [order("large", { due: 900 }), order("part", { weight: 5, due: 60 }), order("taker", { due: 900 })],
      operations: [
        work("large work", "large", "m1", 100),
        work("part work", "part", "m1", 60),
        work("fetch work", "taker", "m2", 30),
      ],
      links: [lag("part work", "fetch work", 0, 20)],
    });
    const plan = lying({ large: [0, 100], part: [100, 160], fetch: [160, 190] });
    const outcome = rush(problem, plan, "part", { iterations: 0 });
    if (!outcome.ok) throw new Error(outcome.error.message);
    holds(outcome.value, plan, 0);
    expect(outcome.value.answers[0]?.finish).toBe(60);
  });

  test("unknown orders, ids taken, and orders with nothing left are refused", () => {
    const problem = oneMachine([{ id: "a", minutes: 10, due: null }]);
    const plan = lying({ a: [0, 10] });
    expect(rush(problem, plan, "b")).toMatchObject({ ok: false, error: { at: "order" } });
    const taken = { ...urgent(10, 10), order: order("a") };
    expect(rush(problem, plan, taken)).toMatchObject({ ok: false });
    const done = {
      ...problem,
      now: 20,
      operations: problem.operations.map((one) => ({
        ...one,
        progress: { done: [{ mode: "m", pieces: 1, start: 0, end: 10 }], running: [] },
      })),
    };
    expect(rush(done, { operations: [] }, "a")).toMatchObject({ ok: false });
  });
});
