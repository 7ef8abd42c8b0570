/**
 * Root lower bound of a job shop: the longest job, and Jackson's preemptive bound of each machine with the heads and tails
 * its operations have inside their jobs. Cheap (milliseconds) and never above the optimum.
 */
import type { JobShop } from "../../problem/classical.ts";
import { jacksonPreemptiveBound, type OneMachineOperation } from "./one-machine-bound.ts";

export function jobShopBound(shop: JobShop): number {
  const byMachine: OneMachineOperation[][] = Array.from({ length: shop.machines }, () => []);
  let bound = 0;
  for (const job of shop.jobs) {
    const total = job.reduce((sum, operation) => sum + operation.duration, 0);
    bound = Math.max(bound, total);
    let head = 0;
    for (const { machine, duration } of job) {
      byMachine[machine].push({ head, duration, tail: total - head - duration });
      head += duration;
    }
  }
  return byMachine.reduce((most, operations) => Math.max(most, jacksonPreemptiveBound(operations)), bound);
}
