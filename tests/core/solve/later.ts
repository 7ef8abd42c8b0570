/**
 * The same shop some time later: what its plan says was worked is worked, what runs goes on, the plan is published and partly
 * frozen.
 */
import type { Operation, RunningLot } from "../../../src/core/orders/operation.ts";
import type { Plan, PlannedLot } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";

export function later(problem: Problem, plan: Plan, now: number, freeze: number | null, delay: number): Problem {
  const lots = new Map(plan.operations.map((planned) => [planned.operation, planned.lots]));
  const operations = problem.operations.map((operation): Operation => {
    const mine = lots.get(operation.id) ?? [];
    const done = mine.filter((lot) => lot.end <= now);
    const begun = mine.filter((lot) => lot.start < now && lot.end > now);
    const running = begun.map((lot) => runningOf(lot, now, delay));
    return {
      ...operation,
      progress: { done: done.map(({ mode, pieces, start, end }) => ({ mode, pieces, start, end })), running },
    };
  });
  return { ...problem, name: `${problem.name} at ${now}`, now, operations, published: plan, freeze };
}

function runningOf(lot: PlannedLot, now: number, delay: number): RunningLot {
  let current = lot.phases[0]!;
  for (const placed of lot.phases) if (placed.work[0]![0] < now) current = placed;
  const left = current.work.reduce((sum, [start, end]) => sum + Math.max(0, end - Math.max(start, now)), 0);
  return {
    mode: lot.mode,
    pieces: lot.pieces,
    start: lot.start,
    phase: current.phase,
    crews: current.crews,
    remaining: left === 0 ? 0 : left + delay,
    working: current.work.some(([start, end]) => start < now && now < end),
  };
}
