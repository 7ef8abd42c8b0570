/**
 * Real shops: the engine against the best of a grid of dispatching rules, on the families of generated shops (seed/shop-generator.ts).
 * Prints per instance and seed the weighted tardiness of both and a hash of the plan; `--json`: the last line is one object, per size
 * `bestRule`, `ours` (means of weighted tardiness in order-weight minutes) and `lowerPercent`. Both plans are judged by the checker.
 * `--clock cpu`: seconds are those of the process, so that a machine shared with other work does not judge. Also measured: the longest
 * time between two looks at the stop and from the stop to the plan, one decode of everything (median), memory at most.
 * Usage: npm run bench:shops -- [--sizes 60,300] [--instances 5 | --instances 2-4] [--seeds 3] [--seconds S] [--clock cpu] [--iterations N] [--json]
 */
import { createHash } from "node:crypto";
import { parseArgs } from "node:util";
import { generateShop, SHOP_FAMILIES, type ShopSize } from "../../seed/shop-generator.ts";
import { readProblemFile } from "../../src/contract/problem-file.ts";
import { check } from "../../src/core/check/checker.ts";
import { makePlan } from "../../src/core/plan/make-plan.ts";
import { decodeOrder } from "../../src/core/solve/construct/dispatch.ts";
import { estimate, RULES } from "../../src/core/solve/construct/priority.ts";
import { buildModel } from "../../src/core/solve/decode/build-model.ts";
import { writePlan } from "../../src/core/solve/decode/write-plan.ts";
import { bestRulePlan, givenState } from "../../src/core/solve/engine.ts";

const { values } = parseArgs({
  options: {
    sizes: { type: "string", default: "60,300" },
    instances: { type: "string", default: "5" },
    seeds: { type: "string", default: "3" },
    seconds: { type: "string" },
    clock: { type: "string", default: "wall" },
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
const clock = values.clock === "cpu" ? cpuSeconds : () => performance.now() / 1000;
const [firstInstance, lastInstance] = values.instances.includes("-")
  ? (values.instances.split("-").map(Number) as [number, number])
  : [1, Number(values.instances)];
const DECODES = 40;

type Summary = {
  bestRule: number;
  ours: number;
  lowerPercent: number;
  lateOrdersPercent: number;
  /** The first complete plan, by one rule; and the whole grid of rules. */
  firstPlanSeconds: number;
  gridSeconds: number;
  iterations: number;
  /** Median of one decode of all operations, milliseconds of CPU. */
  decodeMs: number;
  /** Longest time between two looks at the stop once a plan stood, and from the stop to the checked plan; milliseconds of CPU. */
  stopSeenMs: number;
  stopToPlanMs: number;
  /** Most memory of this process so far. */
  peakMegabytes: number;
};
const summary: Record<string, Summary> = {};
for (const size of values.sizes.split(",") as ShopSize[]) {
  const rows: {
    rule: number;
    ours: number;
    late: number;
    first: number;
    grid: number;
    iterations: number;
    seen: number;
    after: number;
  }[] = [];
  const decodes: number[] = [];
  for (let instance = firstInstance; instance <= lastInstance; instance++) {
    const shop = SHOP_FAMILIES[size][instance - 1];
    if (shop === undefined)
      throw new Error(
        `there are ${SHOP_FAMILIES[size].length} shops of ${size} operations; expected --instances within 1-${SHOP_FAMILIES[size].length}`,
      );
    const read = readProblemFile(generateShop(size, shop));
    if (!read.ok) throw new Error(JSON.stringify(read.error));
    const problem = read.value;
    const begun = cpuSeconds();
    const model = buildModel(problem);
    const est = estimate(model);
    let first = Number.NaN;
    const rule = bestRulePlan(model, [], est, RULES, () => {
      if (Number.isNaN(first)) first = cpuSeconds() - begun;
      return false;
    });
    const grid = cpuSeconds() - begun;
    const byRule = check(problem, writePlan(rule.state));
    for (let i = 0; i < DECODES; i++) {
      const before = cpuSeconds();
      decodeOrder(givenState(model, []), rule.order, rule.choosing);
      decodes.push(1000 * (cpuSeconds() - before));
    }
    const late = byRule.conflicts.length > 0 ? Number.NaN : lateShare(problem, writePlan(rule.state));
    if (!(late >= 0.145 && late < 0.355))
      throw new Error(`${problem.name}: ${(100 * late).toFixed(1)} % late under the best rule, not 15-35 %`);
    for (let seed = 1; seed <= Number(values.seeds); seed++) {
      const seconds = values.iterations === undefined ? Number(values.seconds ?? SECONDS[size]) : Number.POSITIVE_INFINITY;
      const start = clock();
      const end = start + seconds;
      const cpu = cpuSeconds();
      let looked = Number.NaN;
      let seen = 0;
      const outcome = makePlan(problem, {
        seed,
        shouldStop: () => {
          const at = cpuSeconds();
          if (at - looked > seen) seen = at - looked;
          looked = at;
          return clock() > end;
        },
        ...(values.iterations === undefined
          ? { spent: () => (clock() - start) / seconds }
          : { iterations: Number(values.iterations) }),
      });
      const after = cpuSeconds() - looked;
      if (outcome.conflicts.length > 0) throw new Error(`${problem.name}, seed ${seed}: ${outcome.conflicts[0]?.sentence}`);
      const hash = createHash("sha256").update(JSON.stringify(outcome.plan)).digest("hex").slice(0, 8);
      const ours = outcome.cost.parts.tardiness;
      rows.push({ rule: byRule.cost.parts.tardiness, ours, late, first, grid, iterations: outcome.iterations, seen, after });
      console.log(
        `${size.padStart(5)} no ${instance} (shop ${shop}) seed ${seed}: rule ${byRule.cost.parts.tardiness} (${(100 * late).toFixed(0)} % late, grid ${grid.toFixed(2)} s CPU)  ours ${ours}  ` +
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
    gridSeconds: mean((row) => row.grid),
    iterations: mean((row) => row.iterations),
    decodeMs: decodes.sort((a, b) => a - b)[decodes.length >> 1] ?? Number.NaN,
    stopSeenMs: 1000 * Math.max(...rows.map((row) => row.seen)),
    stopToPlanMs: 1000 * Math.max(...rows.map((row) => row.after)),
    peakMegabytes: Math.round(process.resourceUsage().maxRSS / 1024),
  };
  console.log(`${size}: ${JSON.stringify(summary[size])}`);
}
if (values.json) console.log(JSON.stringify({ shops: summary, instances: values.instances, seeds: Number(values.seeds) }));

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
