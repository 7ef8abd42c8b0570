/**
 * Repairs with what people ask of each: who moves, who becomes late, who is told anew. First the answers of a short search, then,
 * as long as nobody stops it, better ones of longer searches; an answer is only ever replaced by one that costs less. Pure.
 */
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

export type ImprovedRepairs = {
  readonly seed: number;
  /** Search steps of the first answer and of each longer search after it. */
  readonly steps: readonly number[];
  readonly shouldStop?: (() => boolean) | undefined;
  /** The answers so far, after each search. */
  readonly onAnswers?: ((answers: readonly JudgedRepair[], search: number) => void) | undefined;
};

/** `except`: orders that are new, so that nobody is said to be moved by them. */
export function judgedRepairs(
  problem: Problem,
  before: Plan,
  { seed, steps, shouldStop = () => false, onAnswers }: ImprovedRepairs,
  except: ReadonlySet<OrderId> = new Set(),
): readonly JudgedRepair[] {
  let best: readonly RepairCandidate[] = [];
  let judged: readonly JudgedRepair[] = [];
  for (const [search, most] of steps.entries()) {
    if (search > 0 && shouldStop()) break;
    const found = repairPlan(problem, before, { seed: seed + search, steps: most, shouldStop });
    const next = betterOf(best, found);
    if (next !== best) {
      best = next;
      judged = best.map((candidate) => ({
        ...candidate,
        difference: planDifference(problem, before, candidate.plan, except),
        lateMinutes: lateMinutes(problem, candidate.plan),
      }));
    }
    onAnswers?.(judged, search);
  }
  return judged;
}

/** Minutes of lateness of all orders; what is not wholly planned has none. */
export function lateMinutes(problem: Problem, plan: Plan): number {
  const ends = orderCompletions(problem, plan);
  return problem.orders.reduce((sum, { id, due }) => {
    const end = ends.get(id) ?? null;
    return sum + (due === null || end === null ? 0 : Math.max(0, end - due));
  }, 0);
}

/** The least movement never changes; the least lateness is the cheapest found. */
function betterOf(known: readonly RepairCandidate[], found: readonly RepairCandidate[]): readonly RepairCandidate[] {
  const still = known.find(({ kind }) => kind === "leastMovement") ?? found.find(({ kind }) => kind === "leastMovement");
  const pushed = [...known, ...found].filter(({ kind }) => kind === "leastLateness").sort(byWorth)[0];
  const had = known.find(({ kind }) => kind === "leastLateness");
  if (known.length > 0 && pushed === had) return known;
  return [still, pushed].flatMap((candidate) => candidate ?? []).sort(byWorth);
}

const byWorth = (a: RepairCandidate, b: RepairCandidate): number =>
  a.conflicts.length - b.conflicts.length || a.cost.total - b.cost.total;
