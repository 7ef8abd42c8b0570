/**
 * Which lot of a stored plan is which: those done have left it (a plan made before the last report still has them, one made after it
 * has not), each running lot has its own, the rest is to begin. A lot is known by its mode and start; one that began elsewhere or at
 * another time than planned takes the first that is left, of its mode if there is one. Pure.
 */
import type { Operation, RunningLot } from "../../core/orders/operation.ts";
import type { PlannedLot } from "../../core/problem/plan.ts";

export type LotsAhead = {
  /** The planned lot of each running one, in their order; null: the plan has none for it. */
  readonly running: readonly (PlannedLot | null)[];
  readonly toBegin: readonly PlannedLot[];
};

type Begun = { readonly mode: string; readonly start: number; readonly pieces: number };

export function lotsAhead(
  { pieces, progress }: Pick<Operation, "pieces" | "progress">,
  planned: readonly PlannedLot[],
): LotsAhead {
  const { done, running } = progress;
  const left = pieces - done.reduce((sum, lot) => sum + lot.pieces, 0);
  if (done.length > 0 && left <= 0) return { running: running.map(() => null), toBegin: [] };
  const open = [...planned];
  const tooMany = (): boolean => open.length > 1 && open.reduce((sum, lot) => sum + lot.pieces, 0) > left;
  for (const lot of done) if (tooMany()) take(open, lot);

  const own = new Map<RunningLot, PlannedLot>();
  for (const lot of running) {
    const found = take(open, lot);
    if (found) own.set(lot, found);
  }
  const kept = (): number => [...open, ...own.values()].reduce((sum, lot) => sum + lot.pieces, 0);
  while (open.length + own.size > Math.max(1, running.length) && open.length > 0 && kept() > left) open.shift();
  for (const lot of running) {
    if (own.has(lot)) continue;
    const index = open.findIndex(({ mode }) => mode === lot.mode);
    const [found] = open.splice(Math.max(0, index), 1);
    if (found) own.set(lot, found);
  }
  return { running: running.map((lot) => own.get(lot) ?? null), toBegin: open };
}

/** Takes the lot with this mode and start out of the list, if it can be one of as many pieces (bench work may begin several at once). */
function take(open: PlannedLot[], { mode, start, pieces }: Begun): PlannedLot | undefined {
  const same = open.filter((lot) => lot.mode === mode && lot.start === start);
  const found = same.find((lot) => lot.pieces === pieces) ?? same[0];
  if (found) open.splice(open.indexOf(found), 1);
  return found;
}
