/** The rule of the published job shops: each job visits each machine exactly once. The fault names the line. */
import { FormatFault } from "./text-lines.ts";

export function everyMachineOnce(job: readonly { readonly machine: number }[], machines: number, line: number): void {
  if (job.length !== machines)
    throw new FormatFault(line, `expected ${machines} operations, one on each machine, found ${job.length}`);
  const seen = new Set<number>();
  for (const { machine } of job) {
    if (seen.has(machine)) throw new FormatFault(line, `expected each machine once, found machine ${machine} twice`);
    seen.add(machine);
  }
}
