/**
 * Measures the classical searches on chosen instances: `npx tsx tests/bench/classical.ts [names...] --folder DIR --seconds S
 * --seeds N`. Names are patterns; DIR holds bounds.json and the instance files. Seconds are CPU seconds of one thread, so
 * that a busy machine does not change the result. Every schedule is verified by the plain second code; one fault ends the run.
 * Prints a table, and as its last line one JSON object. Only a measuring tool: nothing in the product uses it.
 */
import { readFileSync } from "node:fs";
import path from "node:path";
import { parseArgs } from "node:util";
import type { Fault, Result } from "../../src/core/ground/result.ts";
import { readFlexibleJobShop } from "../../src/core/problem/formats/flexible-job-shop.ts";
import { readJobShop } from "../../src/core/problem/formats/job-shop.ts";
import { readJobShopWithSetups } from "../../src/core/problem/formats/job-shop-with-setups.ts";
import { readPsplib } from "../../src/core/problem/formats/psplib.ts";
import { solveFlexibleJobShop, solveJobShopWithSetups } from "../../src/core/solve/classical/flexible-job-shop.ts";
import { solveJobShop } from "../../src/core/solve/classical/job-shop.ts";
import { solveRcpsp } from "../../src/core/solve/classical/project.ts";
import type { SearchLimits, SearchOutcome } from "../../src/core/solve/classical/search-limits.ts";
import { faultsOfFlexible, faultsOfJobShop, faultsOfProject, faultsOfSetups } from "../reference/classical-schedules.ts";

type Known = {
  readonly family: string;
  readonly name: string;
  readonly lower: number;
  readonly upper: number;
  readonly file: string;
};

function value<T>(result: Result<T, Fault>): T {
  if (!result.ok) throw new Error(`${result.error.at}: ${result.error.message}`);
  return result.value;
}

/** Solves one instance text of a family and says what the second code finds wrong. */
function run(family: string, text: string, limits: SearchLimits): { outcome: SearchOutcome; faults: string[] } {
  switch (family) {
    case "jobshop": {
      const shop = value(readJobShop(text));
      const outcome = solveJobShop(shop, limits);
      return { outcome, faults: faultsOfJobShop(shop, outcome.starts, outcome.makespan) };
    }
    case "flexible-jobshop": {
      const shop = value(readFlexibleJobShop(text));
      const outcome = solveFlexibleJobShop(shop, limits);
      return { outcome, faults: faultsOfFlexible(shop, outcome.starts, outcome.machine, outcome.makespan) };
    }
    case "jobshop-setup": {
      const shop = value(readJobShopWithSetups(text));
      const outcome = solveJobShopWithSetups(shop, limits);
      return { outcome, faults: faultsOfSetups(shop, outcome.starts, outcome.makespan) };
    }
    case "rcpsp": {
      const project = value(readPsplib(text));
      const outcome = solveRcpsp(project, limits);
      return { outcome, faults: faultsOfProject(project, outcome.starts, outcome.makespan) };
    }
    default:
      throw new Error(`no search for the family "${family}"`);
  }
}

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    folder: { type: "string", default: "../shared/benchmarks" },
    seconds: { type: "string", default: "1" },
    seeds: { type: "string", default: "1" },
    quiet: { type: "boolean", default: false },
  },
});
const seconds = Number(values.seconds);
const known = JSON.parse(readFileSync(path.join(values.folder, "bounds.json"), "utf8")) as Known[];
const patterns = positionals.map((pattern) => new RegExp(`^(${pattern})$`));
const chosen = known.filter(({ name }) => patterns.length === 0 || patterns.some((pattern) => pattern.test(name)));
const cpuSeconds = (): number => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1e6;
};

const gaps: number[] = [];
let met = 0;
let proven = 0;
for (const instance of chosen) {
  const text = readFileSync(path.join(values.folder, instance.file), "utf8");
  for (let seed = 1; seed <= Number(values.seeds); seed += 1) {
    const begun = cpuSeconds();
    let lastGain = 0;
    const { outcome, faults } = run(instance.family, text, {
      seed,
      shouldStop: () => cpuSeconds() - begun > seconds,
      onImprovement: () => {
        lastGain = cpuSeconds() - begun;
      },
    });
    const spent = cpuSeconds() - begun;
    if (faults.length > 0) throw new Error(`${instance.name}, seed ${seed}: ${faults.join("; ")}`);
    if (outcome.lowerBound > instance.upper)
      throw new Error(`${instance.name}: bound ${outcome.lowerBound} above ${instance.upper}`);
    if (outcome.makespan < instance.lower)
      throw new Error(`${instance.name}: ${outcome.makespan} is below the proven ${instance.lower}`);
    const gap = 100 * (outcome.makespan / instance.upper - 1);
    gaps.push(gap);
    if (outcome.makespan <= instance.upper) met += 1;
    if (outcome.proven) proven += 1;
    if (values.quiet) continue;
    console.log(
      [
        instance.name.padEnd(12),
        `seed ${seed}`,
        `${outcome.makespan}`.padStart(6),
        `known ${instance.lower === instance.upper ? instance.upper : `${instance.lower}..${instance.upper}`}`.padEnd(18),
        `${gap.toFixed(2)} %`.padStart(8),
        `bound ${outcome.lowerBound}`.padEnd(12),
        outcome.proven ? "proven" : "      ",
        `last gain ${lastGain.toFixed(1)} s`,
        `${(outcome.iterations / spent / 1000).toFixed(0)} k/s`,
      ].join("  "),
    );
  }
}
const mean = gaps.reduce((sum, gap) => sum + gap, 0) / gaps.length;
console.log(JSON.stringify({ runs: gaps.length, seconds, meanGapPercent: Number(mean.toFixed(3)), met, proven }));
