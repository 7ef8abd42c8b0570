/**
 * Rush answers for orders that stand in the plan already, against every start of every work: on tiny shops of two machines, with and
 * without work that runs, all there are where fewer than three exist, three or more elsewhere; and the minute said to be the soonest is
 * the earliest end that any start of anything gives. On an invented shop: the reasons that chain gives.
 */
import { expect, test } from "vitest";
import { check } from "../../../src/core/check/checker.ts";
import { whyNotSooner } from "../../../src/core/explain/why-not-sooner.ts";
import { createRandom } from "../../../src/core/ground/prng.ts";
import { makePlan } from "../../../src/core/plan/make-plan.ts";
import { rush } from "../../../src/core/plan/rush.ts";
import { type Measures, noWorse } from "../../../src/core/plan/rush-choice.ts";
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

test("three answers wherever three exist, all there are where fewer do, and the soonest minute is the earliest of all ways", () => {
  const counts = { none: 0, fewer: 0, three: 0, running: 0, onFront: 0, behind: 0 };
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
