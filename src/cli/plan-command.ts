/** `slotwright plan`: makes a plan for a problem file and says how good it is. The last line on stdout is one JSON object. */
import { renameSync, writeFileSync } from "node:fs";
import { parseArgs } from "node:util";
import { writePlanFile } from "../contract/plan-file.ts";
import type { PlanOutcome } from "../core/plan/make-plan.ts";
import { planUnlessStopped } from "../threads/plan-on-threads.ts";
import { CommandFailure } from "./failure.ts";
import { DEFAULT_SECONDS, ITERATIONS_MAX, numberOption, SECONDS_MAX, SEED_MAX, THREADS_MAX, wholeOption } from "./options.ts";
import { ProgressLine } from "./progress-line.ts";
import { formatNamed, readProblem } from "./read-input.ts";

export const PLAN_HELP = `slotwright plan <file> [options]
  Makes a plan and checks it. Prints the conflicts and the parts of the cost, then one line of JSON.
  --format F      json (default for .json), jobshop, flexible, setup, rcpsp (default for .sm)
  --seconds S     stop after S seconds (default ${DEFAULT_SECONDS} when no iterations are given)
  --iterations N  stop after N iterations of each thread; the same seed then gives the same plan
  --threads T     threads that exchange their best plans (default 1)
  --seed K        whole number (default 1)
  --out FILE      write the plan file`;

export async function planCommand(args: string[]): Promise<number> {
  const { values, positionals } = parseArgs({
    args,
    allowPositionals: true,
    options: {
      format: { type: "string" },
      seconds: { type: "string" },
      iterations: { type: "string" },
      threads: { type: "string" },
      seed: { type: "string" },
      out: { type: "string" },
    },
  });
  const [file, ...rest] = positionals;
  if (file === undefined || rest.length > 0) throw new CommandFailure(PLAN_HELP);
  const iterations = wholeOption("iterations", values.iterations, 1, ITERATIONS_MAX) ?? null;
  const seconds = numberOption("seconds", values.seconds, 0.01, SECONDS_MAX) ?? (iterations === null ? DEFAULT_SECONDS : null);
  const threads = wholeOption("threads", values.threads, 1, THREADS_MAX) ?? 1;
  const seed = wholeOption("seed", values.seed, 0, SEED_MAX) ?? 1;
  const problem = readProblem(file, formatNamed(values.format, file));

  const line = new ProgressLine(seconds, iterations);
  const interrupt = new AbortController();
  process.once("SIGINT", () => interrupt.abort()); // keep the best plan so far; a second Ctrl-C ends the process
  const result = await planUnlessStopped(problem, {
    seed,
    threads,
    seconds,
    iterations,
    stop: interrupt.signal,
    onProgress: (progress) => line.show(progress),
  });
  line.end();
  if (result === null) throw new CommandFailure("Stopped before there was a first plan; nothing was written.", 1);

  const { outcome } = result;
  if (values.out !== undefined) writeWhole(values.out, `${JSON.stringify(writePlanFile(problem, outcome.plan), null, 1)}\n`);
  for (const conflict of outcome.conflicts.slice(0, 20)) console.log(`conflict: ${conflict.sentence}`);
  if (outcome.conflicts.length > 20) console.log(`and ${outcome.conflicts.length - 20} more conflicts`);
  console.log(verdict(outcome));
  console.log(
    JSON.stringify({
      problem: problem.name,
      objective: outcome.cost.total,
      makespan: latestEnd(outcome),
      lowerBound:
        outcome.bound.kind === "optimal" ? outcome.cost.total : outcome.bound.kind === "within" ? outcome.bound.lowerBound : null,
      proven: outcome.bound.kind === "optimal",
      conflicts: outcome.conflicts.length,
      lateOrders: lateOrders(problem, outcome),
      cost: outcome.cost.parts,
      seconds: Math.round(result.seconds * 1000) / 1000,
      iterations: result.iterations,
      seed,
      threads,
    }),
  );
  return 0;
}

/** The file appears whole or not at all. */
function writeWhole(file: string, text: string): void {
  try {
    writeFileSync(`${file}.part`, text);
    renameSync(`${file}.part`, file);
  } catch (error) {
    throw new CommandFailure(`${file} cannot be written (${(error as NodeJS.ErrnoException).code})`);
  }
}

const latestEnd = (outcome: PlanOutcome): number =>
  outcome.plan.operations.reduce((latest, planned) => planned.lots.reduce((end, lot) => Math.max(end, lot.end), latest), 0);

/** How many orders end after they were promised. */
function lateOrders(problem: ReturnType<typeof readProblem>, outcome: PlanOutcome): number {
  const end = new Map<string, number>();
  const orderOf = new Map(problem.operations.map((operation) => [operation.id, operation.order]));
  for (const planned of outcome.plan.operations) {
    const order = orderOf.get(planned.operation);
    if (order !== undefined) for (const lot of planned.lots) end.set(order, Math.max(end.get(order) ?? lot.end, lot.end));
  }
  return problem.orders.filter((order) => order.due !== null && (end.get(order.id) ?? order.due) > order.due).length;
}

function verdict(outcome: PlanOutcome): string {
  const conflicts = outcome.conflicts.length === 0 ? "No conflicts." : `${outcome.conflicts.length} conflicts.`;
  switch (outcome.bound.kind) {
    case "optimal":
      return `${conflicts} Cost ${outcome.cost.total}, proven optimal.`;
    case "within":
      return `${conflicts} Cost ${outcome.cost.total}, within ${outcome.bound.percent.toFixed(1)} % of a proven bound (${outcome.bound.lowerBound}).`;
    case "none":
      return `${conflicts} Cost ${outcome.cost.total}; no useful bound is known for this shop.`;
  }
}
