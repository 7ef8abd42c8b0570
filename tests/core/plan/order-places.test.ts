/**
 * Places of whole orders on random tiny shops: each order is taken out of a plan and asked for again. What is offered adds no
 * conflict by the checker and moves nobody; where the order is one operation, no earlier start exists on those machines by brute
 * force over free windows, whose own law tries every minute; the sessions of a campaign end no later than in any other placing.
 */
import { expect, test } from "vitest";
import { check } from "../../../src/core/check/checker.ts";
import { createRandom } from "../../../src/core/ground/prng.ts";
import { windowsOf } from "../../../src/core/plan/free-windows.ts";
import { makePlan } from "../../../src/core/plan/make-plan.ts";
import { newConflicts } from "../../../src/core/plan/new-conflicts.ts";
import { orderPlaces } from "../../../src/core/plan/order-places.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { nightShop } from "../../arbitraries/night-shop.ts";
import { tinyProblem } from "../../arbitraries/tiny-problem.ts";
import { lag, mode, need, operation, order, phase } from "../solve/shop.ts";

test("places hold, move nobody, and are the earliest for single operations", () => {
  let offered = 0;
  let chains = 0;
  let exact = 0;
  for (let seed = 1; seed <= 60; seed++) {
    const problem = tinyProblem(seed, { horizon: 160 });
    const { plan } = makePlan(problem, { seed, iterations: 10 });
    for (const { id } of problem.orders) {
      const own = new Set(problem.operations.filter((operation) => operation.order === id).map((operation) => operation.id));
      if (problem.operations.some((o) => own.has(o.id) && (o.split !== null || o.pin !== null))) continue;
      const rest = { operations: plan.operations.filter(({ operation }) => !own.has(operation)) };
      const before = check(problem, rest).conflicts;
      const { places } = orderPlaces(problem, rest, id);
      for (const place of places) {
        const added = newConflicts(before, check(problem, place.plan).conflicts);
        expect({ seed, id, added }).toEqual({ seed, id, added: [] });
        const others = place.plan.operations.filter(({ operation }) => !own.has(operation));
        expect(new Map(others.map((o) => [o.operation, o.lots]))).toEqual(
          new Map(rest.operations.map((o) => [o.operation, o.lots])),
        );
        expect(place.lots.map(({ operation }) => operation).sort()).toEqual([...own].sort());
        expect(place.end).toBe(Math.max(...place.lots.map(({ lot }) => lot.end)));
        offered++;
        if (own.size > 1) chains++;
      }
      const [single] = own;
      if (own.size !== 1 || single === undefined || places.length === 0) continue;
      const { windows } = windowsOf(problem, rest, single, { windowsMost: 1 });
      for (const place of places) {
        const name = place.machines.join(" + ");
        const first = windows.filter(({ machine }) => machine === name).map(({ end }) => end);
        if (first.length === 0) continue;
        expect({ seed, id, name, end: place.end }).toEqual({ seed, id, name, end: Math.min(...first) });
        exact++;
      }
    }
  }
  expect(offered).toBeGreaterThan(25);
  expect(chains).toBeGreaterThan(2);
  expect(exact).toBeGreaterThan(20);
});

/** A shop with nights, planned, and a campaign of two or three sessions that any of its machines can take. */
function withCampaign(seed: number): { problem: Problem; plan: Plan } {
  const shop = nightShop(seed);
  const { plan } = makePlan(shop, { seed, iterations: 30 });
  const random = createRandom(seed);
  const sessions = Array.from({ length: 2 + (seed % 2) }, (_, i) => `c${i}`);
  const attended = 1 + random.int(2);
  const alone = 4 + random.int(8);
  const maxLag = random.int(2) === 0 ? null : 4 + random.int(30);
  const phases = [phase("prepare", "solid", attended, { needs: [need("set")] }), phase("run", "solid", alone, { maxWait: 0 })];
  return {
    plan,
    problem: {
      ...shop,
      orders: [...shop.orders, order("campaign")],
      operations: [
        ...shop.operations,
        ...sessions.map((id) =>
          operation(
            id,
            shop.machines.map((m) => mode([m.id], phases)),
            { order: "campaign" },
          ),
        ),
      ],
      links: sessions.slice(1).map((to, i) => lag(sessions[i] ?? "", to, random.int(3), maxLag)),
    },
  };
}

/** The sooner end over every begin of every session on that machine, each judged by the checker; null: none before the limit. */
function soonestByForce({ problem, plan }: ReturnType<typeof withCampaign>, on: string, limit: number): number | null {
  const sessions = problem.operations.filter((each) => each.order === "campaign");
  const before = check(problem, plan).conflicts;
  let best: number | null = null;
  const search = (depth: number, from: number, placed: Plan): void => {
    const session = sessions[depth];
    if (session === undefined) {
      best = Math.min(best ?? from, from);
      return;
    }
    const [attended, alone] = session.modes[0]!.phases.map(({ work }) => (work.kind === "fixed" ? work.minutes : 0)) as [
      number,
      number,
    ];
    for (let start = from; start + attended + alone < (best ?? limit + 1); start++) {
      const [begin, end] = [start + attended, start + attended + alone];
      const phases = [
        { phase: 0, work: [[start, begin] as const], crews: ["setters"] },
        { phase: 1, work: [[begin, end] as const], crews: [] },
      ];
      const next = {
        operations: [...placed.operations, { operation: session.id, lots: [{ mode: on, pieces: 1, start, end, phases }] }],
      };
      const added = newConflicts(before, check(problem, next).conflicts).filter(({ kind }) => kind !== "notPlanned");
      if (added.length === 0) search(depth + 1, end, next);
    }
  };
  search(0, problem.now, plan);
  return best;
}

test("the sessions of a campaign end on each machine as soon as any placing of them does", () => {
  let places = 0;
  let full = 0;
  for (let seed = 1; seed <= 14; seed++) {
    const shop = withCampaign(seed);
    const answer = orderPlaces(shop.problem, shop.plan, "campaign");
    for (const { machines, end } of answer.places) {
      expect({ seed, machines, end }).toEqual({ seed, machines, end: soonestByForce(shop, machines[0]!, end) });
      places++;
    }
    for (const [machine] of answer.full) {
      expect({ seed, machine, end: soonestByForce(shop, machine!, shop.problem.horizon) }).toEqual({ seed, machine, end: null });
      full++;
    }
  }
  expect(places).toBeGreaterThan(10);
  expect(full).toBeGreaterThan(0);
});
