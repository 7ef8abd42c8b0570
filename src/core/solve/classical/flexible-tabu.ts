/**
 * Tabu search for flexible job shops, with or without setups. One step looks at one critical path and weighs, by estimates from
 * existing heads and tails, (a) moves inside its blocks and (b) every critical operation on each of its other machines at every
 * place where no cycle can close. Recently reversed pairs and recently left machines are forbidden.
 * Promises to end on the best plan met, after `patience` moves without a gain, at a good enough makespan or when told to stop.
 * Sources: M. Mastrolilli, L.M. Gambardella, Effective neighbourhood functions for the flexible job shop problem, J. Scheduling
 * 3, 2000 (where on a machine to insert); M.A. González, C.R. Vela, R. Varela, Scatter search with path relinking for the
 * flexible job shop scheduling problem, EJOR 245, 2015 (both kinds of moves together, estimates); Balas and Vazacopoulos, 1998.
 */
import type { Random } from "../../ground/prng.ts";
import type { FlexibleGraph } from "./flexible-graph.ts";
import type { TabuRun } from "./job-shop-tabu.ts";

const STOP_CHECK_WORK = 100_000;
const PAIR_SLOTS_MAX = 1 << 22; // above that the pair table is shared by hashing: a clash only forbids a move too many

type Move = { kind: "none" | "after" | "before" | "machine"; x: number; y: number; choice: number };

export class FlexibleTabu {
  bestMakespan = 0;
  readonly bestOrder: Int32Array;
  readonly bestChoice: Int32Array;
  moves = 0;
  private readonly graph: FlexibleGraph;
  private readonly random: Random;
  private readonly pairUntil: Int32Array;
  private readonly pairMask: number;
  private readonly choiceUntil: Int32Array;
  private readonly path: Int32Array;
  private readonly newDone: Int32Array;
  private readonly tenureLow: number;
  private readonly tenureSpread: number;
  private clock = 0;
  // The choice of one step, kept as fields so that weighing a move allocates nothing.
  private value = 0;
  private ties = 0;
  private seen = 0;
  private readonly chosen: Move = { kind: "none", x: 0, y: 0, choice: 0 };
  private readonly fallback: Move = { kind: "none", x: 0, y: 0, choice: 0 };

  constructor(graph: FlexibleGraph, random: Random) {
    this.graph = graph;
    this.random = random;
    const { size, jobCount, machineCount, choiceMachine } = graph;
    let slots = 1;
    while (slots < size * size && slots < PAIR_SLOTS_MAX) slots *= 2;
    this.pairUntil = new Int32Array(slots);
    this.pairMask = slots - 1;
    this.choiceUntil = new Int32Array(choiceMachine.length);
    this.path = new Int32Array(size + 1);
    this.newDone = new Int32Array(size + 1);
    this.bestOrder = new Int32Array(size);
    this.bestChoice = new Int32Array(size);
    const ratio = machineCount > 0 ? jobCount / machineCount : 1;
    this.tenureLow = Math.ceil(10 + ratio);
    this.tenureSpread = Math.max(1, Math.ceil(this.tenureLow * 0.5));
  }

  run(limits: TabuRun): void {
    const { graph } = this;
    this.keepBest();
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
    const { graph } = this;
    this.bestMakespan = graph.makespan;
    this.bestOrder.set(graph.order);
    this.bestChoice.set(graph.choice.subarray(0, graph.size));
  }

  private step(): boolean {
    const { graph, path } = this;
    const { machine, choiceFirst, size } = graph;
    const length = this.tracePath();
    this.value = 0x7fffffff;
    this.ties = 0;
    this.seen = 0;
    this.chosen.kind = "none";
    this.fallback.kind = "none";
    for (let begin = 0; begin < length; ) {
      let end = begin;
      while (
        end + 1 < length &&
        machine[path[end + 1]] === machine[path[begin]] &&
        graph.machineSucc[path[end]] === path[end + 1]
      )
        end += 1;
      if (end > begin) this.weighBlock(begin, end, length);
      begin = end + 1;
    }
    for (let k = 0; k < length; k += 1) {
      const x = path[k];
      if (x < size && choiceFirst[x + 1] - choiceFirst[x] > 1) this.weighMachines(x);
    }
    const move = this.chosen.kind === "none" ? this.fallback : this.chosen;
    if (move.kind === "none") return false;
    this.perform(move);
    return true;
  }

  private weighBlock(begin: number, end: number, length: number): void {
    if (this.graph.hasSetups) {
      // Any exchange inside a block may save setups, so all of them count.
      for (let i = begin; i < end; i += 1) {
        for (let j = i + 1; j <= end; j += 1) {
          this.weighAfter(i, j);
          if (j > i + 1) this.weighBefore(i, j);
        }
      }
      return;
    }
    const toFront = begin > 0;
    const toBack = end < length - 1;
    if (end === begin + 1) {
      if (toFront || toBack) this.weighAfter(begin, end);
      return;
    }
    if (toBack) {
      for (let k = begin; k < end; k += 1) this.weighAfter(k, end);
      for (let k = begin + 1; k < end - 1; k += 1) this.weighBefore(k, end);
    }
    if (toFront) {
      for (let k = begin + 1; k <= end; k += 1) this.weighBefore(begin, k);
      for (let k = begin + 2; k < end; k += 1) this.weighAfter(begin, k);
    }
  }

  /** Takes note of a move with its estimate; ties fall by lot. */
  private offer(kind: Move["kind"], x: number, y: number, choice: number, value: number): void {
    const { chosen } = this;
    if (value < this.value) {
      this.value = value;
      this.ties = 1;
    } else {
      this.ties += 1;
      if (this.random.int(this.ties) !== 0) return;
    }
    chosen.kind = kind;
    chosen.x = x;
    chosen.y = y;
    chosen.choice = choice;
  }

  /** One of all feasible moves at random, for the case that all are forbidden. */
  private noteFallback(kind: Move["kind"], x: number, y: number, choice: number): void {
    this.seen += 1;
    if (this.random.int(this.seen) !== 0) return;
    const { fallback } = this;
    fallback.kind = kind;
    fallback.x = x;
    fallback.y = y;
    fallback.choice = choice;
  }

  private weighAfter(from: number, to: number): void {
    const { graph, path, pairUntil, clock } = this;
    const u = path[from];
    const v = path[to];
    const { tail, jobSucc, jobOf, choice } = graph;
    if (jobOf[u] === jobOf[v] || tail[v] < tail[jobSucc[u]]) return;
    this.noteFallback("after", u, v, choice[u]);
    let tabu = false;
    for (let k = from + 1; k <= to; k += 1) if (pairUntil[this.pair(path[k], u)] > clock) tabu = true;
    const limit = tabu ? Math.min(this.value, this.bestMakespan - 1) : this.value;
    const value = this.estimateAfter(from, to, limit);
    if (value <= limit) this.offer("after", u, v, choice[u], value);
  }

  private weighBefore(from: number, to: number): void {
    const { graph, path, pairUntil, clock } = this;
    const u = path[from];
    const v = path[to];
    const { done, jobPred, jobOf, choice } = graph;
    if (jobOf[u] === jobOf[v] || done[u] < done[jobPred[v]]) return;
    this.noteFallback("before", v, u, choice[v]);
    let tabu = false;
    for (let k = from; k < to; k += 1) if (pairUntil[this.pair(v, path[k])] > clock) tabu = true;
    const limit = tabu ? Math.min(this.value, this.bestMakespan - 1) : this.value;
    const value = this.estimateBefore(from, to, limit);
    if (value <= limit) this.offer("before", v, u, choice[v], value);
  }

  /** x on each of its other alternatives, at every place that provably closes no cycle. */
  private weighMachines(x: number): void {
    const { graph, choiceUntil, clock } = this;
    const { size, choice, choiceFirst, choiceMachine, choiceDuration, done, tail, jobPred, jobSucc } = graph;
    const { machinePred, machineSucc, machineFirst, setup, familyRow, family } = graph;
    const headJob = done[jobPred[x]];
    const tailJob = tail[jobSucc[x]];
    const before = machinePred[x];
    const behind = machineSucc[x];
    // What the old machine keeps: its neighbours now touch.
    const gap = done[before] + setup[familyRow[before] + family[behind]] + tail[behind];
    for (let c = choiceFirst[x]; c < choiceFirst[x + 1]; c += 1) {
      if (c === choice[x]) continue;
      const m = choiceMachine[c];
      const d = choiceDuration[c];
      if (m === graph.machine[x]) continue;
      const tabu = choiceUntil[c] > clock;
      let a = size;
      for (let b = machineFirst[m]; ; b = machineSucc[b]) {
        // Between a and b. b must not lead to x's job predecessor, nor x's job successor to a.
        if (a !== size && tail[a] <= tailJob) break;
        if (b === size || done[b] > headJob) {
          this.noteFallback("machine", x, a, c);
          const ready = done[a] + setup[familyRow[a] + family[x]];
          const rest = tail[b] + setup[familyRow[x] + family[b]];
          let value = Math.max(ready, headJob) + d + Math.max(rest, tailJob);
          if (gap > value) value = gap;
          const limit = tabu ? Math.min(this.value, this.bestMakespan - 1) : this.value;
          if (value <= limit) this.offer("machine", x, a, c, value);
        }
        if (b === size) break;
        a = b;
      }
    }
  }

  private perform(move: Move): void {
    const { graph, pairUntil, choiceUntil } = this;
    const { machineSucc, machinePred, choice } = graph;
    this.clock += 1;
    const until = this.clock + this.tenureLow + this.random.int(this.tenureSpread);
    if (move.kind === "machine") {
      const old = choice[move.x];
      if (graph.insert(move.x, move.choice, move.y)) choiceUntil[old] = until;
      else choiceUntil[move.choice] = until;
    } else if (move.kind === "after") {
      for (let y = move.x; y !== move.y; ) {
        y = machineSucc[y];
        pairUntil[this.pair(move.x, y)] = until;
      }
      graph.insert(move.x, move.choice, move.y);
    } else {
      const target = machinePred[move.y];
      for (let y = move.y; y !== move.x; y = machineSucc[y]) pairUntil[this.pair(y, move.x)] = until;
      graph.insert(move.x, move.choice, target);
    }
  }

  private pair(a: number, b: number): number {
    return (a * this.graph.size + b) & this.pairMask;
  }

  /** One critical path into `path`, traced from a random last operation backwards, at random where it branches; its length. */
  private tracePath(): number {
    const { graph, random, path } = this;
    const { size, jobCount, jobFirst, done, duration, jobPred, machinePred, makespan, setup, familyRow, family } = graph;
    let x = size;
    let count = 0;
    for (let j = 1; j <= jobCount; j += 1) {
      const last = jobFirst[j] - 1;
      if (last < jobFirst[j - 1] || done[last] !== makespan) continue;
      count += 1;
      if (count === 1 || random.int(count) === 0) x = last;
    }
    let length = 0;
    while (x !== size) {
      path[length] = x;
      length += 1;
      const start = done[x] - duration[x];
      const j = jobPred[x];
      const m = machinePred[x];
      const viaJob = j !== size && done[j] === start;
      const viaMachine = m !== size && done[m] + setup[familyRow[m] + family[x]] === start;
      if (viaJob && viaMachine) x = random.int(2) === 0 ? j : m;
      else if (viaJob) x = j;
      else if (viaMachine) x = m;
      else x = size;
    }
    for (let i = 0, k = length - 1; i < k; i += 1, k -= 1) {
      const held = path[i];
      path[i] = path[k];
      path[k] = held;
    }
    return length;
  }

  private estimateAfter(from: number, to: number, limit: number): number {
    const { path, newDone } = this;
    const { done, tail, duration, jobPred, jobSucc, machinePred, machineSucc, setup, familyRow, family } = this.graph;
    const u = path[from];
    let last = machinePred[u];
    let ready = done[last];
    for (let k = from + 1; k <= to; k += 1) {
      const x = path[k];
      const a = done[jobPred[x]];
      const b = ready + setup[familyRow[last] + family[x]];
      ready = Math.max(a, b) + duration[x];
      newDone[k] = ready;
      last = x;
    }
    const a = done[jobPred[u]];
    const b = ready + setup[familyRow[last] + family[u]];
    const start = Math.max(a, b);
    const behind = machineSucc[last];
    const s = tail[jobSucc[u]];
    const m = tail[behind] + setup[familyRow[u] + family[behind]];
    let after = Math.max(s, m) + duration[u];
    let value = start + after;
    let next = u;
    for (let k = to; k > from; k -= 1) {
      if (value > limit) return value;
      const x = path[k];
      after += setup[familyRow[x] + family[next]];
      const t = tail[jobSucc[x]];
      if (t > after) after = t;
      if (newDone[k] + after > value) value = newDone[k] + after;
      after += duration[x];
      next = x;
    }
    return value;
  }

  private estimateBefore(from: number, to: number, limit: number): number {
    const { path, newDone } = this;
    const { done, tail, duration, jobPred, jobSucc, machinePred, machineSucc, setup, familyRow, family } = this.graph;
    const v = path[to];
    let next = machineSucc[v];
    let after = tail[next];
    for (let k = to - 1; k >= from; k -= 1) {
      const x = path[k];
      const t = tail[jobSucc[x]];
      const m = after + setup[familyRow[x] + family[next]];
      after = Math.max(t, m) + duration[x];
      newDone[k] = after;
      next = x;
    }
    const first = path[from];
    const before = machinePred[first];
    const t = tail[jobSucc[v]];
    const m = after + setup[familyRow[v] + family[first]];
    const rest = Math.max(t, m);
    const a = done[jobPred[v]];
    const b = done[before] + setup[familyRow[before] + family[v]];
    let ready = Math.max(a, b) + duration[v];
    let value = ready + rest;
    let last = v;
    for (let k = from; k < to; k += 1) {
      if (value > limit) return value;
      const x = path[k];
      ready += setup[familyRow[last] + family[x]];
      const h = done[jobPred[x]];
      if (h > ready) ready = h;
      if (ready + newDone[k] > value) value = ready + newDone[k];
      ready += duration[x];
      last = x;
    }
    return value;
  }
}
