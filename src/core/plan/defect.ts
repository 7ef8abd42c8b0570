/**
 * What the engine may never be blamed for, and what it always is: a plan with a conflict that work placed by it can never have is a
 * defect of ours, and a crash report is better than a silently wrong plan. What demands themselves force, plans may show.
 */
import type { Conflict, ConflictKind } from "../check/conflict.ts";
import { InvariantBroken } from "../ground/invariant.ts";
import type { OperationId } from "../orders/operation.ts";
import type { PlannedOperation } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";

/** Kinds that demands can force on any plan: pins, limits, dates, work given elsewhere. Everything else the engine must avoid. */
const UNAVOIDABLE: ReadonlySet<ConflictKind> = new Set<ConflictKind>([
  "notPlanned",
  "afterDeadline",
  "maintenanceOverdue",
  "pinMoved",
  "outsideWindow",
  "lagLong",
  "calibrationLapsed",
  "otherMachine",
  "frozenMoved",
  "phaseWait",
]);

/** Throws with everything that is needed to see it again. `run`: seed and budget, for people. */
export function refuseDefects(
  problem: Problem,
  kept: readonly PlannedOperation[],
  conflicts: readonly Conflict[],
  run: string,
): void {
  // running and frozen work lies where it was decided, whatever has changed since
  const given = new Set<OperationId>(kept.map((planned) => planned.operation));
  for (const operation of problem.operations) if (operation.progress.running.length > 0) given.add(operation.id);
  // one who holds a kit for itself and needs it again for the whole stretch may ask for more than there is
  const spanning = new Set<OperationId>(problem.kitSpans.flatMap((span) => [span.from, span.to]));
  const asked = (conflict: Conflict): boolean =>
    conflict.kind === "kitShort" && conflict.operations.some((id) => spanning.has(id));
  const defect = conflicts.find(
    (conflict) => !UNAVOIDABLE.has(conflict.kind) && !asked(conflict) && !conflict.operations.some((id) => given.has(id)),
  );
  if (defect) throw new InvariantBroken(`engine defect in "${problem.name}", ${run}: ${defect.kind}: ${defect.sentence}`);
}
