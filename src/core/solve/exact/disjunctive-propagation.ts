/**
 * Constraint propagation on a job shop with a limit on the makespan: heads and tails, the order of every pair on a machine,
 * pairwise tests and edge finding to a fixpoint, with a trail to undo.
 * `propagate` false proves that no schedule within the limit agrees with the decisions made. It finds no schedule itself.
 * Sources: J. Carlier, E. Pinson, An algorithm for solving the job-shop problem, Management Science 35(2), 1989; P. Brucker,
 * B. Jurisch, B. Sievers, A branch and bound algorithm for the job-shop scheduling problem, Discrete Applied Math. 49, 1994.
 */
import type { JobShop } from "../../problem/classical.ts";
import { EdgeFinder } from "./edge-finding.ts";

const TRAIL_HEAD = 0;
const TRAIL_REST = 1;
const TRAIL_PAIR = 2;

export class DisjunctivePropagation {
  readonly size: number;
  readonly machines: readonly Int32Array[];
  readonly duration: Int32Array;
  /** Earliest start, and least time between the end of the operation and the end of everything. */
  readonly head: Int32Array;
  readonly rest: Int32Array;
  /** Makespan allowed. Lower it at any time; never raise it between propagations of one search. */
  limit = 0;
  private readonly machineOf: Int32Array;
  private readonly jobSucc: Int32Array;
  private readonly rank: Int32Array;
  private readonly pairBase: Int32Array;
  /** before[pair(a, b)] = 1: a is decided to precede b. */
  private readonly before: Uint8Array;
  private readonly finder: EdgeFinder;
  private readonly byHead: readonly Int32Array[];
  private readonly byRest: readonly Int32Array[];
  private readonly dirty: Uint8Array;
  private trail: number[] = [];

  constructor(shop: JobShop) {
    const size = shop.jobs.reduce((sum, job) => sum + job.length, 0);
    this.size = size;
    this.duration = new Int32Array(size);
    this.machineOf = new Int32Array(size);
    this.jobSucc = new Int32Array(size).fill(-1);
    this.head = new Int32Array(size);
    this.rest = new Int32Array(size);
    this.rank = new Int32Array(size);
    this.pairBase = new Int32Array(size);
    const lists: number[][] = Array.from({ length: shop.machines }, () => []);
    let x = 0;
    for (const job of shop.jobs) {
      for (const [k, { machine, duration }] of job.entries()) {
        this.duration[x] = duration;
        this.machineOf[x] = machine;
        if (k > 0) this.jobSucc[x - 1] = x;
        this.rank[x] = lists[machine].length;
        lists[machine].push(x);
        x += 1;
      }
    }
    this.machines = lists.map((list) => Int32Array.from(list));
    let pairs = 0;
    for (const list of lists) {
      for (const [r, y] of list.entries()) this.pairBase[y] = pairs + r * list.length;
      pairs += list.length * list.length;
    }
    this.before = new Uint8Array(pairs);
    this.finder = new EdgeFinder(Math.max(1, ...lists.map((list) => list.length)));
    this.byHead = lists.map((list) => Int32Array.from(list));
    this.byRest = lists.map((list) => Int32Array.from(list));
    this.dirty = new Uint8Array(shop.machines);
    this.reset(0);
  }

  /** Forgets all decisions; heads and tails are those inside the jobs. */
  reset(limit: number): void {
    const { size, duration, head, rest, jobSucc } = this;
    this.limit = limit;
    this.before.fill(0);
    head.fill(0);
    rest.fill(0);
    this.trail = [];
    for (let x = 0; x < size; x += 1) if (jobSucc[x] >= 0) head[jobSucc[x]] = head[x] + duration[x];
    for (let x = size - 1; x >= 0; x -= 1) if (jobSucc[x] >= 0) rest[x] = rest[jobSucc[x]] + duration[jobSucc[x]];
    this.dirty.fill(1);
  }

  mark(): number {
    return this.trail.length;
  }

  undo(mark: number): void {
    const { trail, head, rest, before } = this;
    while (trail.length > mark) {
      const old = trail.pop() as number;
      const index = trail.pop() as number;
      const kind = trail.pop() as number;
      if (kind === TRAIL_HEAD) head[index] = old;
      else if (kind === TRAIL_REST) rest[index] = old;
      else before[index] = old;
    }
    this.dirty.fill(1);
  }

  isBefore(a: number, b: number): boolean {
    return this.before[this.pairBase[a] + this.rank[b]] === 1;
  }

  /** Decides that a precedes b on their machine. */
  decide(a: number, b: number): void {
    const index = this.pairBase[a] + this.rank[b];
    if (this.before[index] === 1) return;
    this.trail.push(TRAIL_PAIR, index, 0);
    this.before[index] = 1;
    this.dirty[this.machineOf[a]] = 1;
  }

  /** To the fixpoint. False: the limit cannot be kept. */
  propagate(): boolean {
    const { dirty, machines } = this;
    for (let again = true; again; ) {
      again = false;
      for (let m = 0; m < machines.length; m += 1) {
        if (dirty[m] === 0) continue;
        dirty[m] = 0;
        again = true;
        if (!this.pairs(machines[m]) || !this.edgesForward(m) || !this.edgesBackward(m)) return false;
      }
    }
    return true;
  }

  /** Raises a head and those that follow in the job; false when the limit breaks. */
  private raiseHead(x: number, value: number): boolean {
    const { head, rest, duration, jobSucc, machineOf, dirty, limit, trail } = this;
    let start = value;
    for (let y = x; y >= 0 && head[y] < start; y = jobSucc[y]) {
      trail.push(TRAIL_HEAD, y, head[y]);
      head[y] = start;
      dirty[machineOf[y]] = 1;
      start += duration[y];
      if (start + rest[y] > limit) return false;
    }
    return true;
  }

  private raiseRest(x: number, value: number): boolean {
    const { head, rest, duration, jobSucc, machineOf, dirty, limit, trail } = this;
    let after = value;
    // Operations of a job are numbered in order, so the predecessor is x - 1 if x - 1 leads to x.
    for (let y = x; rest[y] < after; y -= 1) {
      trail.push(TRAIL_REST, y, rest[y]);
      rest[y] = after;
      dirty[machineOf[y]] = 1;
      if (head[y] + duration[y] + after > limit) return false;
      after += duration[y];
      if (y === 0 || jobSucc[y - 1] !== y) break;
    }
    return true;
  }

  private pairs(list: Int32Array): boolean {
    const { head, rest, duration, before, pairBase, rank, limit } = this;
    for (let i = 0; i < list.length; i += 1) {
      const a = list[i];
      for (let j = i + 1; j < list.length; j += 1) {
        const b = list[j];
        const ab = pairBase[a] + rank[b];
        const ba = pairBase[b] + rank[a];
        if (before[ab] === 0 && before[ba] === 0) {
          const both = duration[a] + duration[b];
          if (head[a] + both + rest[b] > limit) this.decide(b, a);
          if (head[b] + both + rest[a] > limit) this.decide(a, b);
        }
        if (before[ab] === 1 && !this.enforce(a, b)) return false;
        if (before[ba] === 1 && !this.enforce(b, a)) return false;
      }
    }
    return true;
  }

  private enforce(a: number, b: number): boolean {
    const { head, rest, duration } = this;
    if (head[b] < head[a] + duration[a] && !this.raiseHead(b, head[a] + duration[a])) return false;
    return rest[a] >= rest[b] + duration[b] || this.raiseRest(a, rest[b] + duration[b]);
  }

  private edgesForward(m: number): boolean {
    const { head, rest, duration, finder, limit } = this;
    const list = this.byHead[m];
    sortBy(list, head);
    for (let i = 0; i < list.length; i += 1) {
      finder.release[i] = head[list[i]];
      finder.duration[i] = duration[list[i]];
      finder.deadline[i] = limit - rest[list[i]];
    }
    if (!finder.run(list.length)) return false;
    for (let i = 0; i < list.length; i += 1) {
      if (finder.raised[i] > head[list[i]] && !this.raiseHead(list[i], finder.raised[i])) return false;
    }
    return true;
  }

  private edgesBackward(m: number): boolean {
    const { head, rest, duration, finder, limit } = this;
    const list = this.byRest[m];
    sortBy(list, rest);
    for (let i = 0; i < list.length; i += 1) {
      finder.release[i] = rest[list[i]];
      finder.duration[i] = duration[list[i]];
      finder.deadline[i] = limit - head[list[i]];
    }
    if (!finder.run(list.length)) return false;
    for (let i = 0; i < list.length; i += 1) {
      if (finder.raised[i] > rest[list[i]] && !this.raiseRest(list[i], finder.raised[i])) return false;
    }
    return true;
  }
}

/** Insertion sort: the lists stay nearly sorted from call to call. */
function sortBy(list: Int32Array, key: Int32Array): void {
  for (let i = 1; i < list.length; i += 1) {
    const x = list[i];
    const k = key[x];
    let j = i - 1;
    for (; j >= 0 && key[list[j]] > k; j -= 1) list[j + 1] = list[j];
    list[j + 1] = x;
  }
}
