/**
 * A simplified real shop: best dispatching rule of a grid, ours and CP-SAT (which starts from that rule's plan), all three judged
 * by the checker on the same problem. A conflict, or more tardiness than CP-SAT claims, throws: then the two would not have
 * solved the same problem.
 */
import type { ShopSize } from "../../../seed/shop-generator.ts";
import { check } from "../../../src/core/check/checker.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { estimate, RULES } from "../../../src/core/solve/construct/priority.ts";
import { buildModel } from "../../../src/core/solve/decode/build-model.ts";
import { writePlan } from "../../../src/core/solve/decode/write-plan.ts";
import { bestRulePlan } from "../../../src/core/solve/engine.ts";
import { cpuSeconds } from "./clock.ts";
import { hashOf, solveOurs } from "./compare-classical.ts";
import { runCpSat } from "./cp-sat.ts";
import type { PeerLimits } from "./minizinc.ts";
import { cpSatOfSimpleShop, planOfCpSat, simpleShop } from "./simple-shop.ts";

export type ShopRow = {
  readonly size: ShopSize;
  readonly shopSeed: number;
  readonly solver: "rule" | "ours" | "cp-sat";
  /** null: not run, or nothing found within the time. */
  readonly tardiness: number | null;
  readonly lateWeight: number | null;
  readonly proven: boolean;
  readonly seconds: number;
  readonly cpu: number;
  readonly remark: string;
};

export async function* compareShop(
  size: ShopSize,
  shopSeed: number,
  noPython: string | null,
  limits: PeerLimits,
): AsyncGenerator<ShopRow> {
  const problem = simpleShop(size, shopSeed);
  const begun = cpuSeconds();
  const model = buildModel(problem);
  const rule = writePlan(bestRulePlan(model, [], estimate(model), RULES, () => false).state);
  const ruleCpu = cpuSeconds() - begun;
  const row = (solver: ShopRow["solver"], rest: Omit<ShopRow, "size" | "shopSeed" | "solver">): ShopRow => ({
    size,
    shopSeed,
    solver,
    ...rest,
  });
  yield row("rule", { ...judged(problem, rule, "rule"), proven: false, seconds: ruleCpu, cpu: ruleCpu });

  const ours = await solveOurs(problem, limits);
  yield row("ours", { ...judged(problem, ours.plan, "ours"), ...ours.figures });

  const nothing = { tardiness: null, lateWeight: null, proven: false };
  if (noPython !== null) {
    yield row("cp-sat", { ...nothing, seconds: 0, cpu: 0, remark: noPython });
    return;
  }
  const answer = await runCpSat(cpSatOfSimpleShop(problem, rule), limits);
  const { seconds, cpu } = answer;
  if (answer.placed === null) {
    if (answer.status !== "UNKNOWN") throw new Error(`${problem.name}, cp-sat: ${answer.status}`);
    yield row("cp-sat", { ...nothing, seconds, cpu, remark: "found nothing" });
    return;
  }
  const found = judged(problem, planOfCpSat(problem, answer.placed), "cp-sat");
  // A lateness cut off by the limit may lie above its least value, never below; when it is proven, nothing is left between the two.
  const claimed = answer.objective ?? 0;
  if (found.tardiness > claimed || (answer.status === "OPTIMAL" && found.tardiness !== claimed))
    throw new Error(`${problem.name}, cp-sat: says ${answer.objective}, the checker finds ${found.tardiness}`);
  yield row("cp-sat", { ...found, proven: answer.status === "OPTIMAL", seconds, cpu });
}

function judged(problem: Problem, plan: Plan, who: string): { tardiness: number; lateWeight: number; remark: string } {
  const { conflicts, cost } = check(problem, plan);
  if (conflicts.length > 0) throw new Error(`${problem.name}, ${who}: the plan breaks a rule: ${conflicts[0]?.sentence}`);
  return { tardiness: cost.parts.tardiness, lateWeight: cost.parts.lateOrders, remark: hashOf(plan) };
}
