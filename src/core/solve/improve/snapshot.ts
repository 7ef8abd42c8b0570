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

/** Brings the state to the snapshot of a plan of the same model, at the cost of what lies otherwise. What is given lies alike in both. */
export function restorePlacements(state: State, { placements, pieces }: Snapshot): void {
  placements.forEach((p, item) => {
    const now = state.placed[item];
    if (now && now !== p) state.remove(now);
  });
  pieces.forEach((count, item) => {
    if (state.placed[item] === null && state.pieces[item] !== count) state.setPieces(item, count);
  });
  for (const p of placements) if (p && state.placed[p.item] === null) state.insert(p);
  state.forget();
}
