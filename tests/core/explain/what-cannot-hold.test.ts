/** Smallest contradictions: by hand with proofs, and on tiny shops against the enumeration of all placements. */
import { describe, expect, test } from "vitest";
import { provesContradiction } from "../../../src/core/explain/contradiction-proof.ts";
import { demandsOf, without } from "../../../src/core/explain/demand.ts";
import { type FindPlan, whatCannotHold } from "../../../src/core/explain/what-cannot-hold.ts";
import { createRandom } from "../../../src/core/ground/prng.ts";
import { makePlan } from "../../../src/core/plan/make-plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { tinyProblem } from "../../arbitraries/tiny-problem.ts";
import { enumerateOptimum } from "../../reference/enumerate.ts";
import { lag, operation, order, run, shop } from "../check/shop.ts";

const search: FindPlan = (problem) => {
  const { plan, conflicts } = makePlan(problem, { seed: 1, iterations: 200 });
  return conflicts.length === 0 ? plan : null;
};

const setsOf = (problem: Problem) => {
  const answer = whatCannotHold(problem, search);
  if (answer.kind !== "contradictions") return answer.kind;
  return answer.sets.map(({ demands, proof }) => [proof, ...demands.map(({ demand }) => Object.values(demand).join(" "))]);
};

describe("by hand: one crew, Monday's shift 420 to 900", () => {
  test("two pins on one machine; a third that fits is not named", () => {
    const pinned = (id: string, start: number) => operation(id, { pin: { machines: null, start } });
    const problem = shop({ operations: [pinned("x", 420), pinned("y", 450), pinned("z", 600)] });
    expect(setsOf(problem)).toEqual([["proved", "pin x", "pin y"]]);
  });

  test("a pin against the deadline of what follows", () => {
    const problem = shop({
      orders: [order("o", { deadline: 800 })],
      operations: [operation("x", { pin: { machines: null, start: 700 } }), operation("y", { machines: ["n"] })],
      links: [lag("x", "y", 0)],
    });
    expect(setsOf(problem)).toEqual([["proved", "pin x", "deadline o"]]);
  });

  test("use within a weekend: a window against a longest lag", () => {
    // Friday 14:00 to 15:00, then nobody until Monday 07:00, 64 hours after the end; only 48 are allowed.
    const problem = shop({
      operations: [
        operation("x", { window: { start: 6600, end: null } }),
        operation("y", { machines: ["n"], window: { start: null, end: 10600 } }),
      ],
      links: [lag("x", "y", 60, 2880)],
    });
    expect(setsOf(problem)).toEqual([["proved", "window x", "window y", "maxLag x>y"]]);
  });

  test("two contradictions that have nothing to do with each other are both named", () => {
    const pinned = (id: string, on: string, start: number) =>
      operation(id, { machines: [on], phases: [run(60, { needs: 0 })], pin: { machines: null, start } });
    const problem = shop({
      operations: [pinned("a", "m", 420), pinned("b", "m", 450), pinned("c", "n", 420), pinned("d", "n", 450)],
    });
    expect(setsOf(problem)).toEqual(
      expect.arrayContaining([
        ["proved", "pin a", "pin b"],
        ["proved", "pin c", "pin d"],
      ]),
    );
  });

  test("what can hold, holds; what nobody can do is not blamed on demands", () => {
    expect(setsOf(shop({ operations: [operation("x", { pin: { machines: null, start: 420 } })] }))).toBe("holds");
    expect(setsOf(shop({ operations: [operation("x", { phases: [run(600)] })] }))).toBe("workDoesNotFit");
  });
});

/** A tiny shop with pins and deadlines thrown at it. */
function demanding(seed: number): Problem {
  const random = createRandom(seed * 17 + 3);
  const problem = tinyProblem(seed, { operations: 3, horizon: 44, enumerable: true });
  return {
    ...problem,
    operations: problem.operations.map((op) =>
      random.next() < 0.5 ? { ...op, pin: { machines: null, start: problem.now + random.int(18) } } : op,
    ),
    orders: problem.orders.map((entry) => (random.next() < 0.5 ? { ...entry, deadline: 12 + random.int(24) } : entry)),
  };
}

/** So many sets that enumeration can settle; each takes it a second or more. */
const CONFIRMED = 8;

test("tiny shops: enumeration finds no plan for a whole set, and one with any demand of it lifted", () => {
  const counts = { sets: 0, confirmed: 0, proved: 0, refuted: 0, tooLarge: 0 };
  for (let seed = 1; seed <= 70 && counts.confirmed < CONFIRMED; seed++) {
    const problem = demanding(seed);
    const answer = whatCannotHold(problem, search);
    if (answer.kind !== "contradictions") continue;
    for (const { demands, proof } of answer.sets.slice(0, 1)) {
      counts.sets++;
      const set = demands.map(({ demand }) => demand);
      const outside = demandsOf(problem).filter((one) => !set.some((kept) => JSON.stringify(kept) === JSON.stringify(one)));
      const only = without(problem, outside);
      const whole = enumerateOptimum(only);
      if (proof === "proved") counts.proved++;
      if (whole === null) {
        counts.tooLarge++;
        continue;
      }
      if (whole !== "infeasible") counts.refuted++;
      expect(proof === "proved" && whole !== "infeasible", `seed ${seed}: proved what is possible`).toBe(false);
      for (const lifted of set) {
        const rest = enumerateOptimum(without(problem, [...outside, lifted]));
        if (rest !== null) expect(rest, `seed ${seed}, without ${JSON.stringify(lifted)}`).not.toBe("infeasible");
      }
      if (whole === "infeasible") counts.confirmed++;
    }
  }
  expect(counts.confirmed, JSON.stringify(counts)).toBe(CONFIRMED);
  expect(counts.proved, JSON.stringify(counts)).toBeGreaterThan(3);
  // "noneFound" is no proof: the search may miss a plan, rarely.
  expect(counts.refuted, JSON.stringify(counts)).toBeLessThanOrEqual(1);
});

test("the proof never speaks against a problem that has a plan (80 shops)", () => {
  let solvable = 0;
  for (let seed = 1; seed <= 80; seed++) {
    const problem = seed % 2 === 0 ? demanding(seed) : tinyProblem(seed);
    if (search(problem) === null) continue;
    solvable++;
    expect(provesContradiction(problem), `seed ${seed}`).toBe(false);
  }
  expect(solvable).toBeGreaterThan(30);
});
