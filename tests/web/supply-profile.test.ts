/**
 * Supplies in time against the checker: on random tiny shops, mostly wrong plans, the stretches that are short are exactly the
 * checker's supplyShort and kitShort, amount and first stretch; and what the makers of a peak draw adds up to it.
 */
import { expect, test } from "vitest";
import { check } from "../../src/core/check/checker.ts";
import { peaksOf, profilesOf, shortagesOf, stepsOf } from "../../web/screens/supplies/supply-profile.ts";
import { randomPlan } from "../arbitraries/random-plan.ts";
import { tinyProblem } from "../arbitraries/tiny-problem.ts";

test("short where the checker says so, and the shares of a peak add up", () => {
  let short = 0;
  let peaks = 0;
  for (let seed = 1; seed <= 600; seed++) {
    const problem = tinyProblem(seed);
    if (problem.operations.some(({ progress }) => progress.done.length > 0 || progress.running.length > 0)) continue;
    const plan = randomPlan(problem, seed + 7919);
    const found = check(problem, plan)
      .conflicts.filter(({ kind }) => kind === "supplyShort" || kind === "kitShort")
      .map(({ kind, resource, interval, amount }) => [kind, resource, ...interval, amount]);
    const mine = profilesOf(problem, plan).flatMap((profile) => {
      const steps = stepsOf(profile, problem.now, 1_000_000);
      for (const peak of peaksOf(profile, steps, 3)) {
        expect(peak.makers.reduce((sum, { amount }) => sum + amount, 0)).toBe(peak.drawn);
        peaks++;
      }
      return shortagesOf(steps, problem.now).map(({ start, end, amount }) => [
        profile.kind === "supply" ? "supplyShort" : "kitShort",
        profile.id,
        start,
        end,
        amount,
      ]);
    });
    expect({ seed, short: mine.map((one) => JSON.stringify(one)).sort() }).toEqual({
      seed,
      short: found.map((one) => JSON.stringify(one)).sort(),
    });
    short += found.length;
  }
  expect(short).toBeGreaterThan(20);
  expect(peaks).toBeGreaterThan(100);
});
