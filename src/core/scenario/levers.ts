/**
 * "What would help?": each lever is pulled in a copy of the shop, the plan is made better for the order by a short search, and what it
 * gains is measured against the same search without any lever. Ranked by lateness removed per hour added; what adds no hours comes
 * first. Promises that each gain was found by a plan that the checker passes without new conflicts, that comes with it, and that would
 * not hold without the lever. Short searches may miss more; they never claim more.
 */
import type { Minute } from "../calendar/minute.ts";
import { check } from "../check/checker.ts";
import { frozenWork } from "../check/frozen.ts";
import { present } from "../ground/invariant.ts";
import type { OperationId } from "../orders/operation.ts";
import type { OrderId } from "../orders/order.ts";
import { fitLot } from "../plan/fit-around.ts";
import { newConflicts } from "../plan/new-conflicts.ts";
import { openPlan } from "../plan/open-plan.ts";
import { orderCompletions } from "../plan/plan-difference.ts";
import { searchAround } from "../plan/search-around.ts";
import type { Plan } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { FAR } from "../solve/decode/model.ts";
import type { Placement } from "../solve/decode/placement.ts";
import { type Lever, leverCandidates } from "./lever-candidates.ts";

export type LeverAnswer = {
  readonly lever: Lever;
  readonly finish: Minute;
  readonly late: Minute;
  /** Lateness less than without the lever. */
  readonly removed: Minute;
  /** Minutes that a crew or a machine is there longer; 0: none. */
  readonly added: Minute;
  /** Minutes of lateness removed per hour added; null: it adds no hours. */
  readonly perHour: number | null;
  /** Weight x minutes that other orders are later than without the lever; negative: earlier. */
  readonly others: number;
  readonly plan: Plan;
};

export type LeverOutcome = {
  readonly order: OrderId;
  readonly due: Minute;
  /** As the plan in hand has it, and after the same search without any lever. */
  readonly before: { readonly finish: Minute | null; readonly late: Minute };
  readonly searched: { readonly finish: Minute; readonly late: Minute; readonly plan: Plan } | null;
  readonly ranked: readonly LeverAnswer[];
  readonly tried: number;
  /** Thought of and not tried. */
  readonly leftOut: number;
};

export type LeverOptions = {
  /** The shop with these levers pulled, all together; null: it cannot be. */
  readonly pull: (levers: readonly Lever[]) => Problem | null;
  readonly seed: number;
  /** Search steps for each lever. */
  readonly steps?: number;
  readonly buyMinutes?: Minute | null;
  readonly most?: number;
  readonly shouldStop?: () => boolean;
  readonly onProgress?: (done: number, total: number) => void;
};

export const LEVER_STEPS = 250;
const LEVERS_MOST = 60;

/** null: the order is not there or nothing was promised. */
export function rankLevers(problem: Problem, plan: Plan, order: OrderId, options: LeverOptions): LeverOutcome | null {
  const due = problem.orders.find(({ id }) => id === order)?.due ?? null;
  if (due === null) return null;
  const stop = options.shouldStop ?? (() => false);
  const steps = options.steps ?? LEVER_STEPS;
  const search = (shop: Problem, start: Plan) => searched(shop, start, order, options.seed, steps, stop);
  /** Its work and what holds it up as early as it goes, and a short search from there. */
  const pulledSearch = (shop: Problem, from: Found): Found | null => {
    const forward = pulledForward(shop, from.plan, concerned, order);
    return search(shop, forward !== null && forward.finish < from.finish ? forward.plan : from.plan);
  };
  const lateOf = (finish: Minute): Minute => Math.max(0, finish - due);
  const standing = orderCompletions(problem, plan).get(order) ?? null;
  const before = { finish: standing, late: standing === null ? 0 : lateOf(standing) };
  const first = search(problem, plan);
  const { levers, leftOut, concerned } = leverCandidates(problem, first?.plan ?? plan, order, {
    buyMinutes: options.buyMinutes ?? null,
    most: options.most ?? LEVERS_MOST,
  });
  if (first === null) return { order, due, before, searched: null, ranked: [], tried: 0, leftOut };
  let base: Found = first;
  const known = check(problem, base.plan).conflicts;
  const found: (Found & { readonly lever: Lever; readonly shop: Problem })[] = [];
  let tried = 0;
  for (const lever of levers) {
    // in time without any: nothing is left to remove
    if (stop() || base.finish <= due) break;
    options.onProgress?.(tried, levers.length);
    tried += 1;
    const shop = options.pull([lever]);
    const better = shop === null ? null : pulledSearch(shop, base);
    if (shop === null || better === null || better.finish >= base.finish) continue;
    if (newConflicts(known, check(shop, better.plan).conflicts).length > 0) continue;
    // A plan that needs no lever is not the lever's doing: it is what the others are measured against from here on.
    if (newConflicts(known, check(problem, better.plan).conflicts).length === 0) base = better;
    else found.push({ lever, shop, ...better });
  }
  const { finish, plan: without } = base;
  const others = othersLate(problem, without, order);
  const ranked = found.flatMap(({ lever, shop, ...better }): LeverAnswer[] => {
    const [late, added] = [lateOf(better.finish), "start" in lever ? lever.end - lever.start : 0];
    const removed = lateOf(finish) - late;
    if (removed <= 0) return [];
    return [
      {
        ...{ lever, finish: better.finish, late, removed, added },
        perHour: added === 0 ? null : (removed * 60) / added,
        others: othersLate(shop, better.plan, order) - others,
        plan: better.plan,
      },
    ];
  });
  return {
    ...{ order, due, before, ranked: ranked.sort(byGain), tried, leftOut: leftOut + levers.length - tried },
    searched: { finish, late: lateOf(finish), plan: without },
  };
}

/** Most lateness removed per hour first; without hours before all that need some; then the most removed, then what hurts others least. */
export function byGain(a: LeverAnswer, b: LeverAnswer): number {
  if ((a.perHour === null) !== (b.perHour === null)) return a.perHour === null ? -1 : 1;
  return (b.perHour ?? 0) - (a.perHour ?? 0) || b.removed - a.removed || a.others - b.others;
}

type Found = { readonly plan: Plan; readonly finish: Minute };

/** This work, the first to begin first, each lot at its earliest place around everything else; what has none that is sooner stays. */
function pulledForward(problem: Problem, plan: Plan, work: ReadonlySet<OperationId>, order: OrderId): Found | null {
  const open = openPlan(problem, plan);
  const { state, model } = open;
  const lots = state.placed
    .filter((lot): lot is Placement => lot !== null && !lot.fixed && work.has(present(model.ops[lot.op], "operation").id))
    .filter((lot) => open.isMovable(present(model.ops[lot.op], "operation")))
    .sort((a, b) => a.start - b.start || a.item - b.item);
  for (const lot of lots) {
    const mark = state.mark();
    state.remove(lot);
    const sooner = fitLot(state, present(model.ops[lot.op], "operation"), lot.item, -FAR, null);
    if (sooner === null || sooner.end >= lot.end) state.undoTo(mark);
    else state.insert(sooner);
  }
  const made = open.write();
  const finish = orderCompletions(problem, made).get(order) ?? null;
  return finish === null ? null : { plan: made, finish };
}

function searched(
  problem: Problem,
  start: Plan,
  order: OrderId,
  seed: number,
  steps: number,
  shouldStop: () => boolean,
): Found | null {
  const plan = searchAround(problem, {
    ...{ kept: frozenWork(problem).kept, start, known: problem.published ?? { operations: [] }, focus: new Set([order]) },
    ...{ seed, steps, shouldStop },
  });
  const finish = orderCompletions(problem, plan).get(order) ?? null;
  return finish === null ? null : { plan, finish };
}

function othersLate(problem: Problem, plan: Plan, order: OrderId): number {
  const ends = orderCompletions(problem, plan);
  return problem.orders.reduce((sum, { id, due, weight }) => {
    const end = ends.get(id) ?? null;
    return id === order || due === null || end === null ? sum : sum + weight * Math.max(0, end - due);
  }, 0);
}
