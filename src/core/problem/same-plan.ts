/** Whether two plans say the same, field by field: a plan that was stored comes back with its fields in another order. Pure. */
import type { Plan, PlannedLot, PlannedPhase } from "./plan.ts";

type Lots = readonly PlannedLot[];

export const sameLots = (a: Lots, b: Lots): boolean =>
  a === b || (a.length === b.length && a.every((lot, i) => sameLot(lot, b[i])));

export function sameLot(a: PlannedLot, b: PlannedLot | undefined): boolean {
  if (a === b || b === undefined) return a === b;
  return (
    a.start === b.start &&
    a.end === b.end &&
    a.mode === b.mode &&
    a.pieces === b.pieces &&
    a.phases.length === b.phases.length &&
    a.phases.every((phase, i) => samePhase(phase, b.phases[i]))
  );
}

const samePhase = (a: PlannedPhase, b: PlannedPhase | undefined): boolean =>
  b !== undefined &&
  a.phase === b.phase &&
  a.crews.length === b.crews.length &&
  a.crews.every((crew, i) => crew === b.crews[i]) &&
  a.work.length === b.work.length &&
  a.work.every(([start, end], i) => start === b.work[i]?.[0] && end === b.work[i]?.[1]);

/** The order in which a plan names its operations means nothing. */
export function samePlan(a: Plan, b: Plan): boolean {
  if (a === b) return true;
  if (a.operations.length !== b.operations.length) return false;
  const known = new Map(b.operations.map(({ operation, lots }) => [operation, lots]));
  return a.operations.every(({ operation, lots }) => {
    const other = known.get(operation);
    return other !== undefined && sameLots(lots, other);
  });
}
