/** When an operation may begin at the earliest, given what is placed before it: now, release, window, shortest lags. */
import { type DenseOp, FAR, NONE } from "./model.ts";
import type { State } from "./state.ts";

/** The minute where release and links allow the operation (its start, or the begin of what follows prepare). */
export function linkFloor(state: State, op: DenseOp): number {
  let floor = op.release;
  for (const link of op.before) {
    if (link.kind !== "lag") continue;
    const from = state.model.ops[link.from]!;
    if (from.doneEnd !== NONE && from.doneEnd + link.minLag > floor) floor = from.doneEnd + link.minLag;
    for (const item of from.items) {
      const p = state.placed[item];
      if (p && p.end + link.minLag > floor) floor = p.end + link.minLag;
    }
  }
  return floor;
}

/** The minute before which nothing of the operation may start, whatever else holds. */
export function startFloor(state: State, op: DenseOp): number {
  return op.windowStart > state.model.now && op.windowStart < FAR ? op.windowStart : state.model.now;
}
