/**
 * The text format of flexible job shops: line 1 `jobs machines` (a third figure, the mean number of alternatives, is passed over);
 * then one line per job: number of operations, then per operation the number of alternatives and that many pairs
 * `machine duration`, machines from 0.
 * Source of the layout: P. Brandimarte, Routing and scheduling in a flexible job shop by tabu search, Annals of OR 41, 1993;
 * machines counted from 0 as in J. Hurink, B. Jurisch, M. Thole, OR Spektrum 15, 1994, as later collections write them.
 */
import type { Fault, Result } from "../../ground/result.ts";
import type { FlexibleJobShop, JobShopOperation } from "../classical.ts";
import { readFormat } from "./read-format.ts";
import { COUNT_MAX, filledLines, lineAt, NumberReader, noMoreLines, TIME_MAX } from "./text-lines.ts";

export function readFlexibleJobShop(text: string): Result<FlexibleJobShop, Fault> {
  return readFormat(() => {
    const lines = filledLines(text);
    const first = lineAt(lines, 0, "the line `jobs machines`");
    const head = new NumberReader({
      number: first.number,
      words: first.words.length === 3 ? first.words.slice(0, 2) : first.words,
    });
    const jobCount = head.take("the number of jobs", 1, COUNT_MAX);
    const machines = head.take("the number of machines", 1, COUNT_MAX);
    head.close();
    const jobs: JobShopOperation[][][] = [];
    for (let j = 0; j < jobCount; j += 1) {
      const reader = new NumberReader(lineAt(lines, 1 + j, `job ${j} of ${jobCount}`));
      const count = reader.take("the number of operations", 1, COUNT_MAX);
      const job: JobShopOperation[][] = [];
      for (let k = 0; k < count; k += 1) {
        const choices = reader.take(`the number of alternatives of operation ${k}`, 1, machines);
        job.push(
          Array.from({ length: choices }, () => ({
            machine: reader.take("a machine", 0, machines - 1),
            duration: reader.take("a duration", 0, TIME_MAX),
          })),
        );
      }
      reader.close();
      jobs.push(job);
    }
    noMoreLines(lines, 1 + jobCount, `the last of ${jobCount} jobs`);
    return { machines, jobs };
  });
}
