/**
 * Rush answers for orders that stand in the plan already, against every start of every work: on tiny shops of two machines, with and
 * without work that runs, all there are where fewer than three exist, three or more elsewhere; and the minute said to be the soonest is
 * the earliest end that any start of anything gives. On shops of one machine that is set up from family to family: no bound is above what
 * some way has, and where an answer is said to be beaten by nothing, nothing beats it. On an invented shop: the reasons that chain gives.
 */
import { expect, test } from "vitest";
import { check } from "../../../src/core/check/checker.ts";
import { whyNotSooner } from "../../../src/core/explain/why-not-sooner.ts";
import { createRandom } from "../../../src/core/ground/prng.ts";
import { leastPossible } from "../../../src/core/plan/least-possible.ts";
import { makePlan } from "../../../src/core/plan/make-plan.ts";
import { type RushOutcome, rush } from "../../../src/core/plan/rush.ts";
import { MEASURES, type Measures, noWorse } from "../../../src/core/plan/rush-choice.ts";
import { soonest } from "../../../src/core/plan/soonest.ts";
import { wantedOrder } from "../../../src/core/plan/wanted-order.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { shopInProgress } from "../../arbitraries/shop-in-progress.ts";
import { tinyProblem } from "../../arbitraries/tiny-problem.ts";
import { always, lag, machine, mode, operation, order, phase, shop } from "../solve/shop.ts";
import { holds } from "./rush-holds.ts";

/** Where the work lies: machine, first minute, length. */
type Place = { readonly machine: "m" | "n"; readonly start: number; readonly minutes: number };
type Tiny = {
  readonly problem: Problem;
  readonly plan: Plan;
  /** The rush order's two steps and one other work on each machine. */
  readonly places: Readonly<Record<"first" | "second" | "a" | "b", Place>>;
  readonly release: number;
  readonly due: Readonly<Record<"a" | "b", number>>;
  /** The other work on machine m has begun: it stays. */
  readonly running: boolean;
};

const END = 14;

function tiny(seed: number): Tiny {
  const random = createRandom(seed * 7 + 1);
  const length = (): number => 1 + random.int(3);
  const running = random.int(3) === 0;
  const [one, two, a, b] = [length(), length(), length(), length()];
  // work of others mostly before the order's own, in a row with short gaps
  const startA = running ? 0 : random.int(2);
  const first = startA + a + random.int(3);
  const ahead = seed % 4 !== 0 && random.int(3) > 0;
  const startB = ahead ? random.int(2) : first + one + two + random.int(2);
  // in every fourth shop it stands as early as its material allows
  const held = seed % 4 === 0;
  const second = held ? first + one : Math.max(first + one, ahead ? startB + b : 0) + random.int(3);
  const places = {
    first: { machine: "m", start: first, minutes: one },
    second: { machine: "n", start: second, minutes: two },
    a: { machine: "m", start: startA, minutes: a },
    b: { machine: "n", start: ahead ? startB : second + two + random.int(2), minutes: b },
  } as const satisfies Tiny["places"];
  const due = {
    a: startA + a + (random.int(2) === 0 ? 0 : random.int(12)),
    b: places.b.start + b + (random.int(2) === 0 ? 0 : random.int(12)),
  };
  const release = held ? first : random.int(2) * random.int(Math.max(1, first));
  const work = (id: string, of: string, { machine: on, minutes }: Place) =>
    operation(id, [mode([on], [phase("run", "solid", minutes)], { id: on })], {
      order: of,
      progress:
        id === "a" && running
          ? {
              done: [],
              running: [{ mode: on, pieces: 1, start: 0, phase: 0, crews: [], remaining: minutes, working: true }],
            }
          : { done: [], running: [] },
    });
  const problem = shop({
    horizon: END,
    machines: [machine("m", { open: always(END) }), machine("n", { open: always(END) })],
    orders: [order("rush", { release, weight: 5 }), order("a", { due: due.a }), order("b", { due: due.b })],
    operations: [
      ...[work("first", "rush", places.first), work("second", "rush", places.second)],
      ...[work("a", "a", places.a), work("b", "b", places.b)],
    ],
    links: [lag("first", "second")],
  });
  const plan: Plan = {
    operations: Object.entries(places).map(([id, { machine: on, start, minutes }]) => ({
      operation: id,
      lots: [
        {
          ...{ mode: on, pieces: 1, start, end: start + minutes },
          phases: [{ phase: 0, work: [[start, start + minutes]], crews: [] }],
        },
      ],
    })),
  };
  return { problem, plan, places, release, due, running };
}

/** Every way to begin the four works, by what each costs against the plan in hand. */
function everyWay({ places, release, due, running }: Tiny): Measures[] {
  const { first, second, a, b } = places;
  const apart = (x: number, longX: number, y: number, longY: number): boolean => x + longX <= y || y + longY <= x;
  const laterBy = (start: number, { start: old, minutes }: Place, promised: number): number =>
    Math.max(0, Math.max(0, start + minutes - promised) - Math.max(0, old + minutes - promised));
  const all = new Map<string, Measures>();
  for (let x = running ? a.start : 0; x + a.minutes <= (running ? a.start + a.minutes : END); x++)
    for (let y = 0; y + b.minutes <= END; y++)
      for (let s = release; s + first.minutes <= END; s++) {
        if (!apart(s, first.minutes, x, a.minutes)) continue;
        for (let t = s + first.minutes; t + second.minutes <= END; t++) {
          if (!apart(t, second.minutes, y, b.minutes)) continue;
          const measures = {
            ...{ finish: t + second.minutes, nightMinutesChange: 0, cuts: 0 },
            lateness: laterBy(x, a, due.a) + laterBy(y, b, due.b),
            movement: Math.abs(x - a.start) + Math.abs(y - b.start),
            ordersMoved: Number(x !== a.start) + Number(y !== b.start),
            told: Number(x !== a.start || s !== first.start) + Number(y !== b.start || t !== second.start),
          };
          all.set(JSON.stringify(measures), measures);
        }
      }
  return [...all.values()];
}

const front = (all: readonly Measures[]): Measures[] =>
  all
    .toSorted((one, other) => one.finish - other.finish || one.movement - other.movement)
    .reduce<Measures[]>(
      (best, one) => (best.some((other) => noWorse(other, one)) ? best : [...best.filter((other) => !noWorse(one, other)), one]),
      [],
    );

/** Every bound holds for every way; what is said to be beaten by nothing is not; "no other way" means that every way is as bad in everything. */
function provedRightly(
  { answers, least, settled }: RushOutcome,
  sooner: readonly Measures[],
  counts: { settled: number; only: number },
  seed: number,
): void {
  if (least === null) throw new Error(`seed ${seed}: the order stands, so something is known`);
  for (const name of MEASURES)
    expect({ seed, name, below: sooner.filter((way) => way[name] < least[name]) }).toEqual({ seed, name, below: [] });
  if (settled === null) return;
  const answer = answers[settled.answer]!;
  const better = MEASURES.filter((name) => sooner.some((way) => way[name] < answer[name]));
  expect({ seed, wrongly: better.filter((name) => !settled.open.includes(name)) }).toEqual({ seed, wrongly: [] });
  counts.settled++;
  if (settled.open.length > 0) return;
  expect({ seed, others: sooner.filter((way) => !noWorse(answer, way)), answers: answers.length }).toEqual({
    seed,
    others: [],
    answers: 1,
  });
  counts.only++;
}

/** One machine that is set up from family to family, free and frozen work before and after; the order's one work was put far back. */
function setUpShop(seed: number) {
  const random = createRandom(seed * 13 + 5);
  const families = ["x", "y"] as const;
  const minutes = [
    [0, 1 + random.int(4)],
    [1 + random.int(4), random.int(2)],
  ];
  const setup = { kind: "table", table: { id: "t", name: "t", families, minutes } } as const;
  const needed = (from: number, to: number): number => minutes[from]?.[to] ?? 0;
  const works = ["rush", "a", "b"].map((id) => ({ id, family: random.int(2), run: 1 + random.int(3) }));
  const [rushed, a, b] = works as [(typeof works)[0], (typeof works)[0], (typeof works)[0]];
  const standing = random.int(2);
  // as they lie: a, b, the rush order, with gaps
  let family = standing;
  const frozen = random.int(2) === 0;
  let at = random.int(frozen ? 9 : 2);
  const lies = new Map<string, { readonly start: number; readonly setup: number; readonly end: number }>();
  for (const work of [a, b, rushed]) {
    const before = needed(family, work.family);
    lies.set(work.id, { start: at, setup: before, end: at + before + work.run });
    at += before + work.run + random.int(3) + (work === b ? 1 : 0);
    family = work.family;
  }
  const place = (id: string) => lies.get(id)!;
  const released = { a: frozen || random.int(2) === 0 ? 0 : place("a").start, b: random.int(2) === 0 ? 0 : place("b").start };
  const release = random.int(3) === 0 ? 0 : random.int(place("b").end);
  const plan: Plan = {
    operations: works.map(({ id }) => {
      const { start, setup: before, end } = place(id);
      const phases = [
        { phase: 0, work: before > 0 ? [[start, start + before] as const] : [], crews: [] },
        { phase: 1, work: [[start + before, end] as const], crews: [] },
      ].filter(({ work }) => work.length > 0);
      return { operation: id, lots: [{ ...{ mode: "m", pieces: 1, start, end }, phases }] };
    }),
  };
  const horizon = 40;
  const latest = frozen ? 26 : 18;
  const problem = shop({
    horizon,
    machines: [machine("m", { open: always(horizon), setup, family: families[standing]! })],
    orders: [order("rush", { release, weight: 5 }), order("a", { release: released.a }), order("b", { release: released.b })],
    operations: works.map(({ id, family: own, run }) =>
      operation(
        id,
        [mode(["m"], [phase("prepare", "solid", 0), phase("run", "solid", run)], { id: "m", families: [families[own]!] })],
        {
          order: id,
        },
      ),
    ),
    ...(frozen
      ? { published: { operations: plan.operations.filter(({ operation: id }) => id === "a") }, freeze: place("a").start + 1 }
      : {}),
  });
  /** Every way: starts of the three, each with the setup that its place in the row asks for. */
  const all: Measures[] = [];
  for (let x = frozen ? place("a").start : released.a; x <= (frozen ? place("a").start : latest); x++)
    for (let y = released.b; y <= latest; y++)
      for (let s = release; s <= latest; s++) {
        const row = [
          { ...a, at: x },
          { ...b, at: y },
          { ...rushed, at: s },
        ].toSorted((one, other) => one.at - other.at);
        let [free, stands] = [0, standing];
        const ends = new Map<string, number>();
        for (const work of row) {
          const end = work.at + needed(stands, work.family) + work.run;
          if (work.at >= free) ends.set(work.id, end);
          [free, stands] = [Math.max(free, end), work.family];
        }
        if (ends.size < 3 || Math.max(...ends.values()) > horizon) continue;
        if (frozen && ends.get("a") !== place("a").end) continue;
        const moved = (["a", "b"] as const).filter(
          (id) => ends.get(id) !== place(id).end || (id === "a" ? x : y) !== place(id).start,
        );
        all.push({
          ...{ finish: ends.get("rush")!, lateness: 0, nightMinutesChange: 0, cuts: 0, told: 1 },
          movement: moved.reduce((sum, id) => sum + Math.max(1, Math.abs((id === "a" ? x : y) - place(id).start)), 0),
          ordersMoved: moved.length,
        });
      }
  return { problem, plan, all, before: place("rush").end, frozen };
}

test("where setups depend on the row of work, frozen or free: nothing is below the bounds, and most often something ends at the soonest minute", () => {
  const counts = { asked: 0, reached: 0, frozen: 0, settled: 0, only: 0, answered: 0 };
  for (let seed = 1; seed <= 60; seed++) {
    const { problem, plan, all, before, frozen } = setUpShop(seed);
    expect({ seed, conflicts: check(problem, plan).conflicts }).toEqual({ seed, conflicts: [] });
    const wanted = wantedOrder(problem, "rush");
    if (!wanted.ok) throw new Error(wanted.error.message);
    const earliest = Math.min(...all.map(({ finish }) => finish));
    const { finish } = soonest(wanted.value, plan);
    const sooner = all.filter((way) => way.finish < before);
    const least = leastPossible(wanted.value, { plan, finish: before, alone: 0 }, finish);
    for (const name of MEASURES)
      expect({ seed, name, below: sooner.filter((way) => way[name] < least[name]) }).toEqual({ seed, name, below: [] });
    expect({ seed, above: (finish ?? 0) > earliest }).toEqual({ seed, above: false });
    counts.asked++;
    if (finish === earliest) counts.reached++;
    if (frozen) counts.frozen++;
    // where one way may be all there is the answers are asked for too
    if (front(sooner).length !== 1 || counts.answered >= 6) continue;
    const outcome = rush(problem, plan, "rush", { seed, iterations: 5 });
    if (!outcome.ok) throw new Error(outcome.error.message);
    holds(outcome.value, plan, seed);
    provedRightly(outcome.value, sooner, counts, seed);
    counts.answered++;
  }
  expect(counts.reached / counts.asked, JSON.stringify(counts)).toBeGreaterThan(0.6);
  for (const kind of ["frozen", "settled", "only", "answered"] as const)
    expect(counts[kind], JSON.stringify(counts)).toBeGreaterThan(1);
});

test("three answers wherever three exist, all there are where fewer do, and the soonest minute is the earliest of all ways", () => {
  const counts = { none: 0, fewer: 0, three: 0, running: 0, onFront: 0, behind: 0, settled: 0, only: 0 };
  for (let seed = 1; seed <= 24; seed++) {
    const made = tiny(seed);
    const { problem, plan, places } = made;
    expect({ seed, conflicts: check(problem, plan).conflicts }).toEqual({ seed, conflicts: [] });
    const before = places.second.start + places.second.minutes;
    const all = everyWay(made);
    const best = front(all.filter(({ finish }) => finish < before));
    const outcome = rush(problem, plan, "rush", { seed, iterations: 20 });
    if (!outcome.ok) throw new Error(outcome.error.message);
    holds(outcome.value, plan, seed);
    const { answers, soonest } = outcome.value;
    provedRightly(
      outcome.value,
      all.filter(({ finish }) => finish < before),
      counts,
      seed,
    );
    expect({ seed, soonest: soonest.finish }).toEqual({ seed, soonest: Math.min(...all.map(({ finish }) => finish)) });
    expect(answers.length, `seed ${seed}: ${JSON.stringify(best)}`).toBeGreaterThanOrEqual(Math.min(3, best.length));
    if (best.length < 3) expect({ seed, found: answers.length }).toEqual({ seed, found: best.length });
    for (const answer of answers)
      counts[best.some((one) => noWorse(one, answer) && noWorse(answer, one)) ? "onFront" : "behind"]++;
    counts[best.length === 0 ? "none" : best.length < 3 ? "fewer" : "three"]++;
    if (made.running) counts.running++;
  }
  for (const kind of ["none", "fewer", "three", "running"] as const)
    expect(counts[kind], JSON.stringify(counts)).toBeGreaterThan(2);
  expect(counts.settled, JSON.stringify(counts)).toBeGreaterThan(5);
  expect(counts.only, JSON.stringify(counts)).toBeGreaterThan(1);
  expect(counts.onFront / (counts.onFront + counts.behind), JSON.stringify(counts)).toBeGreaterThan(0.85);
});

test("on random shops, fresh and in mid-week, with pins, kits, services and blocks: nothing ends before the soonest minute", () => {
  let asked = 0;
  let reached = 0;
  // shops in which a pin is broken already, a service may stay out, work belongs together with another order's, an old lot binds
  for (const seed of [7, 60, 83, 99, 105, 115, 126, 132])
    for (const problem of [tinyProblem(seed), shopInProgress(seed).problem]) {
      const { plan } = makePlan(problem, { seed, iterations: 15 });
      for (const { id } of problem.orders) {
        const outcome = rush(problem, plan, id, { seed, iterations: 10 });
        if (!outcome.ok) continue;
        holds(outcome.value, plan, seed);
        const { before, answers, soonest } = outcome.value;
        const best = answers[0]?.finish ?? before.finish ?? problem.horizon;
        expect({ seed, id, sooner: best < (soonest.finish ?? problem.horizon) }).toEqual({ seed, id, sooner: false });
        expect(whyNotSooner(soonest).every(({ sentence }) => sentence !== "")).toBe(true);
        asked++;
        if (best === soonest.finish) reached++;
      }
    }
  expect(asked).toBeGreaterThan(10);
  expect(reached).toBeGreaterThan(2);
});

test("an order that cannot come sooner says what holds it: what runs before it, the closed hours, its material", () => {
  const open = [
    [0, 100],
    [200, 600],
  ] as const;
  const run = (minutes: number) => [mode(["m"], [phase("run", "solid", minutes)], { id: "m" })];
  const problem = shop({
    horizon: 600,
    machines: [machine("m", { open })],
    orders: [order("long", { due: 80 }), order("rush", { weight: 5 })],
    operations: [
      operation("long work", run(80), {
        order: "long",
        progress: {
          done: [],
          running: [{ mode: "m", pieces: 1, start: 0, phase: 0, crews: [], remaining: 80, working: true }],
        },
      }),
      operation("rush 1", run(20), { order: "rush" }),
      operation("rush 2", run(30), { order: "rush" }),
    ],
    links: [lag("rush 1", "rush 2", 10)],
  });
  const lies = (id: string, start: number, end: number): Plan["operations"][number] => ({
    operation: id,
    lots: [{ mode: "m", pieces: 1, start, end, phases: [{ phase: 0, work: [[start, end]], crews: [] }] }],
  });
  const plan: Plan = { operations: [lies("long work", 0, 80), lies("rush 1", 80, 100), lies("rush 2", 200, 230)] };
  expect(check(problem, plan).conflicts).toEqual([]);
  const outcome = rush(problem, plan, "rush", { iterations: 20 });
  if (!outcome.ok) throw new Error(outcome.error.message);
  const { answers, soonest } = outcome.value;
  expect(answers).toEqual([]);
  expect(soonest.finish).toBe(230);
  expect(whyNotSooner(soonest).map(({ operation: id, sentence }) => [id, sentence])).toEqual([
    ["rush 2", "rush 2 (rush): m is closed from Mon 01:40 to Mon 03:20."],
  ]);
});
