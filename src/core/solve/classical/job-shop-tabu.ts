/**
 * Tabu search for the job shop: moves of one critical operation inside its block, to the block's ends and from them (N7),
 * chosen by an estimate from existing heads and tails, with recently reversed arcs forbidden.
 * Promises to end on the best order met, after `patience` moves without a gain, at a good enough makespan or when told to stop.
 * Does not promise an optimum. One move costs O(operations + sum of squared block lengths).
 * Sources: E. Balas, A. Vazacopoulos, Guided local search with shifting bottleneck for job shop scheduling, Management
 * Science 44(2), 1998 (feasibility conditions, estimate); C. Zhang, P. Li, Z. Guan, Y. Rao, A tabu search algorithm with a new
 * neighborhood structure for the job shop scheduling problem, Computers & OR 34, 2007 (N7); B. Peng, Z. Lü, T.C.E. Cheng,
 * A tabu search/path relinking algorithm to solve the job shop scheduling problem, Computers & OR 53, 2015 (tenure).
 */
import type { Random } from "../../ground/prng.ts";
import type { JobShopGraph } from "./job-shop-graph.ts";

export type TabuRun = {
  /** Moves without a new best after which the run ends. */
  readonly patience: number;
  /** Moves this run may make at most. */
  readonly maxMoves: number;
  /** A makespan at or below this ends the run. */
  readonly goal: number;
  /** Asked every few moves. */
  readonly shouldStop: () => boolean;
};

const STOP_CHECK_WORK = 100_000; // operations touched between two questions whether to stop: about a millisecond

export class JobShopTabu {
  /** Best of the last run: its makespan and a linear order that yields it. */
  bestMakespan = 0;
  readonly bestOrder: Int32Array;
  /** Moves made over all runs. */
  moves = 0;
  private readonly graph: JobShopGraph;
  private readonly random: Random;
  private readonly tabuUntil: Int32Array;
  private readonly rank: Int32Array; // index of an operation among those of its machine
  private readonly rowBase: Int32Array; // start of the operation's row in tabuUntil
  private readonly path: Int32Array;
  private readonly newDone: Int32Array;
  private readonly tenureLow: number;
  private readonly tenureSpread: number;
  private clock = 0; // grows over all runs so that old marks of earlier runs are always past

  constructor(graph: JobShopGraph, random: Random) {
    this.graph = graph;
    this.random = random;
    const { size, machineCount, machine, jobCount } = graph;
    const counts = new Int32Array(machineCount);
    this.rank = new Int32Array(size);
    for (let x = 0; x < size; x += 1) {
      this.rank[x] = counts[machine[x]];
      counts[machine[x]] += 1;
    }
    const base = new Int32Array(machineCount + 1);
    for (let m = 0; m < machineCount; m += 1) base[m + 1] = base[m] + counts[m] * counts[m];
    this.rowBase = new Int32Array(size);
    for (let x = 0; x < size; x += 1) this.rowBase[x] = base[machine[x]] + this.rank[x] * counts[machine[x]];
    this.tabuUntil = new Int32Array(base[machineCount]);
    this.path = new Int32Array(size + 1);
    this.newDone = new Int32Array(size + 1);
    this.bestOrder = new Int32Array(size);
    const ratio = machineCount > 0 ? jobCount / machineCount : 1;
    this.tenureLow = Math.ceil(10 + ratio);
    this.tenureSpread = Math.max(1, Math.ceil(this.tenureLow * (ratio <= 2 ? 0.4 : 0.5)));
  }

  /** Improves the order the graph holds. The graph is left wherever the search ended; the best is in bestOrder. */
  run(limits: TabuRun): void {
    const { graph } = this;
    this.keepBest();
    // Marks of a former run concern another order: step past every one of them.
    this.clock += this.tenureLow + this.tenureSpread + 1;
    const checkEvery = Math.max(1, Math.floor(STOP_CHECK_WORK / Math.max(1, graph.size)));
    let idle = 0;
    let made = 0;
    while (idle < limits.patience && made < limits.maxMoves && this.bestMakespan > limits.goal) {
      if (made % checkEvery === 0 && limits.shouldStop()) return;
      if (!this.step()) return;
      made += 1;
      this.moves += 1;
      if (graph.makespan < this.bestMakespan) {
        this.keepBest();
        idle = 0;
      } else idle += 1;
    }
  }

  private keepBest(): void {
    this.bestMakespan = this.graph.makespan;
    this.bestOrder.set(this.graph.order);
  }

  /** One move; false when the critical path offers none, which proves the order optimal. */
  private step(): boolean {
    const { graph, random, path, rank, rowBase, tabuUntil } = this;
    const { machine, machineSucc } = graph;
    const length = this.tracePath();
    const clock = this.clock;
    let bestValue = 0x7fffffff;
    let bestU = -1;
    let bestV = -1;
    let bestForward = false;
    let ties = 0;
    let anyU = -1;
    let anyV = -1;
    let anyForward = false;
    let anyCount = 0;

    const consider = (from: number, to: number, forward: boolean): void => {
      const u = path[from];
      const v = path[to];
      if (forward ? !this.mayFollow(u, v) : !this.mayLead(u, v)) return;
      anyCount += 1;
      if (random.int(anyCount) === 0) {
        anyU = u;
        anyV = v;
        anyForward = forward;
      }
      // The move makes arcs x -> u (forward) or v -> x (backward); any of them may be forbidden.
      let tabu = false;
      if (forward) {
        const column = rank[u];
        for (let k = from + 1; k <= to; k += 1) if (tabuUntil[rowBase[path[k]] + column] > clock) tabu = true;
      } else {
        const row = rowBase[v];
        for (let k = from; k < to; k += 1) if (tabuUntil[row + rank[path[k]]] > clock) tabu = true;
      }
      let limit = bestValue;
      if (tabu && this.bestMakespan - 1 < limit) limit = this.bestMakespan - 1;
      const value = forward ? this.estimateAfter(from, to, limit) : this.estimateBefore(from, to, limit);
      if (value > limit) return;
      if (value < bestValue) {
        bestValue = value;
        ties = 1;
      } else {
        ties += 1;
        if (random.int(ties) !== 0) return;
      }
      bestU = u;
      bestV = v;
      bestForward = forward;
    };

    for (let begin = 0; begin < length; ) {
      let end = begin;
      while (end + 1 < length && machine[path[end + 1]] === machine[path[begin]] && machineSucc[path[end]] === path[end + 1])
        end += 1;
      if (end > begin) {
        // Work at the outer side of the first and the last block cannot shorten this path.
        const toFront = begin > 0;
        const toBack = end < length - 1;
        if (end === begin + 1) {
          if (toFront || toBack) consider(begin, end, true);
        } else {
          if (toBack) {
            for (let k = begin; k < end; k += 1) consider(k, end, true);
            for (let k = begin + 1; k < end - 1; k += 1) consider(k, end, false);
          }
          if (toFront) {
            for (let k = begin + 1; k <= end; k += 1) consider(begin, k, false);
            for (let k = begin + 2; k < end; k += 1) consider(begin, k, true);
          }
        }
      }
      begin = end + 1;
    }
    if (bestU < 0) {
      if (anyU < 0) return false;
      bestU = anyU;
      bestV = anyV;
      bestForward = anyForward;
    }
    this.perform(bestU, bestV, bestForward);
    return true;
  }

  private perform(u: number, v: number, forward: boolean): void {
    const { graph, rank, rowBase, tabuUntil } = this;
    const { machineSucc } = graph;
    this.clock += 1;
    const until = this.clock + this.tenureLow + this.random.int(this.tenureSpread);
    // Forbid the arcs about to be reversed.
    if (forward) {
      const row = rowBase[u];
      for (let x = u; x !== v; ) {
        x = machineSucc[x];
        tabuUntil[row + rank[x]] = until;
      }
      graph.moveAfter(u, v);
    } else {
      const column = rank[v];
      for (let x = u; x !== v; x = machineSucc[x]) tabuUntil[rowBase[x] + column] = until;
      graph.moveBefore(u, v);
    }
  }

  /** One critical path, chosen at random where it branches, into `path`; its length. */
  private tracePath(): number {
    const { graph, random, path } = this;
    const { size, done, tail, duration, jobSucc, machineSucc, makespan } = graph;
    let x = size;
    let count = 0;
    for (let y = 0; y < size; y += 1) {
      // A critical operation that starts at 0.
      if (done[y] === duration[y] && tail[y] === makespan) {
        count += 1;
        if (count === 1 || random.int(count) === 0) x = y;
      }
    }
    let length = 0;
    let rest = makespan;
    while (x !== size) {
      path[length] = x;
      length += 1;
      rest -= duration[x];
      const j = jobSucc[x];
      const m = machineSucc[x];
      const viaJob = j !== size && tail[j] === rest && done[j] - duration[j] === done[x];
      const viaMachine = m !== size && tail[m] === rest && done[m] - duration[m] === done[x];
      if (viaJob && viaMachine) x = random.int(2) === 0 ? j : m;
      else if (viaJob) x = j;
      else if (viaMachine) x = m;
      else x = size;
    }
    return length;
  }

  /** Sufficient for u to move right behind v without a cycle. */
  private mayFollow(u: number, v: number): boolean {
    const { tail, jobSucc, jobOf } = this.graph;
    return jobOf[u] !== jobOf[v] && tail[v] >= tail[jobSucc[u]];
  }

  /** Sufficient for v to move right before u without a cycle. */
  private mayLead(u: number, v: number): boolean {
    const { done, jobPred, jobOf } = this.graph;
    return jobOf[u] !== jobOf[v] && done[u] >= done[jobPred[v]];
  }

  /** Estimated longest path through the moved part when path[from] goes right behind path[to]; may stop once above limit. */
  private estimateAfter(from: number, to: number, limit: number): number {
    const { path, newDone } = this;
    const { done, tail, duration, jobPred, jobSucc, machinePred, machineSucc } = this.graph;
    const u = path[from];
    let ready = done[machinePred[u]];
    for (let k = from + 1; k <= to; k += 1) {
      const x = path[k];
      const a = done[jobPred[x]];
      ready = Math.max(a, ready) + duration[x];
      newDone[k] = ready;
    }
    const a = done[jobPred[u]];
    const start = Math.max(a, ready);
    const s = tail[jobSucc[u]];
    let after = tail[machineSucc[path[to]]];
    after = Math.max(s, after) + duration[u];
    let value = start + after;
    for (let k = to; k > from; k -= 1) {
      if (value > limit) return value;
      const x = path[k];
      const t = tail[jobSucc[x]];
      if (t > after) after = t;
      if (newDone[k] + after > value) value = newDone[k] + after;
      after += duration[x];
    }
    return value;
  }

  /** The mirror image: path[to] goes right before path[from]. */
  private estimateBefore(from: number, to: number, limit: number): number {
    const { path, newDone } = this;
    const { done, tail, duration, jobPred, jobSucc, machinePred, machineSucc } = this.graph;
    const v = path[to];
    let after = tail[machineSucc[v]];
    for (let k = to - 1; k >= from; k -= 1) {
      const x = path[k];
      const t = tail[jobSucc[x]];
      after = Math.max(t, after) + duration[x];
      newDone[k] = after;
    }
    const t = tail[jobSucc[v]];
    const rest = Math.max(t, after);
    const b = done[jobPred[v]];
    let ready = done[machinePred[path[from]]];
    ready = Math.max(b, ready) + duration[v];
    let value = ready + rest;
    for (let k = from; k < to; k += 1) {
      if (value > limit) return value;
      const x = path[k];
      const a = done[jobPred[x]];
      if (a > ready) ready = a;
      if (ready + newDone[k] > value) value = ready + newDone[k];
      ready += duration[x];
    }
    return value;
  }
}
