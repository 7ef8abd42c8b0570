/**
 * Repairs on a generated shop in mid-course: planned, published and followed to a Tuesday of its third week, then a machine stops for
 * a day, once each of those that have work there. Prints how long the first answers took (CPU), what share of the operations not yet
 * begun they move, how much later orders become, and what a few seconds of improvement in the background win back.
 * The fullest machines of the week after the stop are the bottlenecks; the target concerns the others. All answers are checked.
 * Usage: npm run bench:repair -- [--size 1500] [--instances 2] [--iterations 20000] [--machines 6] [--improve 3] [--json]
 */
import { parseArgs } from "node:util";
import { generateShop, SHOP_FAMILIES, type ShopSize } from "../../seed/shop-generator.ts";
import { readProblemFile } from "../../src/contract/problem-file.ts";
import { improveRepair } from "../../src/core/plan/improve-repair.ts";
import { makePlan } from "../../src/core/plan/make-plan.ts";
import { type RepairCandidate, repairPlan } from "../../src/core/plan/repair.ts";
import type { Plan } from "../../src/core/problem/plan.ts";
import type { Problem } from "../../src/core/problem/problem.ts";
import { advance } from "../../src/core/track/advance.ts";
import { withTrouble } from "../../src/core/track/trouble.ts";
import { fitPlan } from "../../src/server/actions/fit-plan.ts";

const { values } = parseArgs({
  options: {
    size: { type: "string", default: "1500" },
    instances: { type: "string", default: "2" },
    iterations: { type: "string", default: "20000" },
    machines: { type: "string", default: "6" },
    improve: { type: "string", default: "3" },
    json: { type: "boolean" },
  },
});
const cpuMs = (): number => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
};
const DAY = 1440;
const NOW = 2 * 7 * DAY + DAY + 9 * 60;
const STOP = { from: NOW + 60, until: NOW + 60 + DAY };

type Row = {
  machine: string;
  load: number;
  firstMs: number;
  movedPercent: number;
  lateBefore: number;
  lateStill: number;
  latePushed: number;
  lateImproved: number;
  improvedMovedPercent: number;
};
const rows: Row[] = [];
for (let instance = 1; instance <= Number(values.instances); instance++) {
  const size = values.size as ShopSize;
  const read = readProblemFile(generateShop(size, SHOP_FAMILIES[size][instance - 1] ?? instance));
  if (!read.ok) throw new Error(JSON.stringify(read.error));
  const made = makePlan(read.value, { seed: instance, iterations: Number(values.iterations) });
  const problem: Problem = { ...advance(read.value, made.plan, NOW), published: made.plan, freeze: null };
  const before = fitPlan(problem, made.plan);
  const toCome = problem.operations.filter(({ progress }) => progress.running.length === 0 && progress.done.length === 0).length;
  const loads = [...loadsAfter(problem, before)].sort((a, b) => a[1] - b[1]).filter(([id]) => worksIn(problem, before, id));
  const few = Number(values.machines);
  const chosen = loads.filter((_, i) => i < few - 1 || i === loads.length - 1);
  for (const [machine, load] of chosen) {
    const stopped = withTrouble(problem, { kind: "machineStopped", machine, ...STOP, reason: "stopped" });
    if (!stopped.ok) throw new Error(stopped.error.message);
    const begun = cpuMs();
    const answers = repairPlan(stopped.value, before, { seed: 1 });
    const firstMs = cpuMs() - begun;
    const still = of(answers, "leastMovement");
    const pushed = of(answers, "leastLateness");
    const end = cpuMs() + 1000 * Number(values.improve);
    let best = pushed;
    for (const { best: now } of improveRepair(stopped.value, before, pushed, { seed: 1, shouldStop: () => cpuMs() > end }))
      best = now;
    const late = ({ cost }: RepairCandidate): number => cost.parts.tardiness;
    const row = {
      ...{ machine, load, firstMs, movedPercent: (100 * Math.min(still.moved.length, pushed.moved.length)) / toCome },
      lateBefore: made.cost.parts.tardiness,
      ...{ lateStill: late(still), latePushed: late(pushed), lateImproved: late(best) },
      improvedMovedPercent: (100 * best.moved.length) / toCome,
    };
    rows.push(row);
    console.log(
      `${values.size} no ${instance} ${machine.padEnd(11)} load ${(100 * load).toFixed(0).padStart(3)} %  first ${firstMs.toFixed(0)} ms  ` +
        `moved ${still.moved.length} / ${pushed.moved.length} / ${best.moved.length} of ${toCome}  ` +
        `tardiness ${late(still)} / ${late(pushed)} / ${late(best)}  cost ${still.cost.total} / ${pushed.cost.total} / ${best.cost.total}`,
    );
  }
}
if (values.json) console.log(JSON.stringify({ repairs: rows }));

function of(answers: readonly RepairCandidate[], kind: RepairCandidate["kind"]): RepairCandidate {
  const found = answers.find((answer) => answer.kind === kind) ?? answers[0];
  if (!found) throw new Error("a repair has an answer");
  return found;
}

/** Share of the seven days after the stop that each machine is taken. */
function loadsAfter(shop: Problem, plan: Plan): ReadonlyMap<string, number> {
  const taken = new Map(shop.machines.map(({ id }) => [id, 0]));
  each(shop, plan, (machine, start, end) => {
    const inside = Math.min(end, STOP.until + 7 * DAY) - Math.max(start, STOP.until);
    if (inside > 0) taken.set(machine, (taken.get(machine) ?? 0) + inside / (7 * DAY));
  });
  return taken;
}

function worksIn(shop: Problem, plan: Plan, wanted: string): boolean {
  let any = false;
  each(shop, plan, (machine, start, end) => {
    if (machine === wanted && start < STOP.until && end > STOP.from) any = true;
  });
  return any;
}

function each(shop: Problem, plan: Plan, visit: (machine: string, start: number, end: number) => void): void {
  const modes = new Map(shop.operations.map((operation) => [operation.id, operation.modes]));
  for (const { operation, lots } of plan.operations)
    for (const lot of lots)
      for (const machine of modes.get(operation)?.find(({ id }) => id === lot.mode)?.machines ?? [])
        visit(machine, lot.start, lot.end);
}
