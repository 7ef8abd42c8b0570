/** `slotwright compare`: two plans of one problem on the same measures. The last line on stdout is one JSON object. */
import { parseArgs } from "node:util";
import { comparePlans, type PlanMeasures } from "../core/scenario/comparison.ts";
import { CommandFailure } from "./failure.ts";
import { formatNamed, readPlan, readProblem } from "./read-input.ts";

export const COMPARE_HELP = `slotwright compare <problem> <planA> <planB> [options]
  Puts two plans side by side: cost, late orders, setups, night and unsocial work, load, what moves and who is told anew.
  --format F   format of the problem: json (default for .json), jobshop, flexible, setup, rcpsp`;

const ROWS: readonly (readonly [label: string, pick: (measures: PlanMeasures) => number])[] = [
  ["conflicts", ({ conflicts }) => conflicts],
  ["cost", ({ cost }) => cost.total],
  ["late orders", ({ lateOrders }) => lateOrders],
  ["lateness, minutes", ({ lateMinutes }) => lateMinutes],
  ["latest end, minute", ({ end }) => end],
  ["disturbance", ({ cost }) => cost.parts.disturbance],
  ["setup, minutes", ({ setupMinutes }) => setupMinutes],
  ["waiting, minutes", ({ waitingMinutes }) => waitingMinutes],
  ["unsocial, person-minutes", ({ unsocialPersonMinutes }) => unsocialPersonMinutes],
  ["night runs, minutes", ({ unattendedNightMinutes }) => unattendedNightMinutes],
];

export function compareCommand(args: string[]): number {
  const { values, positionals } = parseArgs({ args, allowPositionals: true, options: { format: { type: "string" } } });
  const [problemFile, firstFile, secondFile, ...rest] = positionals;
  if (problemFile === undefined || firstFile === undefined || secondFile === undefined || rest.length > 0)
    throw new CommandFailure(COMPARE_HELP);
  const problem = readProblem(problemFile, formatNamed(values.format, problemFile));
  const comparison = comparePlans(problem, readPlan(firstFile, problem), readPlan(secondFile, problem));
  const [first, second] = comparison.measures;
  for (const [label, pick] of ROWS)
    console.log(`${label.padEnd(26)} ${`${pick(first)}`.padStart(14)} ${`${pick(second)}`.padStart(14)}`);
  for (const { order, moved, becomesLate, becomesOnTime } of comparison.orders)
    console.log(
      `order ${order}: ${moved === null ? "only in one" : `${moved > 0 ? "+" : ""}${moved} min`}${becomesLate ? ", becomes late" : ""}${becomesOnTime ? ", becomes on time" : ""}`,
    );
  console.log(JSON.stringify(comparison));
  return 0;
}
