/**
 * Laws of time passing: a plan without conflicts that is followed to the minute never gets one, at any minute, running and frozen work
 * included; and from any such minute, reality having drifted a little, the engine's next plan is judged alike by checker and reference.
 */
import { expect, test } from "vitest";
import { check } from "../../src/core/check/checker.ts";
import { frozenWork } from "../../src/core/check/frozen.ts";
import { makePlan } from "../../src/core/plan/make-plan.ts";
import { fitPlan } from "../../src/server/actions/fit-plan.ts";
import { shopInProgress } from "../arbitraries/shop-in-progress.ts";
import { conflictKeys, referenceCheck } from "../reference/checker.ts";
import { referenceCost } from "../reference/cost.ts";

const SHOPS = 250;

test.each([
  { shops: SHOPS, twins: false },
  { shops: 150, twins: true },
])(
  "a plan followed to the minute stays without conflicts ($shops shops, each stopped at a minute, twin machines: $twins)",
  ({ shops, twins }) => {
    let running = 0;
    let beside = 0;
    for (let seed = 1; seed <= shops; seed++) {
      const { problem, published, clean, sideBySide } = shopInProgress(seed, false, twins);
      const followed = fitPlan(problem, published);
      const kept = new Map(frozenWork(problem).kept.map((planned) => [planned.operation as string, planned.lots]));
      const conflicts = conflictKeys(check(problem, followed).conflicts);
      expect(conflicts, `seed ${seed}`).toEqual(conflictKeys(referenceCheck(problem, followed, kept)));
      if (sideBySide) beside++;
      if (clean) expect(conflicts, `seed ${seed}`).toEqual([]);
      if (problem.operations.some((operation) => operation.progress.running.length > 0)) running++;
    }
    expect(running).toBeGreaterThan(shops / 2);
    if (twins) expect(beside).toBeGreaterThan(20);
  },
);

test.each([
  { shops: SHOPS, twins: false },
  { shops: 150, twins: true },
])("after a drift the engine plans on from running and frozen work ($shops shops, twin machines: $twins)", ({ shops, twins }) => {
  const counts = { clean: 0, drifted: 0, frozen: 0 };
  for (let seed = 1; seed <= shops; seed++) {
    const { problem, drifted } = shopInProgress(seed, true, twins);
    const frozen = frozenWork(problem);
    const kept = new Map(frozen.kept.map((planned) => [planned.operation as string, planned.lots]));
    if (drifted) counts.drifted++;
    if (kept.size > 0) counts.frozen++;
    const outcome = makePlan(problem, { seed, iterations: 60 });
    const reference = conflictKeys(referenceCheck(problem, outcome.plan, kept));
    expect(conflictKeys(outcome.conflicts), `seed ${seed}`).toEqual(reference);
    if (reference.length > 0) continue;
    counts.clean++;
    expect(outcome.cost.total, `seed ${seed}`).toBe(referenceCost(problem, outcome.plan).total);
  }
  expect(counts.clean, JSON.stringify(counts)).toBeGreaterThan(shops / 2);
  expect(counts.drifted, JSON.stringify(counts)).toBeGreaterThan(shops / 8);
  expect(counts.frozen, JSON.stringify(counts)).toBeGreaterThan(twins ? 3 : 10);
});
