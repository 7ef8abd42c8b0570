/**
 * What every rule is given: the problem looked up, the plan's lots, their setups, and a pen to write conflicts with.
 * A rule is a function of a Scene; rules do not know each other and their order does not matter.
 */
import type { Interval, Minute } from "../calendar/minute.ts";
import type { Operation, OperationId } from "../orders/operation.ts";
import type { Plan, PlannedOperation } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import type { Conflict, ConflictKind } from "./conflict.ts";
import { type LookUp, lookUp } from "./look-up.ts";
import { type Lot, type LotsOfPlan, lotsOfPlan, type PhaseOfLot } from "./lots.ts";
import { setupsOfLots } from "./setup.ts";
import { type SayMinute, sayMinutes, sayOperation } from "./wording.ts";

export type Scene = {
  readonly problem: Problem;
  readonly look: LookUp;
  readonly lots: LotsOfPlan;
  /** Frozen work that must stay as published. */
  readonly kept: readonly PlannedOperation[];
  /** Setup minutes; 0 for lots without a family. */
  readonly setupOf: (lot: Lot) => number;
  /** Minutes the phase should work, setup within. */
  readonly wanted: (phase: PhaseOfLot) => Minute;
  readonly at: SayMinute;
  readonly name: (operation: Operation | OperationId) => string;
  readonly write: (conflict: Conflict) => void;
};

/** What a rule says; the operations are sorted and freed of repetitions here. */
export function conflictOf(
  kind: ConflictKind,
  operations: Iterable<OperationId>,
  resource: string | null,
  interval: Interval,
  amount: number,
  sentence: string,
): Conflict {
  return { kind, operations: [...new Set(operations)].sort(), resource, interval, amount, sentence };
}

/** A scene, and the list that its pen writes. */
export function sceneOf(
  problem: Problem,
  plan: Plan,
  kept: readonly PlannedOperation[],
  breathe?: () => void,
): { scene: Scene; written: Conflict[] } {
  const look = lookUp(problem);
  const lots = lotsOfPlan(look, plan, breathe);
  const setupOf = setupsOfLots(look, lots);
  const written: Conflict[] = [];
  let say: SayMinute | null = null;
  const scene: Scene = {
    ...{ problem, look, lots, kept, setupOf },
    wanted: ({ lot, phase, current, ownMinutes }) => ownMinutes + (phase.kind === "prepare" && !current ? setupOf(lot) : 0),
    // Most plans have no conflict, so the formatter is made at the first.
    at: (minute) => {
      say ??= sayMinutes(problem);
      return say(minute);
    },
    name: (wanted) => {
      const operation = typeof wanted === "string" ? look.operations.get(wanted) : wanted;
      return operation === undefined ? String(wanted) : sayOperation(operation, look.orders.get(operation.order));
    },
    write: (conflict) => written.push(conflict),
  };
  return { scene, written };
}

/** Lots that the plan itself places: running and open ones. */
export const plannedLots = ({ lots }: Scene): readonly Lot[] => lots.planned;
