/** A search ends by itself where nothing can cost less: all work in time and nothing else counted, or every order as early as it could be alone. */
import { expect, test } from "vitest";
import { type CostWeights, NO_WEIGHTS } from "../../../src/core/problem/objective.ts";
import { solve } from "../../../src/core/solve/engine.ts";
import { lag, machine, mode, operation, order, phase, shop } from "./shop.ts";

/** Two orders of two steps; each has machines of its own unless they share. */
const twoOrders = (weights: Partial<CostWeights>, shared: boolean, due: number) =>
  shop({
    weights: { ...NO_WEIGHTS, ...weights },
    machines: ["m", "n", "o", "p"].map((id) => machine(id)),
    orders: ["a", "b"].map((id) => order(id, { due })),
    operations: ["a", "b"].flatMap((id, i) => {
      const machines = shared || i === 0 ? ["m", "n"] : ["o", "p"];
      return machines.map((on, step) => operation(`${id}${step}`, [mode([on], [phase("run", "solid", 60)])], { order: id }));
    }),
    links: ["a", "b"].map((id) => lag(`${id}0`, `${id}1`)),
  });

const LOOKS = 200;
function run(problem: ReturnType<typeof shop>): { readonly total: number; readonly endedAlone: boolean } {
  let looks = 0;
  const { total } = solve(problem, [], { seed: 1, budget: { iterations: null, shouldStop: () => ++looks > LOOKS } });
  return { total, endedAlone: looks <= LOOKS };
}

test("all in time and only tardiness counted", () => {
  expect(run(twoOrders({ tardiness: 1_000 }, true, 10_000))).toEqual({ total: 0, endedAlone: true });
});

test("each order as early as alone", () => {
  expect(run(twoOrders({ tardiness: 1_000, flow: 1 }, false, 60))).toEqual({ total: 2 * (60_000 + 120), endedAlone: true });
});

test("orders that share machines cannot both be as early: the search goes on", () => {
  expect(run(twoOrders({ tardiness: 1_000, flow: 1 }, true, 60)).endedAlone).toBe(false);
});
