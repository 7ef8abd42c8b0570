/**
 * Law: the checker and the minute-by-minute reference list the same conflicts (kind, operations, resource), on random plans
 * that are mostly wrong. The seeds of a failure are printed; `tinyProblem(seed)` and `randomPlan(problem, seed + 7919)` replay it.
 */
import { expect, test } from "vitest";
import { check } from "../../src/core/check/checker.ts";
import { CONFLICT_KINDS } from "../../src/core/check/conflict.ts";
import { randomPlan } from "../arbitraries/random-plan.ts";
import { tinyProblem } from "../arbitraries/tiny-problem.ts";
import { conflictKeys, referenceCheck } from "../reference/checker.ts";

const SHOPS = 3_000;

test(`two checkers written apart agree on ${SHOPS} random plans, and between them see nearly every kind of conflict`, () => {
  const seen = new Map<string, number>();
  for (let seed = 1; seed <= SHOPS; seed++) {
    const problem = tinyProblem(seed);
    const plan = randomPlan(problem, seed + 7919);
    const reference = referenceCheck(problem, plan);
    for (const conflict of reference) seen.set(conflict.kind, (seen.get(conflict.kind) ?? 0) + 1);
    expect(conflictKeys(check(problem, plan).conflicts), `seed ${seed}`).toEqual(conflictKeys(reference));
  }
  // Nothing is running or frozen in these shops, and a random start never lies before now; those kinds have tests of their own.
  const never = CONFLICT_KINDS.filter((kind) => !seen.has(kind));
  expect(never.sort()).toEqual(["beforeNow", "frozenMoved", "modeNotOffered", "runningMoved"]);
});
