/**
 * The disjunctive graph of a job shop with every machine sequenced: completion times from the front, tails from the back,
 * and one linear order of all operations that agrees with both jobs and machines.
 * `moveAfter` and `moveBefore` change one machine sequence, repair the linear order only between the two operations and
 * recompute times only beyond them; they refuse a move that would close a cycle (exact test). O(operations) per move.
 * Operations sit in slots, job by job, with an empty slot before, between and after the jobs: the job neighbours of slot x are
 * x - 1 and x + 1 without a look-up. Empty slots have completion and tail 0; slot 0 also stands for "no machine neighbour".
 * Sources: B. Roy, B. Sussmann, Les problèmes d'ordonnancement avec contraintes disjonctives, SEMA note 9, 1964 (the graph);
 * E. Nowicki, C. Smutnicki, An advanced tabu search algorithm for the job shop problem, J. Scheduling 8, 2005 (order repair).
 */
import { invariant } from "../../ground/invariant.ts";
import type { JobShop } from "../../problem/classical.ts";

export class JobShopGraph {
  /** Number of operations, and of slots. */
  readonly size: number;
  readonly slots: number;
  readonly jobCount: number;
  readonly machineCount: number;
  /** Slots of job j: jobFirst[j] .. jobEnd[j] - 1. */
  readonly jobFirst: Int32Array;
  readonly jobEnd: Int32Array;
  /** Slot of each operation, operations counted job by job. */
  readonly slotOf: Int32Array;
  /** By slot; -1 in an empty one. */
  readonly machine: Int32Array;
  readonly duration: Int32Array;
  readonly jobOf: Int32Array;
  readonly machinePred: Int32Array;
  readonly machineSucc: Int32Array;
  /** Earliest completion of each operation. */
  readonly done: Int32Array;
  /** Longest path from the start of the operation to the end of everything, its own duration included. */
  readonly tail: Int32Array;
  /** The linear order and each operation's place in it. */
  readonly order: Int32Array;
  readonly place: Int32Array;
  makespan = 0;
  private readonly stampOf: Int32Array;
  private stamp = 0;
  private readonly late: Int32Array;
  private readonly machineLast: Int32Array;

  constructor(shop: JobShop) {
    const size = shop.jobs.reduce((sum, job) => sum + job.length, 0);
    this.size = size;
    this.jobCount = shop.jobs.length;
    this.machineCount = shop.machines;
    const slots = size + this.jobCount + 1;
    this.slots = slots;
    this.jobFirst = new Int32Array(this.jobCount);
    this.jobEnd = new Int32Array(this.jobCount);
    this.slotOf = new Int32Array(size);
    this.machine = new Int32Array(slots).fill(-1);
    this.duration = new Int32Array(slots);
    this.jobOf = new Int32Array(slots).fill(-1);
    this.machinePred = new Int32Array(slots);
    this.machineSucc = new Int32Array(slots);
    this.done = new Int32Array(slots);
    this.tail = new Int32Array(slots);
    this.order = new Int32Array(size);
    this.place = new Int32Array(slots).fill(-1);
    this.stampOf = new Int32Array(slots);
    this.late = new Int32Array(slots);
    this.machineLast = new Int32Array(shop.machines);
    let next = 1;
    let operationCount = 0;
    for (const [j, job] of shop.jobs.entries()) {
      this.jobFirst[j] = next;
      for (const { machine, duration } of job) {
        invariant(machine >= 0 && machine < shop.machines, `job ${j} names machine ${machine}`);
        invariant(Number.isInteger(duration) && duration >= 0, `job ${j} has duration ${duration}`);
        this.machine[next] = machine;
        this.duration[next] = duration;
        this.jobOf[next] = j;
        this.slotOf[operationCount] = next;
        operationCount += 1;
        next += 1;
      }
      this.jobEnd[j] = next;
      next += 1;
    }
  }

  /** Sequences every machine as the given linear order of all operations does, and computes all times. */
  load(order: ArrayLike<number>): void {
    const { size, machine, machinePred, machineSucc, machineLast, place } = this;
    invariant(order.length === size, "a linear order names every operation once");
    machineLast.fill(0);
    for (let k = 0; k < size; k += 1) {
      const x = order[k];
      this.order[k] = x;
      place[x] = k;
      const before = machineLast[machine[x]];
      machinePred[x] = before;
      if (before !== 0) machineSucc[before] = x;
      machineSucc[x] = 0;
      machineLast[machine[x]] = x;
    }
    this.forward(0);
    this.backward(size - 1);
  }

  /** Start times by operation, a fresh array. */
  starts(): Int32Array {
    return this.slotOf.map((x) => this.done[x] - this.duration[x]);
  }

  /** Moves u right behind v on their machine (u stands earlier). False, and nothing changed, if that closes a cycle. */
  moveAfter(u: number, v: number): boolean {
    const { machinePred, machineSucc, order, place, stampOf, late } = this;
    const before = machinePred[u];
    const first = machineSucc[u];
    const behind = machineSucc[v];
    const low = place[u];
    const high = place[v];
    machineSucc[before] = first;
    machinePred[first] = before;
    machineSucc[v] = u;
    machinePred[u] = v;
    machineSucc[u] = behind;
    machinePred[behind] = u;
    this.stamp += 1;
    const stamp = this.stamp;
    stampOf[u] = stamp;
    for (let k = low + 1; k <= high; k += 1) {
      const x = order[k];
      if (stampOf[x - 1] === stamp || stampOf[machinePred[x]] === stamp) stampOf[x] = stamp;
    }
    if (stampOf[v] === stamp) {
      machinePred[first] = u;
      machineSucc[u] = first;
      machinePred[u] = before;
      machineSucc[before] = u;
      machineSucc[v] = behind;
      machinePred[behind] = v;
      return false;
    }
    let write = low;
    let held = 0;
    for (let k = low; k <= high; k += 1) {
      const x = order[k];
      if (stampOf[x] === stamp) {
        late[held] = x;
        held += 1;
      } else {
        order[write] = x;
        place[x] = write;
        write += 1;
      }
    }
    for (let k = 0; k < held; k += 1) {
      const x = late[k];
      order[write] = x;
      place[x] = write;
      write += 1;
    }
    this.forward(low);
    this.backward(high);
    return true;
  }

  /** Moves v right before u on their machine (u stands earlier). False, and nothing changed, if that closes a cycle. */
  moveBefore(u: number, v: number): boolean {
    const { machinePred, machineSucc, order, place, stampOf, late } = this;
    const before = machinePred[u];
    const last = machinePred[v];
    const behind = machineSucc[v];
    const low = place[u];
    const high = place[v];
    machineSucc[last] = behind;
    machinePred[behind] = last;
    machineSucc[before] = v;
    machinePred[v] = before;
    machineSucc[v] = u;
    machinePred[u] = v;
    this.stamp += 1;
    const stamp = this.stamp;
    stampOf[v] = stamp;
    for (let k = high - 1; k >= low; k -= 1) {
      const x = order[k];
      if (stampOf[x + 1] === stamp || stampOf[machineSucc[x]] === stamp) stampOf[x] = stamp;
    }
    if (stampOf[u] === stamp) {
      machineSucc[last] = v;
      machinePred[v] = last;
      machineSucc[v] = behind;
      machinePred[behind] = v;
      machinePred[u] = before;
      machineSucc[before] = u;
      return false;
    }
    let write = high;
    let held = 0;
    for (let k = high; k >= low; k -= 1) {
      const x = order[k];
      if (stampOf[x] === stamp) {
        late[held] = x;
        held += 1;
      } else {
        order[write] = x;
        place[x] = write;
        write -= 1;
      }
    }
    for (let k = 0; k < held; k += 1) {
      const x = late[k];
      order[write] = x;
      place[x] = write;
      write -= 1;
    }
    this.forward(low);
    this.backward(high);
    return true;
  }

  /** The larger of two without a branch (gap is negative where the second is larger): a third faster, most of a move is here. */
  private forward(from: number): void {
    const { size, order, done, duration, machinePred, jobEnd, jobCount } = this;
    for (let k = from; k < size; k += 1) {
      const x = order[k];
      const a = done[x - 1];
      const gap = (a - done[machinePred[x]]) | 0;
      done[x] = a - (gap & (gap >> 31)) + duration[x];
    }
    let makespan = 0;
    for (let j = 0; j < jobCount; j += 1) makespan = Math.max(makespan, done[jobEnd[j] - 1]);
    this.makespan = makespan;
  }

  private backward(from: number): void {
    const { order, tail, duration, machineSucc } = this;
    for (let k = from; k >= 0; k -= 1) {
      const x = order[k];
      const a = tail[x + 1];
      const gap = (a - tail[machineSucc[x]]) | 0;
      tail[x] = a - (gap & (gap >> 31)) + duration[x];
    }
  }
}
