/**
 * What every set of rush answers promises, judged again: nothing new is broken, no answer is as good as another in everything, what is
 * said to move moves and nothing else does, and none ends before the minute that is said to be the soonest.
 */
import { expect } from "vitest";
import { check } from "../../../src/core/check/checker.ts";
import { newConflicts } from "../../../src/core/plan/new-conflicts.ts";
import { orderCompletions } from "../../../src/core/plan/plan-difference.ts";
import type { RushOutcome } from "../../../src/core/plan/rush.ts";
import { noWorse } from "../../../src/core/plan/rush-choice.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";

export function holds(outcome: RushOutcome, plan: Plan, seed: number): void {
  const { problem, answers } = outcome;
  const before = check(problem, plan).conflicts;
  const rushOperations = new Set(problem.operations.filter((o) => o.order === outcome.order).map(({ id }) => id));
  const old = new Map(plan.operations.map((planned) => [planned.operation, JSON.stringify(planned.lots)]));
  const soonest = outcome.soonest.finish ?? problem.horizon;
  for (const answer of answers) {
    expect({ seed, sooner: answer.finish < soonest }).toEqual({ seed, sooner: false });
    const judged = check(problem, answer.plan);
    expect({ seed, added: newConflicts(before, judged.conflicts) }).toEqual({ seed, added: [] });
    expect(answer.cost).toEqual(judged.cost);
    expect(answer.finish).toBe(orderCompletions(problem, answer.plan).get(outcome.order));
    const moved = answer.plan.operations.filter(
      ({ operation: id, lots }) => !rushOperations.has(id) && old.get(id) !== JSON.stringify(lots),
    );
    expect(new Set(answer.difference.moved.map((one) => one.operation))).toEqual(new Set(moved.map((one) => one.operation)));
    expect(answer.labels.includes("nothingMoves") ? moved : []).toEqual([]);
    // lateness by another road: the parts of the checker's cost, the rush order's own share taken off
    const { due, weight } = problem.orders.find(({ id }) => id === outcome.order)!;
    if (
      outcome.before.finish === null &&
      before
        .filter(({ kind }) => kind === "notPlanned")
        .every(({ operations }) => operations.every((id) => rushOperations.has(id)))
    ) {
      const own = due === null ? 0 : weight * Math.max(0, answer.finish - due);
      const others = answer.cost.parts.tardiness - own;
      const baseline = outcome.before.cost.parts.tardiness - ownTardiness(problem, plan, outcome.order);
      expect({ seed, less: others - baseline <= answer.lateness }).toEqual({ seed, less: true });
    }
    for (const other of answers) if (other !== answer) expect(noWorse(other, answer)).toBe(false);
  }
  const first = answers[0];
  if (first) expect(first.labels).toContain("earliest");
}

function ownTardiness(problem: Problem, plan: Plan, id: string): number {
  const { due, weight } = problem.orders.find((candidate) => candidate.id === id)!;
  const operations = new Set(problem.operations.filter((o) => o.order === id).map((o) => o.id));
  const end = Math.max(
    ...plan.operations.filter((planned) => operations.has(planned.operation)).flatMap(({ lots }) => lots.map((lot) => lot.end)),
  );
  return due === null || !Number.isFinite(end) ? 0 : weight * Math.max(0, end - due);
}
