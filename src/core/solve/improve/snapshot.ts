/** The best plan so far, as its placements: cheap to take, exact to restore. */
import type { Placement } from "../decode/placement.ts";
import type { State } from "../decode/state.ts";

export type PlanFigures = { readonly conflicts: number; readonly cost: number };

export type Snapshot = {
  readonly placements: readonly (Placement | null)[];
  readonly pieces: Int32Array;
  readonly figures: PlanFigures;
};

export function copyPlacements(state: State): Snapshot {
  return {
    placements: [...state.placed],
    pieces: state.pieces.slice(),
    figures: { conflicts: state.conflicts + state.missing, cost: state.cost },
  };
}

/** Puts the lots back into a state that holds only what is given. */
export function restorePlacements(state: State, snapshot: Snapshot): void {
  snapshot.pieces.forEach((pieces, item) => {
    if (state.placed[item] === null && state.pieces[item] !== pieces) state.setPieces(item, pieces);
  });
  for (const p of snapshot.placements) if (p && state.placed[p.item] === null) state.insert(p);
  state.forget();
}
