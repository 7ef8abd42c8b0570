/**
 * A repair made better in the background, a slice at a time, so that a worker or a server can show each better answer, look for a
 * stop between two slices and go on. Work away from the change lies still with all its stretches and crews; moving what people know
 * costs (the disturbance part), and no answer moves more than a few operations beyond the one it starts from. Every answer is
 * checked. Pure: same input and seed, same answers. Ends by itself when nothing better is found.
 */
import { check } from "../check/checker.ts";
import { frozenWork } from "../check/frozen.ts";
import type { Plan } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { improveAnswer } from "../solve/repair-search.ts";
import { refuseDefects } from "./defect.ts";
import { movedBetween, type RepairCandidate } from "./repair.ts";

export type ImproveRequest = {
  readonly seed: number;
  /** Search steps between two answers; each costs some 50 to 200 microseconds. */
  readonly slice?: number | undefined;
  readonly shouldStop?: (() => boolean) | undefined;
};

export type Improvement = {
  readonly slices: number;
  /** The best answer so far. */
  readonly best: RepairCandidate;
  /** Whether this slice found it. */
  readonly better: boolean;
};

const SLICE_DEFAULT = 400;

/** `problem` holds the change, `before` is the plan that stood, `start` an answer of repairPlan. */
export function* improveRepair(
  problem: Problem,
  before: Plan,
  start: RepairCandidate,
  { seed, slice = SLICE_DEFAULT, shouldStop = () => false }: ImproveRequest,
): Generator<Improvement, RepairCandidate> {
  const { kept } = frozenWork(problem);
  let best = start;
  let slices = 0;
  for (const plan of improveAnswer(problem, kept, before, start.plan, { seed, slice, shouldStop })) {
    slices += 1;
    const found = plan === null ? null : judged(plan);
    const better = found !== null && isBetter(found, best);
    if (better) best = found;
    yield { slices, best, better };
  }
  return best;

  function judged(plan: Plan): RepairCandidate {
    const { conflicts, cost } = check(problem, plan);
    refuseDefects(problem, kept, conflicts, `repair improved, seed ${seed}`);
    return { kind: "leastLateness", plan, conflicts, cost, moved: movedBetween(problem, before, plan) };
  }
}

const isBetter = (a: RepairCandidate, b: RepairCandidate): boolean =>
  a.conflicts.length < b.conflicts.length || (a.conflicts.length === b.conflicts.length && a.cost.total < b.cost.total);
