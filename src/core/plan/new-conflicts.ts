/** Conflicts that one plan has and another had not: the same when kinds, operations and resources are (the planning problem, section 5). */
import type { Conflict } from "../check/conflict.ts";

const keyOf = ({ kind, operations, resource }: Conflict): string => JSON.stringify([kind, operations, resource]);

export function newConflicts(before: readonly Conflict[], after: readonly Conflict[]): readonly Conflict[] {
  const left = new Map<string, number>();
  for (const conflict of before) left.set(keyOf(conflict), (left.get(keyOf(conflict)) ?? 0) + 1);
  return after.filter((conflict) => {
    const count = left.get(keyOf(conflict)) ?? 0;
    left.set(keyOf(conflict), count - 1);
    return count <= 0;
  });
}
