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
  // The choice of one step, kept as fields so that weighing a move allocates nothing.
  private value = 0;
  private ties = 0;
  private moveU = -1;
  private moveV = -1;
  private moveForward = false;
  private anyU = -1;
  private anyV = -1;
  private anyForward = false;
  private anyCount = 0;
  private clock = 0; // grows over all runs so that old marks of earlier runs are always past

  constructor(graph: JobShopGraph, random: Random) {
    this.graph = graph;
    this.random = random;
    const { size, slots, slotOf, machineCount, machine, jobCount } = graph;
    const counts = new Int32Array(machineCount);
    this.rank = new Int32Array(slots);
    for (const x of slotOf) {
      this.rank[x] = counts[machine[x]];
      counts[machine[x]] += 1;
    }
    const base = new Int32Array(machineCount + 1);
    for (let m = 0; m < machineCount; m += 1) base[m + 1] = base[m] + counts[m] * counts[m];
    this.rowBase = new Int32Array(slots);
    for (const x of slotOf) this.rowBase[x] = base[machine[x]] + this.rank[x] * counts[machine[x]];
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
    const { path } = this;
    const { machine, machineSucc } = this.graph;
    const length = this.tracePath();
    this.value = 0x7fffffff;
    this.ties = 0;
    this.moveU = -1;
    this.anyU = -1;
    this.anyCount = 0;
    for (let begin = 0; begin < length; ) {
      let end = begin;
      while (end + 1 < length && machine[path[end + 1]] === machine[path[begin]] && machineSucc[path[end]] === path[end + 1])
        end += 1;
      if (end > begin) this.weighBlock(begin, end, begin > 0, end < length - 1);
      begin = end + 1;
    }
    if (this.moveU >= 0) this.perform(this.moveU, this.moveV, this.moveForward);
    else if (this.anyU >= 0) this.perform(this.anyU, this.anyV, this.anyForward);
    else return false;
    return true;
  }

  /** The moves of one block. Work at the outer side of the first and the last block cannot shorten this path. */
  private weighBlock(begin: number, end: number, toFront: boolean, toBack: boolean): void {
    if (end === begin + 1) {
      if (toFront || toBack) this.weigh(begin, end, true);
      return;
    }
    if (toBack) {
      for (let k = begin; k < end; k += 1) this.weigh(k, end, true);
      for (let k = begin + 1; k < end - 1; k += 1) this.weigh(k, end, false);
    }
    if (toFront) {
      for (let k = begin + 1; k <= end; k += 1) this.weigh(begin, k, false);
      for (let k = begin + 2; k < end; k += 1) this.weigh(begin, k, true);
    }
  }

  /** Forward: path[from] right behind path[to]; else path[to] right before path[from]. Keeps the best allowed, ties by lot. */
  private weigh(from: number, to: number, forward: boolean): void {
    const { path, random, rank, rowBase, tabuUntil, clock } = this;
    const u = path[from];
    const v = path[to];
    if (forward ? !this.mayFollow(u, v) : !this.mayLead(u, v)) return;
    this.anyCount += 1;
    if (random.int(this.anyCount) === 0) {
      this.anyU = u;
      this.anyV = v;
      this.anyForward = forward;
    }
    // The move makes arcs x -> u (forward) or v -> x (backward); any of them may be forbidden.
    let tabu = false;
    if (forward) {
      const column = rank[u];
      for (let k = from + 1; k <= to && !tabu; k += 1) tabu = tabuUntil[rowBase[path[k]] + column] > clock;
    } else {
      const row = rowBase[v];
      for (let k = from; k < to && !tabu; k += 1) tabu = tabuUntil[row + rank[path[k]]] > clock;
    }
    const limit = tabu ? Math.min(this.value, this.bestMakespan - 1) : this.value;
    const value = forward ? this.estimateAfter(from, to, limit) : this.estimateBefore(from, to, limit);
    if (value > limit) return;
    if (value < this.value) {
      this.value = value;
      this.ties = 1;
    } else {
      this.ties += 1;
      if (random.int(this.ties) !== 0) return;
    }
    this.moveU = u;
    this.moveV = v;
    this.moveForward = forward;
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

  /** One critical path into `path`, traced from a random last operation backwards, at random where it branches; its length. */
  private tracePath(): number {
    const { graph, random, path } = this;
    const { jobCount, jobEnd, done, duration, machinePred, makespan, machine } = graph;
    let x = 0;
    let count = 0;
    for (let j = 0; j < jobCount; j += 1) {
      const last = jobEnd[j] - 1;
      if (done[last] !== makespan || machine[last] < 0) continue;
      count += 1;
      if (count === 1 || random.int(count) === 0) x = last;
    }
    let length = 0;
    while (x !== 0) {
      path[length] = x;
      length += 1;
      const start = done[x] - duration[x];
      const m = machinePred[x];
      const viaJob = machine[x - 1] >= 0 && done[x - 1] === start;
      const viaMachine = m !== 0 && done[m] === start;
      if (viaMachine && (!viaJob || random.int(2) === 0)) x = m;
      else x = viaJob ? x - 1 : 0;
    }
    for (let i = 0, k = length - 1; i < k; i += 1, k -= 1) {
      const held = path[i];
      path[i] = path[k];
      path[k] = held;
    }
    return length;
  }

  /** Sufficient for u to move right behind v without a cycle. */
  private mayFollow(u: number, v: number): boolean {
    const { tail, jobOf } = this.graph;
    return jobOf[u] !== jobOf[v] && tail[v] >= tail[u + 1];
  }

  /** Sufficient for v to move right before u without a cycle. */
  private mayLead(u: number, v: number): boolean {
    const { done, jobOf } = this.graph;
    return jobOf[u] !== jobOf[v] && done[u] >= done[v - 1];
  }

  /** Estimated longest path through the moved part when path[from] goes right behind path[to]; may stop once above limit. */
  private estimateAfter(from: number, to: number, limit: number): number {
    const { path, newDone } = this;
    const { done, tail, duration, machinePred, machineSucc } = this.graph;
    const u = path[from];
    let ready = done[machinePred[u]];
    for (let k = from + 1; k <= to; k += 1) {
      const x = path[k];
      const a = done[x - 1];
      ready = Math.max(a, ready) + duration[x];
      newDone[k] = ready;
    }
    const a = done[u - 1];
    const start = Math.max(a, ready);
    const s = tail[u + 1];
    let after = tail[machineSucc[path[to]]];
    after = Math.max(s, after) + duration[u];
    let value = start + after;
    for (let k = to; k > from; k -= 1) {
      if (value > limit) return value;
      const x = path[k];
      const t = tail[x + 1];
      if (t > after) after = t;
      if (newDone[k] + after > value) value = newDone[k] + after;
      after += duration[x];
    }
    return value;
  }

  /** The mirror image: path[to] goes right before path[from]. */
  private estimateBefore(from: number, to: number, limit: number): number {
    const { path, newDone } = this;
    const { done, tail, duration, machinePred, machineSucc } = this.graph;
    const v = path[to];
    let after = tail[machineSucc[v]];
    for (let k = to - 1; k >= from; k -= 1) {
      const x = path[k];
      const t = tail[x + 1];
      after = Math.max(t, after) + duration[x];
      newDone[k] = after;
    }
    const t = tail[v + 1];
    const rest = Math.max(t, after);
    const b = done[v - 1];
    let ready = done[machinePred[path[from]]];
    ready = Math.max(b, ready) + duration[v];
    let value = ready + rest;
    for (let k = from; k < to; k += 1) {
      if (value > limit) return value;
      const x = path[k];
      const a = done[x - 1];
      if (a > ready) ready = a;
      if (ready + newDone[k] > value) value = ready + newDone[k];
      ready += duration[x];
    }
    return value;
  }
}
