/**
 * Repair after a change: a rush order, a breakdown, a late start, a dragged bar. Gives at once the answers worth looking at, each
 * with what it moves and what it costs, all of them checked; equal answers are given once. Pure and synchronous.
 */
import { check } from "../check/checker.ts";
import type { Conflict } from "../check/conflict.ts";
import { frozenWork } from "../check/frozen.ts";
import { hasBegun, type OperationId } from "../orders/operation.ts";
import type { Cost } from "../problem/objective.ts";
import type { Plan } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { sameLots, samePlan } from "../problem/same-plan.ts";
import { type OpenRepair, openRepair } from "../solve/repair-search.ts";
import { refuseDefects } from "./defect.ts";

export type RepairKind = "leastMovement" | "leastLateness";

export type RepairCandidate = {
  readonly kind: RepairKind;
  readonly plan: Plan;
  readonly conflicts: readonly Conflict[];
  readonly cost: Cost;
  /** Operations that lie elsewhere than in the plan before (another start, machine, crew or stretch); new ones not counted. */
  readonly moved: readonly OperationId[];
};

export type RepairRequest = {
  readonly seed: number;
  /** Search steps of the second answer; each costs some 50 to 200 microseconds. */
  readonly steps?: number | undefined;
  readonly shouldStop?: (() => boolean) | undefined;
};

const STEPS_DEFAULT = 800;

/** The change asked about last, by its problem: whoever asks for more of it pays for the search alone. */
const opened = new WeakMap<Problem, { readonly before: Plan; readonly repair: OpenRepair; readonly still: RepairCandidate }>();

/** `problem` holds the change; `before` is the plan that stood. Best first: fewer conflicts, then lower cost. */
export function repairPlan(problem: Problem, before: Plan, request: RepairRequest): readonly RepairCandidate[] {
  const { kept } = frozenWork(problem);
  const judged = (kind: RepairKind, plan: Plan): RepairCandidate => {
    const { conflicts, cost } = check(problem, plan);
    refuseDefects(problem, kept, conflicts, `repair, seed ${request.seed}`);
    return { kind, plan, conflicts, cost, moved: movedBetween(problem, before, plan) };
  };
  let known = opened.get(problem);
  if (known === undefined || known.before !== before) {
    const repair = openRepair(problem, kept, before);
    known = { before, repair, still: judged("leastMovement", repair.still) };
    opened.set(problem, known);
  }
  const pushed = known.repair.push({
    seed: request.seed,
    steps: request.steps ?? STEPS_DEFAULT,
    shouldStop: request.shouldStop ?? (() => false),
  });
  const candidates: RepairCandidate[] = [known.still];
  if (!samePlan(pushed, known.still.plan)) candidates.push(judged("leastLateness", pushed));
  return candidates.sort((a, b) => a.conflicts.length - b.conflicts.length || a.cost.total - b.cost.total);
}

/** Operations, not begun, that lie in both plans but not alike. */
export function movedBetween(problem: Problem, before: Plan, after: Plan): readonly OperationId[] {
  const begun = new Set(problem.operations.filter(({ progress }) => hasBegun(progress)).map(({ id }) => id));
  const old = new Map(before.operations.map((planned) => [planned.operation, planned.lots]));
  return after.operations.flatMap(({ operation, lots }) => {
    const known = old.get(operation);
    return known === undefined || begun.has(operation) || sameLots(known, lots) ? [] : [operation];
  });
}
