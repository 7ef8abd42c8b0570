/**
 * Where the published plan has what this draft has elsewhere: phantoms on the board, the count "moved" in the title block.
 * An operation counts as moved when a lot differs in start, end or machines; added and removed ones count too. Begun work never does.
 */
import { hasBegun, type Operation, type OperationId } from "../../src/core/orders/operation.ts";
import type { MachineId } from "../../src/core/plant/machine.ts";
import type { Plan, PlannedLot, PlannedOperation } from "../../src/core/problem/plan.ts";

export type Phantom = {
  readonly operation: Operation;
  readonly lot: number;
  readonly machines: readonly MachineId[];
  readonly start: number;
  readonly end: number;
};

export const lotMachines = (operation: Operation, lot: PlannedLot): readonly MachineId[] =>
  operation.modes.find(({ id }) => id === lot.mode)?.machines ?? [];

const samePlace = (operation: Operation, a: PlannedLot, b: PlannedLot): boolean =>
  a.start === b.start &&
  a.end === b.end &&
  (a.mode === b.mode || [...lotMachines(operation, a)].sort().join() === [...lotMachines(operation, b)].sort().join());

export const byOperation = (plan: Plan): ReadonlyMap<OperationId, PlannedOperation> =>
  new Map(plan.operations.map((planned) => [planned.operation, planned]));

export function publishedPlaces(
  operations: readonly Operation[],
  plan: ReadonlyMap<OperationId, PlannedOperation>,
  published: ReadonlyMap<OperationId, PlannedOperation> | null,
): { readonly phantoms: readonly Phantom[]; readonly moved: number } {
  if (!published) return { phantoms: [], moved: 0 };
  const phantoms: Phantom[] = [];
  let moved = 0;
  for (const operation of operations) {
    if (hasBegun(operation.progress)) continue;
    const before = published.get(operation.id)?.lots ?? [];
    const after = plan.get(operation.id)?.lots ?? [];
    let differs = before.length !== after.length;
    for (let lot = 0; lot < before.length; lot++) {
      const was = before[lot] as PlannedLot;
      const is = after[lot];
      if (is && samePlace(operation, was, is)) continue;
      differs = true;
      phantoms.push({ operation, lot, machines: lotMachines(operation, was), start: was.start, end: was.end });
    }
    if (differs) moved++;
  }
  return { phantoms, moved };
}
