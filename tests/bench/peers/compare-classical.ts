/**
 * One classical instance: the rule, ours, then each peer, one after the other. Promises that each makespan shown was found again by
 * the checker in a plan made of the solver's own starts; a peer that says another one, or breaks a rule, throws.
 */
import { createHash } from "node:crypto";
import { problemFromFlexible } from "../../../src/contract/benchmark-problem.ts";
import { check } from "../../../src/core/check/checker.ts";
import type { FlexibleJobShop } from "../../../src/core/problem/classical.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { classicalShape, planOfClassical } from "../../../src/core/solve/classical-shape.ts";
import { planOnThreads } from "../../../src/threads/plan-on-threads.ts";
import { alarm, cpuSeconds } from "./clock.ts";
import { cpSatOfShop, runCpSat } from "./cp-sat.ts";
import type { Instance } from "./instances.ts";
import { MINIZINC_SOLVERS, type PeerLimits, runMinizinc } from "./minizinc.ts";
import { LINEAR_OPERATIONS_MAX, modelsOf } from "./models.ts";
import { ruleSchedule } from "./rule.ts";

export const PEERS = [...MINIZINC_SOLVERS, "cp-sat"] as const;
export type PeerName = (typeof PEERS)[number];

export type Row = {
  readonly instance: string;
  readonly known: number | null;
  readonly solver: PeerName | "rule" | "ours";
  /** null: not run, or nothing found within the time. */
  readonly makespan: number | null;
  readonly proven: boolean;
  readonly seconds: number;
  readonly cpu: number;
  /** Hash of the starts, or why there are none. */
  readonly remark: string;
};

export async function* compareClassical(
  instance: Instance,
  peers: readonly PeerName[],
  missing: (peer: PeerName) => string | null,
  limits: PeerLimits,
): AsyncGenerator<Row> {
  const { name, known, shop } = instance;
  const problem = problemFromFlexible(shop, name);
  const rule = ruleSchedule(shop);
  const row = (solver: Row["solver"], rest: Omit<Row, "instance" | "known" | "solver">): Row => ({
    instance: name,
    known,
    solver,
    ...rest,
  });
  const none = (solver: Row["solver"], remark: string, seconds = 0, cpu = 0): Row =>
    row(solver, { makespan: null, proven: false, seconds, cpu, remark });
  const plan = (starts: ArrayLike<number>, alternatives: ArrayLike<number>): Plan => {
    const shape = classicalShape(problem);
    if (shape === null) throw new Error(`${name} is not recognised as classical`);
    return planOfClassical(problem, shape, Int32Array.from(starts), Int32Array.from(alternatives));
  };
  yield row("rule", {
    ...judged(problem, plan(rule.starts, rule.alternatives), rule.makespan, `${name}, rule`),
    proven: false,
    seconds: 0,
    cpu: 0,
  });

  const ours = await solveOurs(problem, limits);
  yield row("ours", { ...judged(problem, ours.plan, ours.total, `${name}, ours`), ...ours.figures });

  for (const peer of peers) {
    const why = missing(peer);
    const operations = shop.jobs.reduce((sum, job) => sum + job.length, 0);
    if (why !== null) {
      yield none(peer, why);
    } else if (peer === "cp-sat") {
      const { status, placed, objective, seconds, cpu } = await runCpSat(cpSatOfShop(shop, rule.makespan), limits);
      if (status === "INFEASIBLE" || status === "MODEL_INVALID") throw new Error(`${name}, cp-sat: ${status}`);
      if (placed === null || objective === null) yield none(peer, "found nothing as good as the rule", seconds, cpu);
      else {
        const starts = placed.map(([, begin]) => begin);
        const modes = placed.map(([mode]) => mode);
        yield row(peer, {
          ...judged(problem, plan(starts, modes), objective, `${name}, ${peer}`),
          proven: status === "OPTIMAL",
          seconds,
          cpu,
        });
      }
    } else if ((peer === "highs" || peer === "cbc") && operations > LINEAR_OPERATIONS_MAX) {
      yield none(peer, `not run: over ${LINEAR_OPERATIONS_MAX} operations`);
    } else {
      const answer = await runMinizinc(peer, modelsOf(peer, shop, rule.makespan), limits);
      if (answer.solution === null)
        yield none(peer, answer.trouble ?? "found nothing as good as the rule", answer.seconds, answer.cpu);
      else {
        const { s = [], x } = answer.solution.values;
        const found = judged(problem, plan(s, alternativesOf(shop, x)), answer.solution.makespan, `${name}, ${peer}`);
        yield row(peer, { ...found, proven: answer.proven, seconds: answer.seconds, cpu: answer.cpu });
      }
    }
  }
}

/** Ours under the same clock: the threads of the command line. */
export async function solveOurs(
  problem: Problem,
  limits: PeerLimits,
): Promise<{ plan: Plan; total: number; figures: { proven: boolean; seconds: number; cpu: number } }> {
  const cpu = cpuSeconds();
  const stop = new AbortController();
  const cancel = alarm(limits.clock, limits.seconds, limits.threads, () => stop.abort());
  try {
    const { outcome, seconds } = await planOnThreads(problem, {
      seed: limits.seed,
      threads: limits.threads,
      // The alarm ends it, or a proof.
      stop: stop.signal,
    });
    return {
      plan: outcome.plan,
      total: outcome.cost.total,
      figures: { proven: outcome.bound.kind === "optimal", seconds, cpu: cpuSeconds() - cpu },
    };
  } finally {
    cancel();
  }
}

/** The models print one 0 or 1 for each alternative in turn, and nothing where there is no choice. */
function alternativesOf(shop: FlexibleJobShop, used: readonly number[] | undefined): number[] {
  let at = 0;
  return shop.jobs.flat().map((choices) => {
    const mine = used?.slice(at, at + choices.length) ?? [1];
    at += choices.length;
    return mine.indexOf(1);
  });
}

function judged(problem: Problem, plan: Plan, claimed: number, who: string): { makespan: number; remark: string } {
  const { conflicts, cost } = check(problem, plan);
  if (conflicts.length > 0) throw new Error(`${who}: the plan breaks a rule: ${conflicts[0]?.sentence}`);
  // A solver cut off between a better start and a better bound may claim a little more than its starts give, never less.
  if (cost.parts.makespan > claimed) throw new Error(`${who}: says ${claimed}, the checker finds ${cost.parts.makespan}`);
  return { makespan: cost.parts.makespan, remark: hashOf(plan) };
}

export const hashOf = (plan: Plan): string =>
  createHash("sha256")
    .update(JSON.stringify(plan.operations.map(({ lots }) => lots.map(({ start }) => start))))
    .digest("hex")
    .slice(0, 8);
