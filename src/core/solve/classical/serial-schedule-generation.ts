/**
 * Serial schedule generation: activities are placed one by one, in a given precedence-feasible list, each at its earliest time
 * that links and supplies allow. Yields an active schedule. O(activities x horizon) at worst, far less in practice.
 * With the mirrored network the same code schedules from the end; `byEndDescending` turns one schedule into the list for the
 * other direction, so that three passes are the double justification.
 * Sources: J.E. Kelley, The critical-path method: resources planning and scheduling, in Muth & Thompson, 1963 (serial scheme);
 * V. Valls, F. Ballestín, S. Quintanilla, Justification and RCPSP: a technique that pays, EJOR 165, 2005.
 */
import type { ProjectNetwork } from "./project-network.ts";

export class ScheduleGenerator {
  readonly starts: Int32Array;
  makespan = 0;
  private readonly network: ProjectNetwork;
  private readonly profile: Int32Array;
  private readonly bucket: Int32Array;
  private readonly chain: Int32Array;

  constructor(network: ProjectNetwork) {
    this.network = network;
    this.starts = new Int32Array(network.size);
    this.profile = new Int32Array((network.horizon + 1) * network.words);
    this.bucket = new Int32Array(network.horizon + 2).fill(-1);
    this.chain = new Int32Array(network.size);
    this.clear(network.horizon + 1);
  }

  /** Places all activities of the list; starts and makespan then hold the schedule. */
  place(list: Int32Array): void {
    const { starts, profile } = this;
    const { size, duration, predFirst, predList, words, demand, guard } = this.network;
    this.clear(this.makespan);
    let makespan = 0;
    const guard0 = guard[0];
    for (let k = 0; k < size; k += 1) {
      const a = list[k];
      const d = duration[a];
      let start = 0;
      for (let p = predFirst[a], end = predFirst[a + 1]; p < end; p += 1) {
        const b = predList[p];
        const ready = starts[b] + duration[b];
        if (ready > start) start = ready;
      }
      if (words === 1) {
        const amount = demand[a];
        if (amount !== 0) {
          for (let t = start + d - 1; t >= start; t -= 1) {
            if (((profile[t] - amount) & guard0) !== guard0) {
              start = t + 1;
              t = start + d; // the loop steps back to the last minute of the new place
            }
          }
          for (let t = start, end = start + d; t < end; t += 1) profile[t] -= amount;
        }
      } else start = this.placeInWords(a, start);
      starts[a] = start;
      if (start + d > makespan) makespan = start + d;
    }
    this.makespan = makespan;
  }

  /**
   * The activities by end in this schedule, latest first; of equal ends the one placed later comes first, so that successors
   * precede predecessors even when durations are 0. `placed` is the list the schedule was made from; the result is a feasible
   * list for the mirrored generator.
   */
  byEndDescending(into: Int32Array, placed: Int32Array): void {
    const { starts, makespan } = this;
    const { duration } = this.network;
    this.stack(placed, (a) => starts[a] + duration[a]);
    let write = 0;
    for (let end = makespan; end >= 0; end -= 1) write = this.unstack(end, into, write);
  }

  /** The activities by start, earliest first; of equal starts the one placed earlier comes first. */
  byStart(into: Int32Array, placed: Int32Array): void {
    const { starts, makespan } = this;
    const { size } = this.network;
    for (let k = 0; k < size; k += 1) into[k] = placed[size - 1 - k];
    this.stack(into, (a) => starts[a]);
    let write = 0;
    for (let start = 0; start <= makespan; start += 1) write = this.unstack(start, into, write);
  }

  private stack(list: Int32Array, key: (activity: number) => number): void {
    const { bucket, chain } = this;
    for (let k = 0; k < list.length; k += 1) {
      const a = list[k];
      const t = key(a);
      chain[a] = bucket[t];
      bucket[t] = a;
    }
  }

  private unstack(time: number, into: Int32Array, at: number): number {
    const { bucket, chain } = this;
    let write = at;
    for (let a = bucket[time]; a >= 0; a = chain[a]) {
      into[write] = a;
      write += 1;
    }
    bucket[time] = -1;
    return write;
  }

  private placeInWords(a: number, earliest: number): number {
    const { profile } = this;
    const { duration, words, demand, guard } = this.network;
    const d = duration[a];
    let start = earliest;
    for (let t = start + d - 1; t >= start; t -= 1) {
      for (let w = 0; w < words; w += 1) {
        if (((profile[t * words + w] - demand[a * words + w]) & guard[w]) !== guard[w]) {
          start = t + 1;
          t = start + d;
          break;
        }
      }
    }
    for (let t = start; t < start + d; t += 1) {
      for (let w = 0; w < words; w += 1) profile[t * words + w] -= demand[a * words + w];
    }
    return start;
  }

  private clear(until: number): void {
    const { profile } = this;
    const { words, free } = this.network;
    if (words === 1) profile.fill(free[0], 0, until);
    else for (let t = 0; t < until; t += 1) for (let w = 0; w < words; w += 1) profile[t * words + w] = free[w];
  }
}
