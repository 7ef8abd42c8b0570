/**
 * The disjunctive graph of a flexible job shop with setups between families: each operation sits on one of its alternatives,
 * every machine is sequenced, and one linear order agrees with both jobs and machines.
 * `insert` takes one operation out and puts it anywhere else, repairs the linear order only between old and new place and
 * recomputes times only beyond; it refuses a cycle (exact test). O(operations) per move.
 * Index `size` is a sentinel for "no neighbour"; its family row holds the first setups.
 * Sources: S. Dauzère-Pérès, J. Paulli, An integrated approach for modeling and solving the general multiprocessor job-shop
 * scheduling problem using tabu search, Annals of OR 70, 1997 (insertion moves); M.A. González, C.R. Vela, R. Varela, An
 * efficient memetic algorithm for the flexible job shop with setup times, ICAPS 2013 (setups on the machine arcs).
 */
import { invariant } from "../../ground/invariant.ts";

export type FlexibleInstance = {
  readonly machines: number;
  readonly jobs: readonly (readonly {
    readonly family: number;
    readonly choices: readonly { readonly machine: number; readonly duration: number }[];
  }[])[];
  readonly firstSetup: readonly number[];
  readonly setup: readonly (readonly number[])[];
};

export class FlexibleGraph {
  readonly size: number;
  readonly jobCount: number;
  readonly machineCount: number;
  readonly jobFirst: Int32Array;
  readonly jobOf: Int32Array;
  readonly jobPred: Int32Array;
  readonly jobSucc: Int32Array;
  /** Alternatives of x: choiceMachine and choiceDuration at choiceFirst[x] .. choiceFirst[x + 1]. */
  readonly choiceFirst: Int32Array;
  readonly choiceMachine: Int32Array;
  readonly choiceDuration: Int32Array;
  /** The alternative taken, and its machine and duration. */
  readonly choice: Int32Array;
  readonly machine: Int32Array;
  readonly duration: Int32Array;
  readonly machinePred: Int32Array;
  readonly machineSucc: Int32Array;
  readonly machineFirst: Int32Array;
  /** setup[familyRow[a] + family[b]]: minutes from a to b; 0 to the sentinel. */
  readonly setup: Int32Array;
  readonly familyRow: Int32Array;
  readonly family: Int32Array;
  readonly hasSetups: boolean;
  readonly done: Int32Array;
  readonly tail: Int32Array;
  readonly order: Int32Array;
  readonly place: Int32Array;
  makespan = 0;
  private readonly stampOf: Int32Array;
  private stamp = 0;
  private readonly late: Int32Array;
  private readonly machineLast: Int32Array;

  constructor(instance: FlexibleInstance) {
    const size = instance.jobs.reduce((sum, job) => sum + job.length, 0);
    const choiceCount = instance.jobs.reduce((sum, job) => sum + job.reduce((n, op) => n + op.choices.length, 0), 0);
    this.size = size;
    this.jobCount = instance.jobs.length;
    this.machineCount = instance.machines;
    const row = (fill: number): Int32Array => new Int32Array(size + 1).fill(fill);
    this.jobFirst = new Int32Array(this.jobCount + 1);
    this.jobOf = row(-1);
    this.jobPred = row(size);
    this.jobSucc = row(size);
    this.choiceFirst = new Int32Array(size + 1);
    this.choiceMachine = new Int32Array(choiceCount);
    this.choiceDuration = new Int32Array(choiceCount);
    this.choice = row(0);
    this.machine = row(-1);
    this.duration = row(0);
    this.machinePred = row(size);
    this.machineSucc = row(size);
    this.machineFirst = new Int32Array(instance.machines);
    this.machineLast = new Int32Array(instance.machines);
    const families = instance.firstSetup.length;
    const width = families + 1;
    this.setup = new Int32Array(width * width);
    for (let a = 0; a < families; a += 1) {
      this.setup[families * width + a] = instance.firstSetup[a];
      for (let b = 0; b < families; b += 1) this.setup[a * width + b] = instance.setup[a][b];
    }
    this.hasSetups = this.setup.some((minutes) => minutes !== 0);
    this.family = row(families);
    this.familyRow = row(families * width);
    this.done = row(0);
    this.tail = row(0);
    this.order = new Int32Array(size);
    this.place = row(-1);
    this.stampOf = row(0);
    this.late = row(0);
    let x = 0;
    let c = 0;
    for (const [j, job] of instance.jobs.entries()) {
      this.jobFirst[j] = x;
      for (const [k, operation] of job.entries()) {
        invariant(operation.choices.length > 0, `operation ${k} of job ${j} has no machine`);
        this.jobOf[x] = j;
        this.family[x] = operation.family;
        this.familyRow[x] = operation.family * width;
        if (k > 0) {
          this.jobPred[x] = x - 1;
          this.jobSucc[x - 1] = x;
        }
        this.choiceFirst[x] = c;
        for (const { machine, duration } of operation.choices) {
          invariant(machine >= 0 && machine < instance.machines, `job ${j} names machine ${machine}`);
          this.choiceMachine[c] = machine;
          this.choiceDuration[c] = duration;
          c += 1;
        }
        x += 1;
      }
    }
    this.jobFirst[this.jobCount] = size;
    this.choiceFirst[size] = c;
  }

  /** Places every operation on its given alternative, machines sequenced as in the linear order, and computes all times. */
  load(order: ArrayLike<number>, choice: ArrayLike<number>): void {
    const { size, machine, duration, machinePred, machineSucc, machineFirst, machineLast, choiceMachine, choiceDuration } = this;
    invariant(order.length === size, "a linear order names every operation once");
    machineFirst.fill(size);
    machineLast.fill(size);
    for (let k = 0; k < size; k += 1) {
      const x = order[k];
      this.order[k] = x;
      this.place[x] = k;
      this.choice[x] = choice[x];
      const m = choiceMachine[choice[x]];
      machine[x] = m;
      duration[x] = choiceDuration[choice[x]];
      const before = machineLast[m];
      machinePred[x] = before;
      if (before === size) machineFirst[m] = x;
      else machineSucc[before] = x;
      machineSucc[x] = size;
      machineLast[m] = x;
    }
    this.forward(0);
    this.backward(size - 1);
  }

  starts(): Int32Array {
    return Int32Array.from({ length: this.size }, (_, x) => this.done[x] - this.duration[x]);
  }

  setupBetween(a: number, b: number): number {
    return this.setup[this.familyRow[a] + this.family[b]];
  }

  /** Puts x on the given alternative right behind `after` (the sentinel: as first). False, and nothing changed, on a cycle. */
  insert(x: number, choice: number, after: number): boolean {
    const { size, machine, order, place, stampOf, late, jobPred, machinePred, machineSucc } = this;
    const oldMachine = machine[x];
    const oldBefore = machinePred[x];
    const newMachine = this.choiceMachine[choice];
    this.unlink(x);
    this.link(x, newMachine, after);
    const behind = machineSucc[x];
    const at = place[x];
    let low = at;
    let high = at;
    if (after !== size && place[after] > high) high = place[after];
    if (behind !== size && place[behind] < low) low = place[behind];
    this.stamp += 1;
    const stamp = this.stamp;
    stampOf[x] = stamp;
    for (let k = low; k <= high; k += 1) {
      const y = order[k];
      if (stampOf[jobPred[y]] === stamp || stampOf[machinePred[y]] === stamp) stampOf[y] = stamp;
    }
    const cycle = (after !== size && stampOf[after] === stamp) || (jobPred[x] !== size && stampOf[jobPred[x]] === stamp);
    if (cycle) {
      this.unlink(x);
      this.link(x, oldMachine, oldBefore);
      return false;
    }
    let write = low;
    let held = 0;
    for (let k = low; k <= high; k += 1) {
      const y = order[k];
      if (y === x) continue;
      if (stampOf[y] === stamp) {
        late[held] = y;
        held += 1;
      } else {
        order[write] = y;
        place[y] = write;
        write += 1;
      }
    }
    order[write] = x;
    place[x] = write;
    write += 1;
    for (let k = 0; k < held; k += 1) {
      order[write] = late[k];
      place[late[k]] = write;
      write += 1;
    }
    this.choice[x] = choice;
    this.duration[x] = this.choiceDuration[choice];
    this.forward(low);
    this.backward(high);
    return true;
  }

  private unlink(x: number): void {
    const { size, machine, machinePred, machineSucc, machineFirst } = this;
    const before = machinePred[x];
    const behind = machineSucc[x];
    if (before === size) machineFirst[machine[x]] = behind;
    else machineSucc[before] = behind;
    if (behind !== size) machinePred[behind] = before;
  }

  private link(x: number, machine: number, after: number): void {
    const { size, machinePred, machineSucc, machineFirst } = this;
    const behind = after === size ? machineFirst[machine] : machineSucc[after];
    if (after === size) machineFirst[machine] = x;
    else machineSucc[after] = x;
    if (behind !== size) machinePred[behind] = x;
    machinePred[x] = after;
    machineSucc[x] = behind;
    this.machine[x] = machine;
  }

  /** The larger of two without a branch: gap is negative where the second is larger. */
  private forward(from: number): void {
    const { size, order, done, duration, jobPred, machinePred, setup, familyRow, family, jobFirst, jobCount } = this;
    for (let k = from; k < size; k += 1) {
      const x = order[k];
      const m = machinePred[x];
      const a = done[jobPred[x]];
      const gap = (a - done[m] - setup[familyRow[m] + family[x]]) | 0;
      done[x] = a - (gap & (gap >> 31)) + duration[x];
    }
    let makespan = 0;
    for (let j = 1; j <= jobCount; j += 1) {
      const last = jobFirst[j] - 1;
      if (last >= 0 && done[last] > makespan) makespan = done[last];
    }
    this.makespan = makespan;
  }

  private backward(from: number): void {
    const { order, tail, duration, jobSucc, machineSucc, setup, familyRow, family } = this;
    for (let k = from; k >= 0; k -= 1) {
      const x = order[k];
      const m = machineSucc[x];
      const a = tail[jobSucc[x]];
      const gap = (a - tail[m] - setup[familyRow[x] + family[m]]) | 0;
      tail[x] = a - (gap & (gap >> 31)) + duration[x];
    }
  }
}
