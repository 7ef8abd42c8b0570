/**
 * The simulation of a plan: courses a second of CPU, one thread, and how that grows with the shop. Also what preparing costs (the
 * network of the plan) and what two threads gain on the wall clock. Plans are those of the best dispatching rule: the replay does not
 * care how good a plan is. `--json`: the last line is one object, by size { lots, arcs, runsPerSecond, microsecondsPerLot, ... }.
 * Usage: npm run bench:risk -- [--sizes 60,300,1500] [--runs 2000] [--json]
 */
import { parseArgs } from "node:util";
import { generateShop, SHOP_FAMILIES, type ShopSize } from "../../seed/shop-generator.ts";
import { readProblemFile } from "../../src/contract/problem-file.ts";
import { createReplay, simulateRuns } from "../../src/core/risk/replay.ts";
import { DEFAULT_RISK_PROFILE } from "../../src/core/risk/risk-profile.ts";
import { estimate, RULES } from "../../src/core/solve/construct/priority.ts";
import { buildModel } from "../../src/core/solve/decode/build-model.ts";
import { writePlan } from "../../src/core/solve/decode/write-plan.ts";
import { bestRulePlan } from "../../src/core/solve/engine.ts";
import { simulateOnThreads } from "../../src/threads/simulate-on-threads.ts";

const { values } = parseArgs({
  options: {
    sizes: { type: "string", default: "60,300,1500" },
    runs: { type: "string", default: "2000" },
    json: { type: "boolean" },
  },
});
const runs = Number(values.runs);
const cpu = (): number => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1e6;
};

type Row = {
  lots: number;
  arcs: number;
  prepareMs: number;
  runsPerSecond: number;
  microsecondsPerLot: number;
  secondsOneThread: number;
  secondsTwoThreads: number;
};
const table: Record<string, Row> = {};
for (const size of values.sizes.split(",") as ShopSize[]) {
  const read = readProblemFile(generateShop(size, SHOP_FAMILIES[size][0] ?? 1));
  if (!read.ok) throw new Error(JSON.stringify(read.error));
  const problem = read.value;
  const model = buildModel(problem);
  const plan = writePlan(bestRulePlan(model, [], estimate(model), RULES, () => false).state);
  const stops = Object.fromEntries(problem.machines.map(({ id }) => [id, { meanBetween: 12_000, meanRepair: 240 }]));
  const profile = { ...DEFAULT_RISK_PROFILE, stops };
  let begun = cpu();
  const replay = createReplay(problem, plan, profile);
  const prepareMs = 1000 * (cpu() - begun);
  simulateRuns(replay, { seed: 1, firstRun: 0, runs: 100 }); // warm
  begun = cpu();
  simulateRuns(replay, { seed: 1, firstRun: 0, runs });
  const perRun = (cpu() - begun) / runs;
  const wall = async (threads: number): Promise<number> => {
    const at = performance.now();
    await simulateOnThreads(problem, plan, profile, { seed: 1, runs, threads });
    return (performance.now() - at) / 1000;
  };
  const { lots, arcs } = replay.network;
  table[size] = {
    ...{ lots: lots.length, arcs: arcs.length, prepareMs: Math.round(prepareMs) },
    runsPerSecond: Math.round(1 / perRun),
    microsecondsPerLot: Number(((perRun / lots.length) * 1e6).toFixed(2)),
    secondsOneThread: Number((await wall(1)).toFixed(2)),
    secondsTwoThreads: Number((await wall(2)).toFixed(2)),
  };
}
console.table(table);
if (values.json) console.log(JSON.stringify({ runs, ...table }));
