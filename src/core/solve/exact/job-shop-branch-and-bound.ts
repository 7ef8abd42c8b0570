/**
 * Exact search for job shops up to about 10 x 10: depth-first over the order of machine pairs, the tightest pair first, with
 * propagation at every node. Also gives the destructive lower bound at the root, useful at any size.
 * Promises: a schedule only when it is shorter than the known one; a proof only when the whole tree is searched. Deterministic;
 * resumable, `search` does at most the nodes asked for and may be called again.
 * Sources: as disjunctive-propagation.ts; S.F. Smith, C.C. Cheng, Slack-based heuristics for constraint satisfaction
 * scheduling, AAAI 1993 (choice of the pair); R. Klein, A. Scholl, EJOR 112, 1999 (destructive bounds).
 */
import type { JobShop } from "../../problem/classical.ts";
import { DisjunctivePropagation } from "./disjunctive-propagation.ts";

type Frame = { readonly mark: number; readonly a: number; readonly b: number; flipped: boolean };

export class JobShopBranchAndBound {
  /** The best known makespan; lowered by the search, and by the caller when another search does better. */
  upper: number;
  /** Starts of a schedule of length `upper`, once this search has found one itself. */
  starts: Int32Array | undefined;
  nodes = 0;
  /** The whole tree is searched: `upper` is optimal (if a schedule of that length is known). */
  exhausted = false;
  private readonly state: DisjunctivePropagation;
  private readonly frames: Frame[] = [];
  private begun = false;

  constructor(shop: JobShop, upper: number) {
    this.state = new DisjunctivePropagation(shop);
    this.upper = upper;
  }

  /** Up to `nodes` more nodes. */
  search(nodes: number, shouldStop: () => boolean): void {
    const { state, frames } = this;
    if (!this.begun) {
      this.begun = true;
      state.reset(this.upper - 1);
      if (!state.propagate()) this.exhausted = true;
    }
    const until = this.nodes + nodes;
    while (!this.exhausted && this.nodes < until) {
      if (this.nodes % 16 === 0 && shouldStop()) return;
      this.nodes += 1;
      state.limit = Math.min(state.limit, this.upper - 1);
      const pair = this.tightestPair();
      let alive = pair !== undefined;
      if (pair === undefined) this.keep();
      else {
        frames.push({ mark: state.mark(), a: pair[0], b: pair[1], flipped: false });
        state.decide(pair[0], pair[1]);
        alive = state.propagate();
      }
      while (!alive) {
        const frame = frames.at(-1);
        if (frame === undefined) {
          this.exhausted = true;
          return;
        }
        state.undo(frame.mark);
        if (frame.flipped) {
          frames.pop();
          continue;
        }
        frame.flipped = true;
        state.limit = Math.min(state.limit, this.upper - 1);
        state.decide(frame.b, frame.a);
        alive = state.propagate();
      }
    }
  }

  /** Every pair is ordered: the heads are a schedule within the limit. */
  private keep(): void {
    const { state } = this;
    let makespan = 0;
    for (let x = 0; x < state.size; x += 1) makespan = Math.max(makespan, state.head[x] + state.duration[x]);
    if (makespan >= this.upper) return;
    this.upper = makespan;
    this.starts = state.head.slice();
  }

  /** The undecided pair with the least slack, the roomier order first. */
  private tightestPair(): readonly [number, number] | undefined {
    const { head, rest, duration, machines, limit } = this.state;
    let best = Number.POSITIVE_INFINITY;
    let first = -1;
    let second = -1;
    for (const list of machines) {
      for (let i = 0; i < list.length; i += 1) {
        const a = list[i];
        for (let j = i + 1; j < list.length; j += 1) {
          const b = list[j];
          if (this.state.isBefore(a, b) || this.state.isBefore(b, a)) continue;
          const both = duration[a] + duration[b];
          const ab = limit - head[a] - both - rest[b];
          const ba = limit - head[b] - both - rest[a];
          const low = Math.min(ab, ba) + 1;
          const high = Math.max(ab, ba) + 1;
          const value = low / Math.sqrt(low / high);
          if (value < best) {
            best = value;
            first = ab >= ba ? a : b;
            second = ab >= ba ? b : a;
          }
        }
      }
    }
    return first < 0 ? undefined : [first, second];
  }
}

/** The largest makespan up to `upper` that propagation at the root refutes, plus one: never above the optimum. */
export function destructiveBound(shop: JobShop, lower: number, upper: number): number {
  const state = new DisjunctivePropagation(shop);
  let low = lower; // proven bound
  let high = upper; // not refuted, or not tried
  while (low < high) {
    const middle = (low + high) >> 1;
    state.reset(middle);
    if (state.propagate()) high = middle;
    else low = middle + 1;
  }
  return low;
}

export type JobShopProof = {
  readonly proven: boolean;
  /** Proven: no schedule is shorter. */
  readonly lowerBound: number;
  /** The best makespan known at the end, and its starts if it beats `upper`. */
  readonly makespan: number;
  readonly starts: Int32Array | undefined;
  readonly nodes: number;
};

/** Tries to prove that no schedule is shorter than `upper`, or to find the optimum below it. */
export function proveJobShop(
  shop: JobShop,
  upper: number,
  limits: { readonly maxNodes: number; readonly shouldStop?: () => boolean },
): JobShopProof {
  const search = new JobShopBranchAndBound(shop, upper);
  search.search(limits.maxNodes, limits.shouldStop ?? (() => false));
  return {
    proven: search.exhausted,
    lowerBound: search.exhausted ? search.upper : Math.min(search.upper, destructiveBound(shop, 0, search.upper)),
    makespan: search.upper,
    starts: search.starts,
    nodes: search.nodes,
  };
}
