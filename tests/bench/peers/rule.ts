/**
 * The upper bound that every peer is given: a schedule by a plain rule. Always the operation that can end first, on the
 * machine where it ends first; of those that could still start before that end on that machine, the job with most work left.
 * Source: B. Giffler, G.L. Thompson, Operations Research 8(4), 1960 (active schedules; the choice by most work remaining).
 */
import type { FlexibleJobShop } from "../../../src/core/problem/classical.ts";

export type RuleSchedule = { readonly makespan: number; readonly starts: Int32Array; readonly alternatives: Int32Array };

export function ruleSchedule(shop: FlexibleJobShop): RuleSchedule {
  const shortest = (choices: FlexibleJobShop["jobs"][number][number]): number =>
    Math.min(...choices.map(({ duration }) => duration));
  const first: number[] = [];
  let size = 0;
  for (const job of shop.jobs) {
    first.push(size);
    size += job.length;
  }
  const starts = new Int32Array(size);
  const alternatives = new Int32Array(size);
  const next = shop.jobs.map(() => 0);
  const jobReady = shop.jobs.map(() => 0);
  const machineReady = new Array<number>(shop.machines).fill(0);
  const workLeft = shop.jobs.map((job) => job.reduce((sum, choices) => sum + shortest(choices), 0));
  for (let placed = 0; placed < size; placed++) {
    const offers = shop.jobs.flatMap((job, j) =>
      (job[next[j] as number] ?? []).map((choice, alternative) => {
        const start = Math.max(jobReady[j] as number, machineReady[choice.machine] as number);
        return { j, alternative, machine: choice.machine, start, end: start + choice.duration };
      }),
    );
    const earliest = offers.reduce((kept, offer) => (offer.end < kept.end ? offer : kept));
    const chosen = offers
      .filter((offer) => offer.machine === earliest.machine && (offer.start < earliest.end || offer === earliest))
      .reduce((kept, offer) => ((workLeft[offer.j] as number) > (workLeft[kept.j] as number) ? offer : kept));
    const { j } = chosen;
    const at = (first[j] as number) + (next[j] as number);
    starts[at] = chosen.start;
    alternatives[at] = chosen.alternative;
    workLeft[j] = (workLeft[j] as number) - shortest(shop.jobs[j]?.[next[j] as number] ?? []);
    next[j] = (next[j] as number) + 1;
    jobReady[j] = chosen.end;
    machineReady[chosen.machine] = chosen.end;
  }
  return { makespan: Math.max(0, ...jobReady), starts, alternatives };
}
