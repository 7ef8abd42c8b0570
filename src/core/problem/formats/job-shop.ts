/**
 * The text format of the classical job shops: line 1 `jobs machines`, then one line per job with pairs `machine duration`,
 * machines from 0. Every job visits every machine exactly once, so that a line cut short is found and named.
 * Source of the layout: J.E. Beasley, OR-Library, Journal of the Operational Research Society 41, 1990 (job shop file).
 */
import type { Fault, Result } from "../../ground/result.ts";
import type { JobShop, JobShopOperation } from "../classical.ts";
import { everyMachineOnce } from "./every-machine-once.ts";
import { readFormat } from "./read-format.ts";
import { COUNT_MAX, FormatFault, filledLines, lineAt, NumberReader, noMoreLines, TIME_MAX } from "./text-lines.ts";

export function readJobShop(text: string): Result<JobShop, Fault> {
  return readFormat(() => {
    const lines = filledLines(text);
    const head = new NumberReader(lineAt(lines, 0, "the line `jobs machines`"));
    const jobCount = head.take("the number of jobs", 1, COUNT_MAX);
    const machines = head.take("the number of machines", 1, COUNT_MAX);
    head.close();
    const jobs: JobShopOperation[][] = [];
    for (let j = 0; j < jobCount; j += 1) {
      const line = lineAt(lines, 1 + j, `job ${j} of ${jobCount}`);
      if (line.words.length % 2 !== 0) {
        throw new FormatFault(line.number, `expected pairs \`machine duration\`, found ${line.words.length} numbers`);
      }
      const reader = new NumberReader(line);
      const job: JobShopOperation[] = [];
      while (!reader.done) {
        job.push({ machine: reader.take("a machine", 0, machines - 1), duration: reader.take("a duration", 0, TIME_MAX) });
      }
      everyMachineOnce(job, machines, line.number);
      jobs.push(job);
    }
    noMoreLines(lines, 1 + jobCount, `the last of ${jobCount} jobs`);
    return { machines, jobs };
  });
}
