/**
 * Repair after a planner has put work where it does not fit: it stays where it was put and the others make room, once moving as
 * little as can be and once being late as little as can be. Where that leaves conflicts which its moving would lift, the answers
 * move it too and say so. An answer leaves fewer conflicts than the drop or is none. Work that was not planned stays so. Pure.
 */
import { check } from "../check/checker.ts";
import type { Conflict } from "../check/conflict.ts";
import type { OperationId } from "../orders/operation.ts";
import type { Plan } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { sameLots } from "../problem/same-plan.ts";
import { type JudgedRepair, repairSearch } from "./judged-repairs.ts";

export type DropRepair = JudgedRepair & {
  /** The work that was put there moves as well. */
  readonly movesDropped: boolean;
};

export type DropSearch = { next(steps: number): readonly DropRepair[] };

/** `plan` has the operation where it was put. */
export function repairDrop(
  problem: Problem,
  plan: Plan,
  dropped: OperationId,
  how: { readonly seed: number; readonly shouldStop?: (() => boolean) | undefined },
): DropSearch {
  const known = new Set(plan.operations.map(({ operation }) => operation));
  const released = withoutPublished(problem, dropped);
  const held = repairSearch(heldInPlace(released, plan, dropped), plan, how);
  let free: ReturnType<typeof repairSearch> | null = null;
  /** What was not planned before is no business of a drop. */
  const wrongs = (conflicts: readonly Conflict[]): number =>
    conflicts.filter(({ kind, operations }) => kind !== "notPlanned" || operations.some((id) => known.has(id))).length;
  const asDropped = wrongs(check(problem, plan).conflicts);
  const put = plan.operations.find(({ operation }) => operation === dropped);

  /** Judged by the problem as it is, without the hold. */
  const judged = (answers: readonly JudgedRepair[]): readonly DropRepair[] =>
    answers
      .map((answer): DropRepair => {
        const { conflicts, cost } = check(problem, answer.plan);
        const lies = answer.plan.operations.find(({ operation }) => operation === dropped);
        const movesDropped = put !== undefined && (lies === undefined || !sameLots(put.lots, lies.lots));
        return { ...answer, conflicts, cost, movesDropped };
      })
      .filter(({ conflicts }) => wrongs(conflicts) < asDropped);
  const least = (answers: readonly DropRepair[]): number =>
    Math.min(...answers.map(({ conflicts }) => wrongs(conflicts)), Number.POSITIVE_INFINITY);

  return {
    next(steps) {
      const stays = judged(held.next(steps));
      if (least(stays) === 0) return stays;
      free ??= repairSearch(released, plan, how);
      const goes = judged(free.next(steps));
      return least(goes) < least(stays) ? goes : stays;
    },
  };
}

/** Frozen work that a planner has moved is not held to its published place any more, or it would be put back. */
const withoutPublished = (problem: Problem, dropped: OperationId): Problem => ({
  ...problem,
  published: problem.published && {
    operations: problem.published.operations.filter(({ operation }) => operation !== dropped),
  },
});

function heldInPlace(problem: Problem, plan: Plan, dropped: OperationId): Problem {
  const lots = plan.operations.find(({ operation }) => operation === dropped)?.lots ?? [];
  const start = lots[0]?.start;
  return {
    ...problem,
    operations: problem.operations.map((operation) => {
      if (operation.id !== dropped || start === undefined) return operation;
      const modes = new Set(lots.map(({ mode }) => mode));
      const machines = modes.size === 1 ? (operation.modes.find(({ id }) => modes.has(id))?.machines ?? null) : null;
      return { ...operation, pin: { machines: machines && machines.length > 0 ? machines : null, start } };
    }),
  };
}
