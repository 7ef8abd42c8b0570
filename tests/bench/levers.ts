/**
 * "What would help?": CPU seconds for each order of the demo shop asked about, how many levers were tried and what they remove. An order
 * that is in time is asked about as if it were due a day and an hour before its planned end.
 * Usage: npx tsx tests/bench/levers.ts [--orders 2104,2290,2301]
 */
import { parseArgs } from "node:util";
import { demoShop } from "../../seed/demo-shop.ts";
import { type ProblemFile, problemFileSchema, readProblemFile } from "../../src/contract/problem-file.ts";
import { changedProblem } from "../../src/contract/scenario/changed-problem.ts";
import { changeOfLever } from "../../src/contract/scenario/lever-change.ts";
import { makePlan } from "../../src/core/plan/make-plan.ts";
import { orderCompletions } from "../../src/core/plan/plan-difference.ts";
import { rankLevers } from "../../src/core/scenario/levers.ts";

const { values } = parseArgs({ options: { orders: { type: "string", default: "2104,2290,2107,2110,2167,2301" } } });
const EARLIER = 1500;
const cpuSeconds = (): number => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1e6;
};

const file = problemFileSchema.parse(demoShop("2026-06-10T10:00"));
const read = readProblemFile(file);
if (!read.ok) throw new Error(JSON.stringify(read.error));
const shop = read.value;
const { plan } = makePlan(shop, { seed: 1, iterations: 1500, ...(shop.published === null ? {} : { start: shop.published }) });
const ends = orderCompletions(shop, plan);
for (const id of values.orders.split(",")) {
  const end = ends.get(id) ?? null;
  const known = shop.orders.find((order) => order.id === id);
  if (end === null || known === undefined) throw new Error(`the plan has no order ${id}`);
  const due = known.due !== null && end > known.due ? known.due : end - EARLIER;
  const problem = { ...shop, orders: shop.orders.map((order) => (order.id === id ? { ...order, due } : order)) };
  const asked: ProblemFile = { ...file, orders: file.orders.map((order) => (order.id === id ? { ...order, due } : order)) };
  const begun = cpuSeconds();
  const outcome = rankLevers(problem, plan, id, {
    seed: 1,
    buyMinutes: null,
    pull(levers) {
      const changed = changedProblem(asked, problem, levers.map(changeOfLever));
      return changed.ok ? changed.value : null;
    },
  });
  if (outcome === null) throw new Error(`order ${id} has no due date`);
  const { tried, before, searched, ranked } = outcome;
  console.log(
    `${id}: ${(cpuSeconds() - begun).toFixed(1)} s CPU, ${tried} levers, late ${before.late} min, ${searched?.late} after a search without any; ` +
      `${ranked.length} help: ${ranked.map(({ removed }) => removed).join(", ")}`,
  );
}
