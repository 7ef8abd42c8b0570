/**
 * Real shops: the engine against the best of a grid of dispatching rules, on generated shops of four sizes (seed/shop-generator.ts).
 * Prints per instance and seed the weighted tardiness of both and a hash of the plan; `--json`: the last line is one object, per size
 * `bestRule`, `ours` (means of weighted tardiness in order-weight minutes) and `lowerPercent`. Both plans are judged by the checker.
 * Usage: npm run bench:shops -- [--sizes 60,300] [--instances 5] [--seeds 3] [--seconds S] [--iterations N] [--json]
 */
import { createHash } from "node:crypto";
import { parseArgs } from "node:util";
import { generateShop, type ShopSize } from "../../seed/shop-generator.ts";
import { readProblemFile } from "../../src/contract/problem-file.ts";
import { check } from "../../src/core/check/checker.ts";
import { makePlan } from "../../src/core/plan/make-plan.ts";
import { estimate, RULES } from "../../src/core/solve/construct/priority.ts";
import { buildModel } from "../../src/core/solve/decode/build-model.ts";
import { writePlan } from "../../src/core/solve/decode/write-plan.ts";
import { bestRulePlan } from "../../src/core/solve/engine.ts";

const { values } = parseArgs({
  options: {
    sizes: { type: "string", default: "60,300" },
    instances: { type: "string", default: "5" },
    seeds: { type: "string", default: "3" },
    seconds: { type: "string" },
    iterations: { type: "string" },
    json: { type: "boolean" },
  },
});
/** Seconds of the targets in the project's aims, by size. */
const SECONDS: Readonly<Record<ShopSize, number>> = { "60": 3, "300": 10, "1500": 60, "10000": 60 };

const cpuSeconds = (): number => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1e6;
};
const summary: Record<
  string,
  {
    bestRule: number;
    ours: number;
    lowerPercent: number;
    lateOrdersPercent: number;
    firstPlanSeconds: number;
    iterations: number;
  }
> = {};
for (const size of values.sizes.split(",") as ShopSize[]) {
  const rows: { rule: number; ours: number; late: number; first: number; iterations: number }[] = [];
  for (let instance = 1; instance <= Number(values.instances); instance++) {
    const read = readProblemFile(generateShop(size, instance));
    if (!read.ok) throw new Error(JSON.stringify(read.error));
    const problem = read.value;
    const begun = cpuSeconds();
    const model = buildModel(problem);
    const rule = bestRulePlan(model, [], estimate(model), RULES, () => false);
    const first = cpuSeconds() - begun;
    const byRule = check(problem, writePlan(rule.state));
    const late = byRule.conflicts.length > 0 ? Number.NaN : lateShare(problem, writePlan(rule.state));
    for (let seed = 1; seed <= Number(values.seeds); seed++) {
      const seconds = values.iterations === undefined ? Number(values.seconds ?? SECONDS[size]) : Number.POSITIVE_INFINITY;
      const end = performance.now() + seconds * 1000;
      const cpu = cpuSeconds();
      const outcome = makePlan(problem, {
        seed,
        ...(values.iterations === undefined
          ? { shouldStop: () => performance.now() > end }
          : { iterations: Number(values.iterations) }),
      });
      if (outcome.conflicts.length > 0) throw new Error(`${problem.name}, seed ${seed}: ${outcome.conflicts[0]?.sentence}`);
      const hash = createHash("sha256").update(JSON.stringify(outcome.plan)).digest("hex").slice(0, 8);
      const ours = outcome.cost.parts.tardiness;
      rows.push({ rule: byRule.cost.parts.tardiness, ours, late, first, iterations: outcome.iterations });
      console.log(
        `${size.padStart(5)} no ${instance} seed ${seed}: rule ${byRule.cost.parts.tardiness} (${(100 * late).toFixed(0)} % late, ${first.toFixed(2)} s CPU)  ours ${ours}  ` +
          `${byRule.cost.parts.tardiness === 0 ? "nothing to lower" : `${(100 * (1 - ours / byRule.cost.parts.tardiness)).toFixed(1)} % lower`}  ${outcome.iterations} steps  ${(cpuSeconds() - cpu).toFixed(1)} s CPU  ${hash}`,
      );
    }
  }
  const mean = (pick: (row: (typeof rows)[number]) => number): number =>
    rows.reduce((sum, row) => sum + pick(row), 0) / rows.length;
  summary[size] = {
    bestRule: mean((row) => row.rule),
    ours: mean((row) => row.ours),
    lowerPercent: mean((row) => (row.rule === 0 ? 0 : 100 * (1 - row.ours / row.rule))),
    lateOrdersPercent: 100 * mean((row) => row.late),
    firstPlanSeconds: mean((row) => row.first),
    iterations: mean((row) => row.iterations),
  };
  console.log(`${size}: ${JSON.stringify(summary[size])}`);
}
if (values.json)
  console.log(JSON.stringify({ shops: summary, instances: Number(values.instances), seeds: Number(values.seeds) }));

/** Share of orders that end after their due minute. */
function lateShare(problem: Parameters<typeof check>[0], plan: Parameters<typeof check>[1]): number {
  const end = new Map<string, number>();
  const orderOf = new Map(problem.operations.map((operation) => [operation.id, operation.order]));
  for (const planned of plan.operations) {
    const order = orderOf.get(planned.operation) ?? "";
    for (const lot of planned.lots) end.set(order, Math.max(end.get(order) ?? 0, lot.end));
  }
  return (
    problem.orders.filter((order) => order.due !== null && (end.get(order.id) ?? 0) > order.due).length / problem.orders.length
  );
}
