/** `slotwright check`: judges a plan file against a problem. Exit 1 and the list when conflicts exist. */
import { parseArgs } from "node:util";
import { check } from "../core/check/checker.ts";
import { CommandFailure } from "./failure.ts";
import { formatNamed, readPlan, readProblem } from "./read-input.ts";

export const CHECK_HELP = `slotwright check <problem> <plan> [options]
  Lists every conflict of the plan; exit code 1 when there are any.
  --format F   format of the problem: json (default for .json), jobshop, flexible, setup, rcpsp
  --json       the whole list with the cost as one JSON object`;

export function checkCommand(args: string[]): number {
  const { values, positionals } = parseArgs({
    args,
    allowPositionals: true,
    options: { format: { type: "string" }, json: { type: "boolean" } },
  });
  const [problemFile, planFile, ...rest] = positionals;
  if (problemFile === undefined || planFile === undefined || rest.length > 0) throw new CommandFailure(CHECK_HELP);
  const problem = readProblem(problemFile, formatNamed(values.format, problemFile));
  const result = check(problem, readPlan(planFile, problem));
  if (values.json) console.log(JSON.stringify(result));
  else {
    for (const [i, conflict] of result.conflicts.entries()) console.log(`${i + 1}. ${conflict.kind}: ${conflict.sentence}`);
    console.log(
      result.conflicts.length === 0 ? `No conflicts. Cost ${result.cost.total}.` : `${result.conflicts.length} conflicts.`,
    );
  }
  return result.conflicts.length === 0 ? 0 : 1;
}
