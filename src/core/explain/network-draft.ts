/** The dispatch network while it is built: nodes that may still change, lots by row, and the arcs so far. Decides nothing. */
import type { Lot } from "../check/lots.ts";
import type { Scene } from "../check/scene.ts";
import { present } from "../ground/invariant.ts";
import type { Arc, ArcReason, NetworkNode } from "./dispatch-network.ts";

export type Draft = {
  -readonly [K in keyof NetworkNode]: NetworkNode[K] extends readonly number[] ? number[] : NetworkNode[K];
};

export type Context = {
  readonly scene: Scene;
  readonly sources: readonly Lot[];
  readonly nodesOfLot: readonly (readonly number[])[];
  readonly drafts: readonly Draft[];
  readonly arcs: Arc[];
  readonly rowOf: ReadonlyMap<Lot, number>;
};

export const lastOf = ({ nodesOfLot }: Context, row: number): number => present(nodesOfLot[row]?.at(-1), "last node");
export const firstOf = ({ nodesOfLot }: Context, row: number): number => present(nodesOfLot[row]?.[0], "first node");

/** What the plan itself breaks is not made a rule of the replay. */
export function addInOrder(drafts: readonly Draft[], arcs: Arc[], from: number, to: number, because: ArcReason): void {
  if (from === to || present(drafts[from], "node").plannedEnd > present(drafts[to], "node").plannedBegin) return;
  if (present(drafts[from], "node").lot === present(drafts[to], "node").lot) return;
  arcs.push({ from, to, lag: 0, because, pieces: null });
}

export function push<K, V>(map: Map<K, V[]>, key: K, value: V): void {
  const list = map.get(key);
  if (list === undefined) map.set(key, [value]);
  else list.push(value);
}
