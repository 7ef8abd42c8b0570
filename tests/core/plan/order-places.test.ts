/**
 * Places of whole orders on random tiny shops: each order is taken out of a plan and asked for again. What is offered adds no
 * conflict by the checker and moves nobody; where the order is one operation, no earlier start exists on those machines by brute
 * force over free windows, whose own law tries every minute.
 */
import { expect, test } from "vitest";
import { check } from "../../../src/core/check/checker.ts";
import { windowsOf } from "../../../src/core/plan/free-windows.ts";
import { makePlan } from "../../../src/core/plan/make-plan.ts";
import { newConflicts } from "../../../src/core/plan/new-conflicts.ts";
import { orderPlaces } from "../../../src/core/plan/order-places.ts";
import { tinyProblem } from "../../arbitraries/tiny-problem.ts";

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
