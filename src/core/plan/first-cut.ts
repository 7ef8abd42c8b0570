/** Where a running batch may be cut first: after as few pieces as its rule of cutting and what is out already allow. */
import { type Operation, piecesBegun } from "../orders/operation.ts";
import { withRunningCut } from "./open-plan.ts";

/** The operation with a running lot so cut; null: it may not be cut. */
export function firstCut(operation: Operation, lot: number): Operation | null {
  const { split, progress } = operation;
  const running = progress.running[lot];
  if (split === null || running === undefined) return null;
  const begun = progress.done.length + progress.running.length;
  if (operation.pieces > piecesBegun(progress) || begun + 1 > split.lots) return null;
  for (let pieces = split.minPieces; running.pieces - pieces >= split.minPieces; pieces++) {
    const cut = withRunningCut(operation, lot, pieces);
    if (cut !== null) return cut;
  }
  return null;
}
