/**
 * A plan that is offered, as phantoms over the plan that lies: where each moved operation would go, and which work would leave its
 * place. Work without a machine has no row of its own to stand in and is told in words only. Pure; O(size of the plans).
 */
import type { OperationId } from "../../src/core/orders/operation.ts";
import type { Plan } from "../../src/core/problem/plan.ts";
import type { BoardModel } from "./board-model.ts";
import { byOperation, type Phantom, publishedPlaces } from "./published-places.ts";

export type Ghosts = {
  readonly onLane: readonly (readonly Phantom[])[];
  readonly leaving: ReadonlySet<OperationId>;
};

/** Operations that the problem of the board does not know yet are left out. */
export function ghostsOf(model: BoardModel, offered: Plan): Ghosts {
  const { problem } = model.shop;
  const { phantoms } = publishedPlaces(problem.operations, model.planned, byOperation(offered));
  const onLane: Phantom[][] = model.lanes.list.map(() => []);
  for (const phantom of phantoms)
    for (const machine of phantom.machines) onLane[model.lanes.ofMachine.get(machine) ?? -1]?.push(phantom);
  return { onLane, leaving: new Set(phantoms.map(({ operation }) => operation.id)) };
}
