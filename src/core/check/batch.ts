/**
 * lotsWrong: the lots of an operation hold all its pieces; more than one only where it may be split, then at most so many
 * of at least so many pieces each; starts do not decrease; a running lot is cut at a piece end from now on.
 * One conflict for each operation; amount = pieces too many or too few, else 1.
 */
import type { Minute } from "../calendar/minute.ts";
import type { Lot } from "./lots.ts";
import { workedAfterPieces } from "./pieces.ts";
import { conflictOf, type Scene } from "./scene.ts";

export function checkBatches(scene: Scene): void {
  const { lots, name, write } = scene;
  for (const all of lots.at) {
    const only = all[0];
    if (only === undefined) continue;
    const { operation } = only;
    if (all.length === 1 && only.running === null && only.pieces === operation.pieces && only.pieces > 0) continue;
    const planned = all.filter((lot) => lot.planned !== null);
    const first = planned[0];
    if (first === undefined) continue;
    const reason = reasonWrong(scene, all, planned);
    if (reason === null) continue;
    const held = all.reduce((sum, { pieces }) => sum + pieces, 0);
    const end = planned.reduce((latest, lot) => Math.max(latest, lot.end), first.end);
    const sentence = `The lots of ${name(operation)} ${reason}.`;
    write(conflictOf("lotsWrong", [operation.id], null, [first.start, end], Math.abs(held - operation.pieces) || 1, sentence));
  }
}

function reasonWrong(scene: Scene, all: readonly Lot[], planned: readonly Lot[]): string | null {
  const operation = (all[0] as Lot).operation;
  const held = all.reduce((sum, { pieces }) => sum + pieces, 0);
  if (held !== operation.pieces) return `hold ${held} pieces instead of ${operation.pieces}`;
  if (planned.some(({ pieces }) => pieces < 1)) return "must each hold a piece";
  const { lots, minPieces } = operation.split ?? { lots: 1, minPieces: 1 };
  if (all.length > Math.max(1, lots))
    return `are ${all.length}, but ${lots === 1 ? "it may not be split" : `at most ${lots} are allowed`}`;
  const small = all.length > 1 ? planned.find(({ pieces }) => pieces < minPieces) : undefined;
  if (small !== undefined) return `must hold at least ${minPieces} pieces each, but one holds ${small.pieces}`;
  if (planned.some((lot, i) => i > 0 && lot.start < (planned[i - 1] as Lot).start)) return "are not numbered by their starts";
  if (planned.some((lot) => cutBeforeNow(scene, lot))) return "cut the running lot before pieces that are out already";
  return null;
}

/** A running lot that holds fewer pieces than it was started with ends at a piece end that is still to come. */
function cutBeforeNow(scene: Scene, lot: Lot): boolean {
  if (lot.running === null || lot.mode === null || lot.pieces >= lot.running.pieces) return false;
  const perPiece = lot.mode.phases.findIndex(({ work }) => work.kind === "perPiece");
  if (perPiece < 0 || perPiece > lot.running.phase) return false;
  const current = lot.phases.find((phase) => phase.current);
  if (perPiece < lot.running.phase || current === undefined) return true;
  const after: Minute = workedAfterPieces(scene, current, lot.pieces);
  return after < 0;
}
