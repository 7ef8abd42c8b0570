/**
 * Edits of a draft as small data: which operations get which lots. An edit can be kept in a queue while the server is away, and be laid
 * over a newer draft later, because it names only what it changes. Pure.
 */
import type { OperationId } from "../../src/core/orders/operation.ts";
import type { Plan, PlannedOperation } from "../../src/core/problem/plan.ts";
import { sameLots } from "../../src/core/problem/same-plan.ts";

export type PlanEdit = {
  readonly note: string;
  /** null: the operation leaves the plan. */
  readonly changes: readonly { readonly operation: OperationId; readonly planned: PlannedOperation | null }[];
};

export function applyEdit(plan: Plan, edit: PlanEdit): Plan {
  const changes = new Map(edit.changes.map(({ operation, planned }) => [operation, planned]));
  const kept = plan.operations.flatMap((planned) => {
    const changed = changes.get(planned.operation);
    return changed === undefined ? [planned] : changed === null ? [] : [changed];
  });
  const known = new Set(plan.operations.map(({ operation }) => operation));
  const added = edit.changes.flatMap(({ operation, planned }) => (planned !== null && !known.has(operation) ? [planned] : []));
  return { operations: [...kept, ...added] };
}

/** What turns one plan into another. */
export function editBetween(before: Plan, after: Plan, note: string): PlanEdit {
  const old = new Map(before.operations.map((planned) => [planned.operation, planned]));
  const next = new Map(after.operations.map((planned) => [planned.operation, planned]));
  const changes: { operation: OperationId; planned: PlannedOperation | null }[] = [];
  for (const [operation, planned] of next)
    if (!sameLots(old.get(operation)?.lots ?? [], planned.lots)) changes.push({ operation, planned });
  for (const operation of old.keys()) if (!next.has(operation)) changes.push({ operation, planned: null });
  return { note, changes };
}

export const isEmptyEdit = (edit: PlanEdit): boolean => edit.changes.length === 0;
