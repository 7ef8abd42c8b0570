/** Runs split over worker threads: the same report to the last digit for any number of threads, and nothing when called off. */
import { expect, test } from "vitest";
import { makePlan } from "../../../src/core/plan/make-plan.ts";
import { createReplay, simulateRuns } from "../../../src/core/risk/replay.ts";
import { DEFAULT_RISK_PROFILE, type RiskProfile } from "../../../src/core/risk/risk-profile.ts";
import { riskReport } from "../../../src/core/risk/risk-report.ts";
import { simulateOnThreads } from "../../../src/threads/simulate-on-threads.ts";
import { tinyProblem } from "../../arbitraries/tiny-problem.ts";

const STOPPING: RiskProfile = {
  ...DEFAULT_RISK_PROFILE,
  material: { chance: 0.3, delayMinutes: { best: 10, likely: 60, worst: 900 } },
};

test("one, two and three threads give what one go gives", async () => {
  for (const seed of [3, 11]) {
    const problem = tinyProblem(seed);
    const { plan } = makePlan(problem, { seed: 1, iterations: 200 });
    const profile = {
      ...STOPPING,
      stops: Object.fromEntries(problem.machines.map(({ id }) => [id, { meanBetween: 300, meanRepair: 40 }])),
    };
    const replay = createReplay(problem, plan, profile);
    const expected = riskReport(replay, [simulateRuns(replay, { seed: 5, firstRun: 0, runs: 430 })]);
    for (const threads of [1, 2, 3]) {
      const told: number[] = [];
      const parts = await simulateOnThreads(problem, plan, profile, {
        seed: 5,
        runs: 430,
        threads,
        onProgress: (n) => told.push(n),
      });
      expect(riskReport(replay, parts ?? []), `seed ${seed}, ${threads} threads`).toEqual(expected);
      expect(told.at(-1)).toBe(430);
    }
    const other = await simulateOnThreads(problem, plan, profile, { seed: 6, runs: 430, threads: 2 });
    expect(other?.flatMap(({ completions }) => [...completions])).not.toEqual([
      ...simulateRuns(replay, { seed: 5, firstRun: 0, runs: 430 }).completions,
    ]);
  }
});

test("called off, it hands over nothing", async () => {
  const problem = tinyProblem(3);
  const { plan } = makePlan(problem, { seed: 1, iterations: 100 });
  const parts = await simulateOnThreads(problem, plan, STOPPING, { seed: 1, runs: 50_000, threads: 2, shouldStop: () => true });
  expect(parts).toBeNull();
});
