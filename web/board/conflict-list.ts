/**
 * The one list of conflicts: numbered once, in order of time; balloons, counters, panel, table and strip all read it.
 * Work that nobody has planned yet is listed apart as work to place: it is not an accident in the plan, but it is counted.
 */
import type { Conflict } from "../../src/core/check/conflict.ts";

export type NumberedConflict = { readonly number: number; readonly conflict: Conflict };

export type ConflictList = {
  /** With a place on the board, by time. */
  readonly placed: readonly NumberedConflict[];
  /** `notPlanned`; numbered after the others. */
  readonly unplanned: readonly NumberedConflict[];
  readonly count: number;
};

export function conflictList(conflicts: readonly Conflict[]): ConflictList {
  const byTime = (a: Conflict, b: Conflict): number =>
    a.interval[0] - b.interval[0] || a.kind.localeCompare(b.kind) || a.operations.join().localeCompare(b.operations.join());
  const placed = conflicts.filter(({ kind }) => kind !== "notPlanned").sort(byTime);
  const unplanned = conflicts
    .filter(({ kind }) => kind === "notPlanned")
    .sort((a, b) => a.operations.join().localeCompare(b.operations.join(), undefined, { numeric: true }));
  return {
    placed: placed.map((conflict, i) => ({ number: i + 1, conflict })),
    unplanned: unplanned.map((conflict, i) => ({ number: placed.length + i + 1, conflict })),
    count: conflicts.length,
  };
}

/** What makes two conflicts the same one, whatever their minutes. */
export const conflictKey = ({ kind, operations, resource }: Conflict): string =>
  `${kind}|${operations.join(",")}|${resource ?? ""}`;

/** Conflicts that the second list has and the first has not. */
export function newConflicts(before: readonly Conflict[], after: readonly Conflict[]): readonly Conflict[] {
  const known = new Set(before.map(conflictKey));
  return after.filter((conflict) => !known.has(conflictKey(conflict)));
}
