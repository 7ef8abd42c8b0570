/** `slotwright why`: why an operation starts when it does, or why an order is late. The last line on stdout is one JSON object. */
import { parseArgs } from "node:util";
import { criticalChain } from "../core/explain/critical-chain.ts";
import { whyHere } from "../core/explain/why-here.ts";
import { whyLate } from "../core/explain/why-late.ts";
import { CommandFailure } from "./failure.ts";
import { insteadOf } from "./known-ids.ts";
import { formatNamed, readPlan, readProblem } from "./read-input.ts";

export const WHY_HELP = `slotwright why <problem> <plan> --operation ID | --order ID | --chain [options]
  Why the operation starts when it does: smallest sets of reasons without which it could start earlier.
  --operation ID  the operation; --lot N: which of its lots (default 1)
  --order ID      why that order is late, step by step back to the root (exit code 1: it is not late)
  --chain         the critical chain of the plan, and how much each operation may slip
  --format F      format of the problem: json (default for .json), jobshop, flexible, setup, rcpsp`;

export function whyCommand(args: string[]): number {
  const { values, positionals } = parseArgs({
    args,
    allowPositionals: true,
    options: {
      operation: { type: "string" },
      order: { type: "string" },
      lot: { type: "string" },
      chain: { type: "boolean" },
      format: { type: "string" },
    },
  });
  const [problemFile, planFile, ...rest] = positionals;
  const asked = [values.operation, values.order, values.chain].filter((value) => value !== undefined).length;
  if (problemFile === undefined || planFile === undefined || rest.length > 0 || asked !== 1) throw new CommandFailure(WHY_HELP);
  const problem = readProblem(problemFile, formatNamed(values.format, problemFile));
  const plan = readPlan(planFile, problem);
  if (values.operation !== undefined) {
    if (!problem.operations.some(({ id }) => id === values.operation)) {
      const instead = insteadOf(
        values.operation,
        problem.operations.map(({ id }) => id),
      );
      throw new CommandFailure(`${problemFile} has no operation ${values.operation}; ${instead}`);
    }
    const lot = Number(values.lot ?? "1");
    const why = Number.isInteger(lot) && lot >= 1 ? whyHere(problem, plan, values.operation, lot - 1) : null;
    if (why === null) throw new CommandFailure(`${planFile} has no lot ${values.lot ?? "1"} of operation ${values.operation}`);
    for (const sentence of why.sentences) console.log(sentence);
    console.log(JSON.stringify(why));
    return 0;
  }
  if (values.order !== undefined) {
    if (!problem.orders.some(({ id }) => id === values.order)) {
      const instead = insteadOf(
        values.order,
        problem.orders.map(({ id }) => id),
      );
      throw new CommandFailure(`${problemFile} has no order ${values.order}; ${instead}`);
    }
    const why = whyLate(problem, plan, values.order);
    if (why === null) console.log("The order is not late.");
    for (const step of why?.steps ?? []) console.log(step.sentence);
    console.log(JSON.stringify(why ?? { order: values.order, lateMinutes: 0, steps: [] }));
    return why === null ? 1 : 0;
  }
  const chain = criticalChain(problem, plan);
  for (const step of chain.chain)
    console.log(
      `${step.operation}  ${step.start} to ${step.end}  ${step.because.kind}${step.after === null ? "" : ` after ${step.after}`}`,
    );
  console.log(JSON.stringify(chain));
  return 0;
}
