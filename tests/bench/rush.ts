/**
 * Rush answers: how long the first ones and all of them take on the demo shop and on generated shops of 300 and 1,500 operations, how
 * that grows with size, and how much "no promise broken" depends on the seed of the search. The rush order is a copy of one of the
 * shop's own, three of them a shop. Every answer is judged by the checker again. Seconds are those of the process (CPU), so that a
 * machine shared with other work does not judge. `--json`: the last line is one object.
 * `--existing`: orders that stand in the plan already, asked again by id, spread over the book; with each the minute before which
 * nothing could complete it.
 * Usage: npm run bench:rush -- [--shops demo,300,1500] [--instances 1] [--orders 3] [--seeds 3] [--existing] [--json]
 */
import { createHash } from "node:crypto";
import { parseArgs } from "node:util";
import { demoShop } from "../../seed/demo-shop.ts";
import { generateShop, SHOP_FAMILIES, type ShopSize } from "../../seed/shop-generator.ts";
import { readProblemFile } from "../../src/contract/problem-file.ts";
import { check } from "../../src/core/check/checker.ts";
import { present } from "../../src/core/ground/invariant.ts";
import type { Operation } from "../../src/core/orders/operation.ts";
import type { OrderId } from "../../src/core/orders/order.ts";
import { makePlan } from "../../src/core/plan/make-plan.ts";
import { newConflicts } from "../../src/core/plan/new-conflicts.ts";
import { orderCompletions } from "../../src/core/plan/plan-difference.ts";
import { promise } from "../../src/core/plan/promise.ts";
import { rush } from "../../src/core/plan/rush.ts";
import { type NewOrder, wantedOrder } from "../../src/core/plan/wanted-order.ts";
import type { Plan } from "../../src/core/problem/plan.ts";
import type { Problem } from "../../src/core/problem/problem.ts";

const { values } = parseArgs({
  options: {
    shops: { type: "string", default: "demo,300,1500" },
    instances: { type: "string", default: "1" },
    orders: { type: "string", default: "3" },
    seeds: { type: "string", default: "3" },
    existing: { type: "boolean" },
    json: { type: "boolean" },
  },
});
const DEMO_NOW = "2026-06-10T10:00";
/** Search steps of the plan in hand. */
const PLAN_STEPS: Readonly<Record<string, number>> = { demo: 2000, "60": 2000, "300": 4000, "1500": 300 };

const cpuSeconds = (): number => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1e6;
};

function shopOf(name: string, instance: number): { problem: Problem; plan: Plan } {
  const file =
    name === "demo"
      ? demoShop(DEMO_NOW)
      : generateShop(name as ShopSize, present(SHOP_FAMILIES[name as ShopSize]?.[instance - 1], `shop ${name} no ${instance}`));
  const read = readProblemFile(file);
  if (!read.ok) throw new Error(JSON.stringify(read.error));
  const problem = read.value;
  const start = problem.published === null ? {} : { start: problem.published };
  return { problem, plan: makePlan(problem, { seed: 1, iterations: PLAN_STEPS[name] ?? 2000, ...start }).plan };
}

/** Copies of orders spread over the book, heavy and wanted now. */
function rushOrders(problem: Problem, count: number): NewOrder[] {
  const plain = problem.orders.filter(({ id, kind }) => {
    const own = problem.operations.filter(({ order }) => order === id);
    return (
      kind !== "maintenance" && own.length >= 3 && own.every(({ calibrates, kits }) => calibrates.length + kits.length === 0)
    );
  });
  return Array.from({ length: count }, (_, i) => {
    const like = present(plain[Math.floor(((i + 0.5) * plain.length) / count)], "order");
    const id = `rush of ${like.id}`;
    const named = (operation: string): string => `${id} ${operation}`;
    const own = problem.operations.filter(({ order }) => order === like.id);
    const mine = new Set(own.map((operation) => operation.id));
    return {
      order: { ...like, id, name: id, release: problem.now, due: null, deadline: null, weight: 10 },
      operations: own.map(
        (operation): Operation => ({
          ...operation,
          id: named(operation.id),
          order: id,
          pin: null,
          window: { start: null, end: null },
          progress: { done: [], running: [] },
        }),
      ),
      links: problem.links
        .filter(({ from, to }) => mine.has(from) && mine.has(to))
        .map((link) => ({ ...link, id: named(link.id), from: named(link.from), to: named(link.to) })),
      kitSpans: [],
    };
  });
}

/** Orders of the plan of which something is left to place, spread over the book. */
function standingOrders(problem: Problem, plan: Plan, count: number): OrderId[] {
  const ends = orderCompletions(problem, plan);
  const open = problem.orders.flatMap(({ id }) => ((ends.get(id) ?? null) !== null && wantedOrder(problem, id).ok ? [id] : []));
  return Array.from({ length: Math.min(count, open.length) }, (_, i) =>
    present(open[Math.floor(((i + 0.5) * open.length) / Math.min(count, open.length))], "order"),
  );
}

function existing(name: string, instance: number): object[] {
  const { problem, plan } = shopOf(name, instance);
  const hours = (minute: number | null): string => (minute === null ? "-" : `${((minute - problem.now) / 60).toFixed(1)} h`);
  return standingOrders(problem, plan, Number(values.orders)).map((order) => {
    const begun = cpuSeconds();
    const outcome = rush(problem, plan, order, { seed: 1 });
    const all = cpuSeconds() - begun;
    if (!outcome.ok) throw new Error(outcome.error.message);
    const { answers, before, tried, soonest } = outcome.value;
    const base = check(problem, plan).conflicts;
    for (const answer of answers) {
      const added = newConflicts(base, check(problem, answer.plan).conflicts);
      if (added.length > 0) throw new Error(`${name}, ${order}: ${added[0]?.sentence}`);
    }
    const first = answers[0]?.finish ?? null;
    if (soonest.finish === null || (first !== null && first < soonest.finish) || (before.finish ?? 0) < soonest.finish)
      throw new Error(`${name}, ${order}: an answer ends before the minute that is said to be the soonest`);
    console.log(
      `${name} no ${instance}, ${order}: ${all.toFixed(2)} s CPU, ${answers.length} answers, stands ${hours(before.finish)}, earliest ${hours(first)}, ` +
        `nothing before ${hours(soonest.finish)}; tried ${JSON.stringify(tried)}; ${answers.map((one) => `${one.labels.join("+") || "between"} ${hours(one.finish)} late ${one.lateness} moved ${one.movement}/${one.ordersMoved} told ${one.told} alone ${one.nightMinutesChange} cuts ${one.cuts}`).join(" | ")}`,
    );
    return { order, seconds: all, answers: answers.length, stands: before.finish, earliest: first, soonest: soonest.finish };
  });
}

type Row = {
  readonly operations: number;
  readonly first: number;
  readonly all: number;
  readonly promise: number;
  readonly answers: number;
  readonly distinct: boolean;
  /** Minutes from now; null: no such answer. */
  readonly earliest: number | null;
  readonly kind: number | null;
  readonly still: number | null;
};

if (values.existing) {
  const rows = values.shops
    .split(",")
    .flatMap((name) =>
      Array.from({ length: name === "demo" ? 1 : Number(values.instances) }, (_, i) =>
        existing(name, i + 1).map((row) => ({ shop: name, ...row })),
      ).flat(),
    );
  if (values.json) console.log(JSON.stringify({ existing: rows }));
  process.exit(0);
}

const summary: Record<string, object> = {};
for (const name of values.shops.split(",")) {
  const rows: Row[] = [];
  const kindBySeed: number[][] = [];
  for (let instance = 1; instance <= (name === "demo" ? 1 : Number(values.instances)); instance++) {
    const { problem, plan } = shopOf(name, instance);
    const before = check(problem, plan).conflicts;
    for (const order of rushOrders(problem, Number(values.orders))) {
      const kinds: number[] = [];
      for (let seed = 1; seed <= Number(values.seeds); seed++) {
        const begun = cpuSeconds();
        let first = Number.NaN;
        const outcome = rush(problem, plan, order, {
          seed,
          onFirst: () => {
            first = cpuSeconds() - begun;
          },
        });
        const all = cpuSeconds() - begun;
        if (!outcome.ok) throw new Error(outcome.error.message);
        const { answers } = outcome.value;
        const base = check(outcome.value.problem, plan).conflicts;
        for (const answer of answers) {
          const added = newConflicts(base, check(outcome.value.problem, answer.plan).conflicts);
          if (added.length > 0) throw new Error(`${name}, ${order.order.id}, seed ${seed}: ${added[0]?.sentence}`);
        }
        const at = (label: (typeof answers)[number]["labels"][number]): number | null => {
          const found = answers.find(({ labels }) => labels.includes(label));
          return found ? found.finish - problem.now : null;
        };
        const asked = cpuSeconds();
        promise(problem, plan, order, { seed, onlyAsItStands: true });
        const row: Row = {
          operations: problem.operations.length,
          first,
          all,
          promise: cpuSeconds() - asked,
          answers: answers.length,
          distinct: new Set(answers.map(({ finish }) => finish)).size >= 3,
          earliest: at("earliest"),
          kind: at("noPromiseBroken"),
          still: at("nothingMoves"),
        };
        rows.push(row);
        if (row.kind !== null) kinds.push(row.kind);
        const hash = createHash("sha256")
          .update(JSON.stringify(answers.map((answer) => answer.plan)))
          .digest("hex")
          .slice(0, 8);
        console.log(
          `${name} no ${instance}, ${order.order.id} (${order.operations.length} operations), seed ${seed}: first ${first.toFixed(2)} s, all ${all.toFixed(2)} s CPU, ` +
            `${row.answers} answers; earliest ${text(row.earliest)}, no promise broken ${text(row.kind)}, nothing moves ${text(row.still)}; ${before.length} conflicts before; ${hash}`,
        );
      }
      kindBySeed.push(kinds);
    }
  }
  const mean = (pick: (row: Row) => number): number => rows.reduce((sum, row) => sum + pick(row), 0) / rows.length;
  const seconds = (value: number): number => Math.round(value * 1000) / 1000;
  summary[name] = {
    operations: mean((row) => row.operations),
    firstSeconds: seconds(mean((row) => row.first)),
    allSeconds: seconds(mean((row) => row.all)),
    allSecondsMost: seconds(Math.max(...rows.map((row) => row.all))),
    promiseStillSeconds: seconds(mean((row) => row.promise)),
    answers: seconds(mean((row) => row.answers)),
    withThreeFinishes: rows.filter((row) => row.distinct).length,
    withKindAnswer: rows.filter((row) => row.kind !== null).length,
    runs: rows.length,
    /** Worst minus best finish of "no promise broken" over the seeds of one order, in hours: mean and most. */
    kindSpreadHours: seconds(kindBySeed.reduce((sum, kinds) => sum + spread(kinds), 0) / kindBySeed.length / 60),
    kindSpreadHoursMost: seconds(Math.max(...kindBySeed.map(spread)) / 60),
    /** Mean of how much later it is than the earliest answer, and sooner than moving nobody, in hours. */
    kindAfterEarliestHours: seconds(mean((row) => (row.kind ?? row.still ?? 0) - (row.earliest ?? 0)) / 60),
    kindBeforeStillHours: seconds(mean((row) => (row.still ?? 0) - (row.kind ?? row.still ?? 0)) / 60),
  };
  console.log(`${name}: ${JSON.stringify(summary[name])}`);
}
if (values.json) console.log(JSON.stringify({ rush: summary, instances: Number(values.instances), seeds: Number(values.seeds) }));

function spread(list: readonly number[]): number {
  return list.length === 0 ? 0 : Math.max(...list) - Math.min(...list);
}

function text(minutes: number | null): string {
  return minutes === null ? "-" : `${(minutes / 60).toFixed(1)} h`;
}
