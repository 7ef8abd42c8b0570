/**
 * How long somebody waits who stops a planning run of a generated shop: the longest time between two looks at the stop once a first
 * plan is judged, and from the look that sees it to the judged plan. CPU milliseconds of the one thread, compiling of the code included,
 * so that a machine shared with other work does not judge. The stops come `--every` CPU seconds apart, each in a run of its own.
 * Usage: npx tsx tests/bench/stops.ts [--size 1500] [--instance 1] [--stops 6] [--every 1.3] [--json]
 */
import { parseArgs } from "node:util";
import { generateShop, SHOP_FAMILIES, type ShopSize } from "../../seed/shop-generator.ts";
import { readProblemFile } from "../../src/contract/problem-file.ts";
import { makePlan } from "../../src/core/plan/make-plan.ts";

const { values } = parseArgs({
  options: {
    size: { type: "string", default: "1500" },
    instance: { type: "string", default: "1" },
    stops: { type: "string", default: "6" },
    every: { type: "string", default: "1.3" },
    json: { type: "boolean" },
  },
});
const size = values.size as ShopSize;
const read = readProblemFile(generateShop(size, SHOP_FAMILIES[size][Number(values.instance) - 1] ?? 1));
if (!read.ok) throw new Error(JSON.stringify(read.error));
const problem = read.value;
const cpuMs = (): number => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1e3;
};

const stops: { after: number; gaps: readonly number[]; toPlan: number; tardiness: number; steps: number }[] = [];
for (let i = 1; i <= Number(values.stops); i++) {
  const end = cpuMs() + 1000 * i * Number(values.every);
  const begun = cpuMs();
  const gaps: number[] = [];
  let looked = Number.NaN;
  let stopped = false;
  const outcome = makePlan(problem, {
    seed: i,
    shouldStop: () => {
      const at = cpuMs();
      if (!Number.isNaN(looked)) gaps.push(at - looked);
      looked = at;
      stopped ||= at > end;
      return stopped;
    },
    hurry: () => stopped,
    spent: () => Math.min(1, (cpuMs() - begun) / (end - begun)),
  });
  const toPlan = cpuMs() - looked;
  if (outcome.conflicts.length > 0) throw new Error(`stop ${i}: ${outcome.conflicts[0]?.sentence}`);
  // The first gap holds the first judgement: nothing can be handed over before it.
  const [first = 0, ...later] = gaps;
  const longest = later.toSorted((a, b) => b - a).slice(0, 3);
  stops.push({
    after: (end - begun) / 1000,
    gaps: longest,
    toPlan,
    tardiness: outcome.cost.parts.tardiness,
    steps: outcome.iterations,
  });
  console.log(
    `stop after ${((end - begun) / 1000).toFixed(1)} s, ${outcome.iterations} steps: first look ${first.toFixed(0)} ms, longest between looks ${longest.map((gap) => gap.toFixed(0)).join(", ")} ms, seen to plan ${toPlan.toFixed(1)} ms, tardiness ${outcome.cost.parts.tardiness}`,
  );
}
if (values.json) console.log(JSON.stringify({ size, instance: Number(values.instance), stops }));
