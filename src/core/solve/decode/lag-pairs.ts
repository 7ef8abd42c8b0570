/**
 * The lag links between lots as flat rows: for each operation the lots it follows and those that follow it, side by side in memory.
 * A decode asks for them several times for every lot it lays; walking link, operation and list of lots each time waits for memory.
 */
import type { DenseLink, DenseOp } from "./model.ts";

/** Rows `from[op]` up to `from[op + 1]` belong to the operation. Minutes; a longest lag of FAR: any. */
export type LagPairs = {
  readonly from: Int32Array;
  readonly item: Int32Array;
  readonly minLag: Int32Array;
  readonly maxLag: Int32Array;
};

export function lagPairs(
  ops: readonly DenseOp[],
  linksOf: (op: DenseOp) => readonly DenseLink[],
  otherEnd: (link: DenseLink) => number,
): LagPairs {
  const from = new Int32Array(ops.length + 1);
  const item: number[] = [];
  const minLag: number[] = [];
  const maxLag: number[] = [];
  for (const op of ops) {
    for (const link of linksOf(op)) {
      if (link.kind !== "lag") continue;
      for (const other of ops[otherEnd(link)]!.items) {
        item.push(other);
        minLag.push(link.minLag);
        maxLag.push(link.maxLag);
      }
    }
    from[op.index + 1] = item.length;
  }
  return { from, item: Int32Array.from(item), minLag: Int32Array.from(minLag), maxLag: Int32Array.from(maxLag) };
}
