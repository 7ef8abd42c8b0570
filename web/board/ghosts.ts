/**
 * A plan that is offered, as phantoms over the plan that lies: where each moved operation would go, and which work would leave its
 * place. An order that is asked for stands out, also while the board's problem does not know it yet. Work without a machine has no
 * row of its own to stand in and is told in words only. Pure; O(size of the plans).
 */
import type { OperationId } from "../../src/core/orders/operation.ts";
import type { Plan } from "../../src/core/problem/plan.ts";
import type { BoardModel } from "./board-model.ts";
import { byOperation, publishedPlaces } from "./published-places.ts";

export type GhostPlace = {
  readonly operation: OperationId;
  readonly machines: readonly string[];
  readonly start: number;
  readonly end: number;
};
/** `asked`: of the order that somebody wants in. */
export type Ghost = GhostPlace & { readonly asked: boolean };

export type Ghosts = {
  readonly onLane: readonly (readonly Ghost[])[];
  readonly leaving: ReadonlySet<OperationId>;
};

/** Operations that the problem of the board does not know yet are left out, but for those asked for. */
export function ghostsOf(model: BoardModel, offered: Plan, asked: readonly GhostPlace[] = []): Ghosts {
  const { problem } = model.shop;
  const { phantoms } = publishedPlaces(problem.operations, model.planned, byOperation(offered));
  const wanted = new Set(asked.map(({ operation }) => operation));
  const ghosts: Ghost[] = [
    ...phantoms
      .map(({ operation, machines, start, end }) => ({ operation: operation.id, machines, start, end, asked: false }))
      .filter(({ operation }) => !wanted.has(operation)),
    ...asked.map((place) => ({ ...place, asked: true })),
  ];
  const onLane: Ghost[][] = model.lanes.list.map(() => []);
  for (const ghost of ghosts) for (const machine of ghost.machines) onLane[model.lanes.ofMachine.get(machine) ?? -1]?.push(ghost);
  return { onLane, leaving: new Set(ghosts.map(({ operation }) => operation)) };
}
