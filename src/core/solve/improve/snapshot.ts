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

/**
 * The best plan of a search. It is found thousands of times, each time a few lots from where it was: only lots that lie otherwise
 * than when it was last found are copied, not all of a shop's ten thousand.
 */
export class BestPlan implements Snapshot {
  readonly placements: (Placement | null)[];
  readonly pieces: Int32Array;
  figures: PlanFigures;
  value: number;
  /** Rows that may lie otherwise in the state; null: all may. */
  private behind: number[] | null = [];
  private readonly isBehind: Uint8Array;

  constructor(state: State) {
    const { placements, pieces, figures } = copyPlacements(state);
    this.placements = [...placements];
    this.pieces = pieces;
    this.figures = figures;
    this.value = state.value;
    this.isBehind = new Uint8Array(pieces.length);
  }

  /** Notes what the state has changed since its mark and will keep; to be told before the state forgets it. */
  follow(state: State): void {
    const { behind, isBehind } = this;
    if (behind === null) return;
    state.eachChange((item) => {
      if (isBehind[item] === 1) return;
      isBehind[item] = 1;
      behind.push(item);
    });
  }

  /** Another state goes on from here. */
  followAnother(): void {
    this.behind = null;
  }

  /** The state is the best plan now. */
  take(state: State): void {
    const { placements, pieces, behind } = this;
    if (behind === null) {
      for (let item = 0; item < pieces.length; item++) placements[item] = state.placed[item]!;
      pieces.set(state.pieces);
    } else {
      for (const item of behind) {
        placements[item] = state.placed[item]!;
        pieces[item] = state.pieces[item]!;
      }
    }
    this.figures = { conflicts: state.conflicts + state.missing, cost: state.cost };
    this.value = state.value;
    this.level();
  }

  /** Brings the state back to the best plan. */
  restore(state: State): void {
    restorePlacements(state, this);
    this.level();
  }

  private level(): void {
    if (this.behind === null) this.isBehind.fill(0);
    else for (const item of this.behind) this.isBehind[item] = 0;
    this.behind = [];
  }
}
