/**
 * Soak: random shops, one after the other, for so many minutes: planned, followed to some minute, planned on after a drift, hit by
 * trouble and repaired, a repair improved. Every plan is judged by the checker, those of tiny shops by the reference checker too; any
 * disagreement, any conflict of our making and any error is a failure, printed with the seed that replays it.
 * Usage: npm run soak -- [--minutes 30] [--from 1]. Exit 1 when anything failed; the last line is one JSON object.
 */
import { parseArgs } from "node:util";
import { generateShop, type ShopSize } from "../../seed/shop-generator.ts";
import { readProblemFile } from "../../src/contract/problem-file.ts";
import { check } from "../../src/core/check/checker.ts";
import { frozenWork } from "../../src/core/check/frozen.ts";
import { InvariantBroken } from "../../src/core/ground/invariant.ts";
import { createRandom, type Random } from "../../src/core/ground/prng.ts";
import { improveRepair } from "../../src/core/plan/improve-repair.ts";
import { makePlan } from "../../src/core/plan/make-plan.ts";
import { repairPlan } from "../../src/core/plan/repair.ts";
import type { Plan } from "../../src/core/problem/plan.ts";
import type { Problem } from "../../src/core/problem/problem.ts";
import { advance } from "../../src/core/track/advance.ts";
import { withTrouble } from "../../src/core/track/trouble.ts";
import { fitPlan } from "../../src/server/actions/fit-plan.ts";
import { shopInProgress } from "../arbitraries/shop-in-progress.ts";
import { tinyProblem } from "../arbitraries/tiny-problem.ts";
import { conflictKeys, referenceCheck } from "../reference/checker.ts";
import { ask, QUESTIONS } from "./soak-questions.ts";

const { values } = parseArgs({ options: { minutes: { type: "string", default: "30" }, from: { type: "string", default: "1" } } });
const end = performance.now() + Number(values.minutes) * 60_000;
const counts = {
  shops: 0,
  tiny: 0,
  inProgress: 0,
  generated: 0,
  refused: 0,
  repairs: 0,
  questions: 0,
  plansChecked: 0,
  referenceChecked: 0,
};
const failures: string[] = [];

/** The checker's verdict, compared with the reference's where the shop is small enough. */
function judge(problem: Problem, plan: Plan, small: boolean): number {
  counts.plansChecked++;
  const { conflicts } = check(problem, plan);
  if (!small) return conflicts.length;
  counts.referenceChecked++;
  const kept = new Map(frozenWork(problem).kept.map((planned) => [planned.operation as string, planned.lots]));
  const mine = conflictKeys(conflicts).join("; ");
  const reference = conflictKeys(referenceCheck(problem, plan, kept)).join("; ");
  if (mine !== reference) throw new Error(`the checkers differ: ${mine} | ${reference}`);
  return conflicts.length;
}

/** A machine stops; the repairs and an improvement of the last of them. */
function hit(problem: Problem, plan: Plan, seed: number, random: Random, small: boolean): void {
  const machine = problem.machines[random.int(problem.machines.length)]?.id ?? "";
  const from = problem.now + random.int(small ? 30 : 3 * 1440);
  const until = from + 1 + random.int(small ? 12 : 2 * 1440);
  const stopped = withTrouble(problem, { kind: "machineStopped", machine, from, until, reason: "stopped" });
  if (!stopped.ok) return;
  counts.repairs++;
  const answers = repairPlan(stopped.value, plan, { seed, steps: small ? 40 : 200 });
  for (const answer of answers) judge(stopped.value, answer.plan, small);
  const last = answers.at(-1);
  if (!last) throw new Error("a repair has an answer");
  for (const { best, better, slices } of improveRepair(stopped.value, plan, last, { seed, slice: small ? 20 : 100 })) {
    if (better) judge(stopped.value, best.plan, small);
    if (best.conflicts.length === last.conflicts.length && best.cost.total > last.cost.total)
      throw new Error("an improvement made it dearer");
    if (slices >= 8) break;
  }
}

/** One of the questions that planners ask. */
function question(problem: Problem, plan: Plan, seed: number, random: Random): void {
  const name = QUESTIONS[random.int(QUESTIONS.length)]!;
  counts.questions++;
  try {
    ask(name, problem, plan, seed, random);
  } catch (error) {
    throw new Error(`${name}: ${error instanceof Error ? error.message : String(error)}`);
  }
}

function tiny(seed: number, random: Random): void {
  counts.tiny++;
  const problem = tinyProblem(seed);
  const { plan } = makePlan(problem, { seed, iterations: 20 + random.int(100) });
  judge(problem, plan, true);
  hit(problem, plan, seed, random, true);
  question(problem, plan, seed, random);
}

function midWeek(seed: number, random: Random): void {
  counts.inProgress++;
  const twins = random.int(2) === 0;
  const followed = shopInProgress(seed, false, twins);
  const kept = judge(followed.problem, fitPlan(followed.problem, followed.published), true);
  if (followed.clean && kept > 0) throw new Error("a plan that was followed has conflicts");
  const { problem } = shopInProgress(seed, true, twins);
  const { plan } = makePlan(problem, { seed, iterations: 20 + random.int(60) });
  judge(problem, plan, true);
  question(problem, plan, seed, random);
}

/** Some seeds give no shop of the load that its size promises; the generator refuses those itself. */
function generatedShop(size: ShopSize, seed: number): ReturnType<typeof generateShop> | null {
  try {
    return generateShop(size, seed);
  } catch (error) {
    if (!(error instanceof InvariantBroken)) throw error;
    counts.refused++;
    return null;
  }
}

function generated(seed: number, random: Random): void {
  counts.generated++;
  const size: ShopSize = random.int(4) === 0 ? "300" : "60";
  const shop = generatedShop(size, seed);
  if (shop === null) return;
  const read = readProblemFile(shop);
  if (!read.ok) throw new Error(JSON.stringify(read.error));
  const made = makePlan(read.value, { seed, iterations: 200 + random.int(800) });
  if (judge(read.value, made.plan, false) > 0) throw new Error("a shop without limits has conflicts");
  const last = Math.max(...made.plan.operations.flatMap(({ lots }) => lots.map((lot) => lot.end)));
  const now = 1 + random.int(last - 1);
  const later: Problem = { ...advance(read.value, made.plan, now), published: made.plan, freeze: now + random.int(2 * 1440) };
  const fitted = fitPlan(later, made.plan);
  if (judge(later, fitted, false) > 0) throw new Error("a plan that was followed has conflicts");
  judge(later, makePlan(later, { seed, iterations: 100 }).plan, false);
  hit(later, fitted, seed, random, false);
}

let seed = Number(values.from);
for (; performance.now() < end; seed++) {
  const random = createRandom(seed * 7 + 3);
  const kind = seed % 8 === 0 ? generated : seed % 2 === 0 ? midWeek : tiny;
  counts.shops++;
  try {
    kind(seed, random);
  } catch (error) {
    failures.push(`${kind.name} ${seed}: ${error instanceof Error ? error.message : String(error)}`);
    console.log(`FAILED ${failures.at(-1)}`);
  }
  if (counts.shops % 200 === 0) console.log(`${JSON.stringify(counts)} failed ${failures.length}`);
}
console.log(
  JSON.stringify({
    minutes: Number(values.minutes),
    seeds: [Number(values.from), seed - 1],
    ...counts,
    failed: failures.length,
    failures,
  }),
);
if (failures.length > 0) process.exitCode = 1;
