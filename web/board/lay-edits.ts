/**
 * Lays edits that have not reached the server over the draft as it is now. An edit remembers what lay where it changed something; where
 * somebody else has changed just that meanwhile, it is not laid over their work but told apart, whole. Pure; O(plan + edits).
 */
import type { OperationId } from "../../src/core/orders/operation.ts";
import type { Plan, PlannedLot } from "../../src/core/problem/plan.ts";
import { sameLots } from "../../src/core/problem/same-plan.ts";
import { applyEdit, type PlanEdit } from "./plan-edit.ts";

export type KeptEdit = {
  readonly id: string;
  readonly edit: PlanEdit;
  /** What lay there when the edit was made, operation by operation; no lots: it was not planned. */
  readonly before: readonly { readonly operation: OperationId; readonly lots: readonly PlannedLot[] }[];
};

export type Laid = {
  readonly plan: Plan;
  readonly over: readonly KeptEdit[];
  /** In the draft already: sent, but the answer was lost, or done by somebody else. */
  readonly there: readonly KeptEdit[];
  /** What they change was changed by somebody else. */
  readonly overtaken: readonly KeptEdit[];
};

const lotsIn = (plan: Plan, operations: ReadonlySet<OperationId>): ReadonlyMap<OperationId, readonly PlannedLot[]> =>
  new Map(plan.operations.flatMap(({ operation, lots }) => (operations.has(operation) ? [[operation, lots] as const] : [])));

export function keptEdit(id: string, edit: PlanEdit, plan: Plan): KeptEdit {
  const wanted = edit.changes.map(({ operation }) => operation);
  const lots = lotsIn(plan, new Set(wanted));
  return { id, edit, before: wanted.map((operation) => ({ operation, lots: lots.get(operation) ?? [] })) };
}

export function layEdits(base: Plan, queue: readonly KeptEdit[]): Laid {
  let plan = base;
  const over: KeptEdit[] = [];
  const there: KeptEdit[] = [];
  const overtaken: KeptEdit[] = [];
  for (const kept of queue) {
    const { changes } = kept.edit;
    const lots = lotsIn(plan, new Set(changes.map(({ operation }) => operation)));
    const lies = (operation: OperationId, wanted: readonly PlannedLot[]): boolean => sameLots(lots.get(operation) ?? [], wanted);
    if (changes.every(({ operation, planned }) => lies(operation, planned?.lots ?? []))) there.push(kept);
    else if (kept.before.every(({ operation, lots: were }) => lies(operation, were))) {
      over.push(kept);
      plan = applyEdit(plan, kept.edit);
    } else overtaken.push(kept);
  }
  return { plan, over, there, overtaken };
}
