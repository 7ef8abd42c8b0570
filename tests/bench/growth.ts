/**
 * How the cost of one iteration grows with the size: `npx tsx tests/bench/growth.ts`. Random shops and projects of growing size,
 * the same search, CPU seconds of one thread with the first part left out (compilation, first dispatch), and the slope of a
 * straight line through the logarithms. Prints a table per family and, as its last line, one JSON object. Asserts nothing.
 */
import { createRandom, type Random, shuffled } from "../../src/core/ground/prng.ts";
import { FlexibleSearch, flexibleInstance } from "../../src/core/solve/classical/flexible-job-shop.ts";
import { JobShopSearch } from "../../src/core/solve/classical/job-shop.ts";
import { ProjectSearch } from "../../src/core/solve/classical/project.ts";
import type { RoundSearch, SearchLimits } from "../../src/core/solve/classical/search-limits.ts";

const SIZES = [100, 200, 400, 800, 1600];
const MACHINES = 20;
const CPU_SECONDS = 2;

const duration = (random: Random): number => 1 + random.int(99);

function jobShop(size: number, random: Random) {
  const machines = Math.min(MACHINES, Math.round(Math.sqrt(size)));
  const jobs = Array.from({ length: Math.round(size / machines) }, () =>
    shuffled(
      Array.from({ length: machines }, (_, machine) => machine),
      random,
    ).map((machine) => ({ machine, duration: duration(random) })),
  );
  return { machines, jobs };
}

/** The same with three machines to choose from. */
function flexibleShop(size: number, random: Random) {
  const { machines, jobs } = jobShop(size, random);
  const alternatives = (machine: number, minutes: number) =>
    [0, 1, 2].map((step) => ({ machine: (machine + step) % machines, duration: minutes + random.int(10) }));
  return { machines, jobs: jobs.map((job) => job.map((visit) => alternatives(visit.machine, visit.duration))) };
}

/** Each activity waits for up to two of the ten before it; four supplies that hold about four activities. */
function project(size: number, random: Random) {
  const successors: number[][] = Array.from({ length: size }, () => []);
  for (let a = 1; a < size; a++)
    for (let k = 0; k < 2; k++) {
      const before = successors[Math.max(0, a - 1 - random.int(10))];
      if (before && !before.includes(a)) before.push(a);
    }
  return {
    capacities: [24, 24, 24, 24],
    activities: successors.map((list) => ({
      duration: 1 + random.int(10),
      demands: [0, 0, 0, 0].map(() => random.int(11)),
      successors: list,
    })),
  };
}

const FAMILIES: readonly { name: string; unit: string; open(size: number, limits: SearchLimits): RoundSearch }[] = [
  {
    name: "job shop",
    unit: "move",
    open: (size, limits) => new JobShopSearch(jobShop(size, createRandom(size)), limits),
  },
  {
    name: "flexible job shop",
    unit: "move",
    open: (size, limits) => new FlexibleSearch(flexibleInstance(flexibleShop(size, createRandom(size))), limits),
  },
  {
    name: "project",
    unit: "schedule",
    open: (size, limits) => new ProjectSearch(project(size, createRandom(size)), limits),
  },
];

const cpuSeconds = (): number => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1e6;
};

/** Least squares through (ln size, ln cost). */
function slope(points: readonly (readonly [number, number])[]): number {
  const logs = points.map(([x, y]) => [Math.log(x), Math.log(y)] as const);
  const mean = (pick: (p: readonly [number, number]) => number) => logs.reduce((sum, p) => sum + pick(p), 0) / logs.length;
  const [mx, my] = [mean(([x]) => x), mean(([, y]) => y)];
  return mean(([x, y]) => (x - mx) * (y - my)) / mean(([x]) => (x - mx) ** 2);
}

const answer: Record<string, { slope: number; microseconds: Record<number, number> }> = {};
for (const family of FAMILIES) {
  const points: (readonly [number, number])[] = [];
  for (const size of SIZES) {
    let until = Number.POSITIVE_INFINITY;
    const search = family.open(size, { seed: 1, prove: false, shouldStop: () => cpuSeconds() >= until });
    until = cpuSeconds() + CPU_SECONDS / 2;
    while (!search.finished) search.advance();
    const warm = search.outcome().iterations;
    const begun = cpuSeconds();
    until = begun + CPU_SECONDS;
    while (!search.finished) search.advance();
    const spent = cpuSeconds() - begun;
    const { iterations, proven } = search.outcome();
    if (proven || iterations === warm) continue; // it ended by itself: nothing to measure
    const cost = (1e6 * spent) / (iterations - warm);
    points.push([size, cost]);
    console.log(`${family.name.padEnd(18)} ${String(size).padStart(5)}  ${cost.toFixed(2).padStart(8)} us a ${family.unit}`);
  }
  if (points.length < 3) continue;
  answer[family.name] = { slope: Number(slope(points).toFixed(2)), microseconds: Object.fromEntries(points) };
  console.log(`${family.name.padEnd(18)} grows with the power ${slope(points).toFixed(2)} of the size`);
}
console.log(JSON.stringify(answer));
