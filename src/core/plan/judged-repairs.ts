/**
 * Repairs with what people ask of each: who moves, who becomes late, who is told anew. A search after the other: the first answers
 * come at once, later ones are only ever better. The least movement never changes; the least lateness is the cheapest found.
 * Work that is not planned stays so, or it would push others, unless it is of a new order. Pure.
 */
import { check } from "../check/checker.ts";
import { hasBegun, type OperationId } from "../orders/operation.ts";
import type { OrderId } from "../orders/order.ts";
import type { Plan } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { orderCompletions, type PlanDifference, planDifference } from "./plan-difference.ts";
import { type RepairCandidate, repairPlan } from "./repair.ts";

export type JudgedRepair = RepairCandidate & {
  readonly difference: PlanDifference;
  /** Minutes of lateness of all orders together. */
  readonly lateMinutes: number;
};

export type RepairSearch = {
  /** One more search of so many steps; answers what is best now. Each costs some 50 to 200 microseconds a step. */
  next(steps: number): readonly JudgedRepair[];
};

/** `added`: orders that are new: they are given a place, and nobody is said to be moved by it. */
export function repairSearch(
  problem: Problem,
  before: Plan,
  { seed, shouldStop = () => false }: { readonly seed: number; readonly shouldStop?: (() => boolean) | undefined },
  added: ReadonlySet<OrderId> = new Set(),
): RepairSearch {
  let best: readonly RepairCandidate[] = [];
  let judged: readonly JudgedRepair[] = [];
  let searches = 0;
  const planned = plannedPart(problem, before, added);
  return {
    next(steps) {
      const better = betterOf(best, repairPlan(planned, before, { seed: seed + searches, steps, shouldStop }));
      searches += 1;
      if (better === best) return judged;
      best = better;
      judged = best.map((candidate) => ({
        ...candidate,
        ...check(problem, candidate.plan),
        difference: planDifference(problem, before, candidate.plan, added),
        lateMinutes: lateMinutes(problem, candidate.plan),
      }));
      return judged;
    },
  };
}

/** The problem without the work that the plan does not have: begun work and the orders that are new stay in it. */
export function plannedPart(problem: Problem, plan: Plan, added: ReadonlySet<OrderId>): Problem {
  const known = new Set(plan.operations.map(({ operation }) => operation));
  const operations = problem.operations.filter(
    ({ id, order, progress }) => known.has(id) || added.has(order) || hasBegun(progress),
  );
  if (operations.length === problem.operations.length) return problem;
  const stays = new Set(operations.map(({ id }) => id));
  const both = ({ from, to }: { readonly from: OperationId; readonly to: OperationId }): boolean =>
    stays.has(from) && stays.has(to);
  return {
    ...problem,
    operations,
    links: problem.links.filter(both),
    kitSpans: problem.kitSpans.filter(both),
    runHourRules: problem.runHourRules
      .map((rule) => ({ ...rule, operations: rule.operations.filter((id) => stays.has(id)) }))
      .filter((rule) => rule.operations.length > 0),
    published: problem.published && {
      operations: problem.published.operations.filter(({ operation }) => stays.has(operation)),
    },
  };
}

/** Minutes of lateness of all orders; what is not wholly planned has none. */
export function lateMinutes(problem: Problem, plan: Plan): number {
  const ends = orderCompletions(problem, plan);
  return problem.orders.reduce((sum, { id, due }) => {
    const end = ends.get(id) ?? null;
    return sum + (due === null || end === null ? 0 : Math.max(0, end - due));
  }, 0);
}

function betterOf(known: readonly RepairCandidate[], found: readonly RepairCandidate[]): readonly RepairCandidate[] {
  const isStill = ({ kind }: RepairCandidate): boolean => kind === "leastMovement";
  const still = known.find(isStill) ?? found.find(isStill);
  const had = known.find((candidate) => !isStill(candidate));
  const pushed = [...known, ...found].filter((candidate) => !isStill(candidate)).sort(byWorth)[0];
  if (known.length > 0 && pushed === had) return known;
  return [still, pushed].flatMap((candidate) => candidate ?? []).sort(byWorth);
}

const byWorth = (a: RepairCandidate, b: RepairCandidate): number =>
  a.conflicts.length - b.conflicts.length || a.cost.total - b.cost.total;
