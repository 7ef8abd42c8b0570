/** Small problems in few words for the worked cases of the literature: machines, jobs of fixed runs, one cost part switched on. */
import type { ProblemFileInput } from "../../../src/contract/problem-file.ts";
import { readProblemFile } from "../../../src/contract/problem-file.ts";
import { check } from "../../../src/core/check/checker.ts";
import { makePlan, type PlanOutcome } from "../../../src/core/plan/make-plan.ts";
import type { CostPart } from "../../../src/core/problem/objective.ts";
import { NO_WEIGHTS } from "../../../src/core/problem/objective.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";

export type OrderInput = NonNullable<ProblemFileInput["orders"]>[number];
export type OperationInput = OrderInput["operations"][number];
type LinkInput = NonNullable<ProblemFileInput["links"]>[number];

/** One operation on one machine (or several to choose from) that runs without a break. */
export const run = (
  id: string,
  machines: string | readonly string[] | Readonly<Record<string, number>>,
  minutes = 0,
  more: Partial<OperationInput> = {},
): OperationInput => {
  const choices: [string, number][] =
    typeof machines === "string"
      ? [[machines, minutes]]
      : Array.isArray(machines)
        ? machines.map((m) => [m, minutes])
        : Object.entries(machines as Record<string, number>);
  return {
    id,
    modes: choices.map(([machine, length], i) => ({
      id: `${machine}#${i}`,
      machines: [machine],
      phases: [{ kind: "run" as const, flow: "solid" as const, work: { kind: "fixed" as const, minutes: length } }],
    })),
    ...more,
  };
};

/** Operations of a job follow each other. */
export const chainLinks = (operations: readonly OperationInput[]): LinkInput[] =>
  operations.slice(1).map((operation, i) => ({
    kind: "lag",
    id: `${(operations[i] as OperationInput).id}>${operation.id}`,
    from: (operations[i] as OperationInput).id,
    to: operation.id,
  }));

export type ShopInput = Omit<Partial<ProblemFileInput>, "orders" | "machines" | "weights"> & {
  readonly machines: readonly (string | NonNullable<ProblemFileInput["machines"]>[number])[];
  readonly orders: readonly OrderInput[];
  /** The only cost part that counts, with weight 1. */
  readonly cost: CostPart;
  readonly horizon: number;
};

export function shop(input: ShopInput): Problem {
  const { cost, machines, orders, links, ...rest } = input;
  const result = readProblemFile({
    format: "slotwright-problem",
    version: 1,
    name: "worked case",
    origin: "2026-06-08T00:00:00Z",
    ...rest,
    machines: machines.map((machine) => (typeof machine === "string" ? { id: machine } : machine)),
    orders: [...orders],
    links: [...(links ?? []), ...orders.flatMap((order) => chainLinks(order.operations))],
    weights: { ...NO_WEIGHTS, [cost]: 1 },
  } satisfies ProblemFileInput);
  if (!result.ok) throw new Error(JSON.stringify(result.error, null, 1));
  return result.value;
}

/** Plans through the real engine, checks, and gives the outcome; the cost is the checker's own. */
export function plan(problem: Problem, iterations = 3_000): PlanOutcome {
  const outcome = makePlan(problem, { seed: 1, iterations });
  const judged = check(problem, outcome.plan);
  if (judged.conflicts.length > 0) throw new Error(judged.conflicts.map((conflict) => conflict.sentence).join("\n"));
  if (judged.cost.total !== outcome.cost.total) throw new Error("the outcome's cost is not the checker's");
  return outcome;
}
