/** When an operation may begin at the earliest, given what is placed before it: now, release, window, shortest lags. */
import { type DenseOp, FAR } from "./model.ts";
import type { State } from "./state.ts";

/** The minute where release and links allow the operation (its start, or the begin of what follows prepare). */
export function linkFloor(state: State, op: DenseOp): number {
  const { from, item, minLag } = state.model.earlier;
  const { endOf } = state;
  let floor = op.readyAt;
  for (let k = from[op.index]!, until = from[op.index + 1]!; k < until; k++) {
    const ready = endOf[item[k]!]! + minLag[k]!;
    if (ready > floor) floor = ready;
  }
  return floor;
}

/** The minute before which nothing of the operation may start, whatever else holds. */
export function startFloor(state: State, op: DenseOp): number {
  return op.windowStart > state.model.now && op.windowStart < FAR ? op.windowStart : state.model.now;
}
