/**
 * Every question a planner may ask of a plan, asked of a random shop: none may throw, no answer may bring a conflict that was not there,
 * and no rush answer may end before the minute that is said to be the soonest. Used by soak.ts.
 */
import { check } from "../../src/core/check/checker.ts";
import type { Conflict } from "../../src/core/check/conflict.ts";
import { criticalChain } from "../../src/core/explain/critical-chain.ts";
import { whyHere } from "../../src/core/explain/why-here.ts";
import { whyLate } from "../../src/core/explain/why-late.ts";
import type { Random } from "../../src/core/ground/prng.ts";
import { freeWindows } from "../../src/core/plan/free-windows.ts";
import { createMover } from "../../src/core/plan/move.ts";
import { newConflicts } from "../../src/core/plan/new-conflicts.ts";
import { nightFill } from "../../src/core/plan/night-fill.ts";
import { promise } from "../../src/core/plan/promise.ts";
import { repairDrop } from "../../src/core/plan/repair-drop.ts";
import { rush } from "../../src/core/plan/rush.ts";
import type { Plan } from "../../src/core/problem/plan.ts";
import type { Problem } from "../../src/core/problem/problem.ts";
import { createReplay, simulateRuns } from "../../src/core/risk/replay.ts";
import { DEFAULT_RISK_PROFILE } from "../../src/core/risk/risk-profile.ts";

export const QUESTIONS = ["rush", "promise", "night", "windows", "why", "chain", "move", "risk"] as const;
export type QuestionName = (typeof QUESTIONS)[number];

/** Throws with what is wrong. */
export function ask(question: QuestionName, problem: Problem, plan: Plan, seed: number, random: Random): void {
  const order = problem.orders[random.int(problem.orders.length)]?.id ?? "";
  switch (question) {
    case "rush": {
      const outcome = rush(problem, plan, order, { seed, iterations: 5 });
      if (!outcome.ok) return;
      const before = check(outcome.value.problem, plan).conflicts;
      for (const answer of outcome.value.answers) {
        addsNothing(outcome.value.problem, before, answer.plan);
        const { finish } = outcome.value.soonest;
        const planned = new Set(answer.plan.operations.map(({ operation }) => operation));
        const whole = problem.operations.every(
          (one) => one.order !== order || planned.has(one.id) || one.progress.done.length > 0,
        );
        if (whole && finish !== null && answer.finish < finish)
          throw new Error(`ends at ${answer.finish}, before the soonest ${finish}`);
      }
      return;
    }
    case "promise":
      promise(problem, plan, order, { seed });
      return;
    case "night":
      addsNothing(problem, check(problem, plan).conflicts, nightFill(problem, plan, { gainLeast: 1 }).plan);
      return;
    case "windows":
      freeWindows(problem, plan, { minutes: 3 + random.int(10), unattended: random.int(2) === 0 });
      return;
    case "why":
      for (const { operation, lots } of plan.operations) for (const lot of lots.keys()) whyHere(problem, plan, operation, lot);
      for (const { id } of problem.orders) whyLate(problem, plan, id);
      return;
    case "chain":
      criticalChain(problem, plan);
      return;
    case "move":
      moveOne(problem, plan, seed, random);
      return;
    case "risk":
      simulateRuns(createReplay(problem, plan, DEFAULT_RISK_PROFILE), { seed, firstRun: 0, runs: 5 });
  }
}

/** An operation put somewhere, repaired, and put where it is said to fit. */
function moveOne(problem: Problem, plan: Plan, seed: number, random: Random): void {
  const free = problem.operations.filter(({ progress }) => progress.done.length === 0 && progress.running.length === 0);
  const moved = free[random.int(Math.max(1, free.length))];
  const mode = moved?.modes[random.int(moved.modes.length)];
  if (moved === undefined || mode === undefined) return;
  const mover = createMover(problem);
  const put = mover.place(plan, moved.id, mode.id, problem.now + random.int(40));
  repairDrop(problem, put, moved.id, { seed }).next(20);
  const fit = mover.firstFit(plan, moved.id, mode.id, problem.now + random.int(20));
  if (fit === null || moved.pin !== null || problem.freeze !== null) return;
  // what its leaving changes behind its old place is not asked about
  const ofItsOwn = ({ kind, operations }: Conflict): boolean =>
    operations.includes(moved.id) || (kind !== "setupShort" && kind !== "wrongWork");
  addsNothing(problem, check(problem, plan).conflicts, mover.place(plan, moved.id, mode.id, fit), ofItsOwn);
}

function addsNothing(
  problem: Problem,
  before: readonly Conflict[],
  after: Plan,
  counts: (conflict: Conflict) => boolean = () => true,
): void {
  const added = newConflicts(before, check(problem, after).conflicts).find(counts);
  if (added) throw new Error(`a new conflict: ${added.kind}: ${added.sentence}`);
}
