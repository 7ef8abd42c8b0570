/**
 * The text format of job shops with setups: line 1 `jobs machines families`; one line per job with triples
 * `machine duration family`; one line with the first setup of each family; then the family-by-family matrix
 * (row = family just done, column = family to come). All indices from 0.
 * The problem: P. Brucker, O. Thiele, A branch and bound method for the general-shop problem with sequence dependent
 * setup-times, OR Spektrum 18, 1996.
 */
import type { Fault, Result } from "../../ground/result.ts";
import type { JobShopOperation, JobShopWithSetups } from "../classical.ts";
import { everyMachineOnce } from "./every-machine-once.ts";
import { readFormat } from "./read-format.ts";
import { COUNT_MAX, FormatFault, filledLines, lineAt, NumberReader, noMoreLines, TIME_MAX } from "./text-lines.ts";

export function readJobShopWithSetups(text: string): Result<JobShopWithSetups, Fault> {
  return readFormat(() => {
    const lines = filledLines(text);
    const head = new NumberReader(lineAt(lines, 0, "the line `jobs machines families`"));
    const jobCount = head.take("the number of jobs", 1, COUNT_MAX);
    const machines = head.take("the number of machines", 1, COUNT_MAX);
    const families = head.take("the number of families", 1, COUNT_MAX);
    head.close();
    const jobs: (JobShopOperation & { family: number })[][] = [];
    for (let j = 0; j < jobCount; j += 1) {
      const line = lineAt(lines, 1 + j, `job ${j} of ${jobCount}`);
      if (line.words.length % 3 !== 0) {
        throw new FormatFault(line.number, `expected triples \`machine duration family\`, found ${line.words.length} numbers`);
      }
      const reader = new NumberReader(line);
      const job: (JobShopOperation & { family: number })[] = [];
      while (!reader.done) {
        job.push({
          machine: reader.take("a machine", 0, machines - 1),
          duration: reader.take("a duration", 0, TIME_MAX),
          family: reader.take("a family", 0, families - 1),
        });
      }
      everyMachineOnce(job, machines, line.number);
      jobs.push(job);
    }
    const row = (index: number, what: string): number[] => {
      const reader = new NumberReader(lineAt(lines, index, what));
      const values = Array.from({ length: families }, () => reader.take("a setup time", 0, TIME_MAX));
      reader.close();
      return values;
    };
    const firstSetup = row(1 + jobCount, "the line of first setups");
    const setup = Array.from({ length: families }, (_, f) => row(2 + jobCount + f, `the setups after family ${f}`));
    noMoreLines(lines, 2 + jobCount + families, "the setup matrix");
    return { machines, jobs, firstSetup, setup };
  });
}
