/** `slotwright promise`: the earliest honest date for an order. The last line on stdout is one JSON object. */
import { parseArgs } from "node:util";
import { writePlanFile } from "../contract/plan-file.ts";
import { localText, wallClock } from "../core/calendar/wall-clock.ts";
import { type PromiseDate, promise } from "../core/plan/promise.ts";
import { CommandFailure } from "./failure.ts";
import { SEED_MAX, wholeOption } from "./options.ts";
import { readOrder } from "./order-file.ts";
import { readPlan, readProblem } from "./read-input.ts";

export const PROMISE_HELP = `slotwright promise <problem> <plan> --order FILE [options]
  When an order can be ready: without moving anybody, and with moves that break no promise. Exit code 1: not before the horizon.
  --order FILE    one order as in the problem file, with optional links and kitSpans; {"id": "..."} for one of the problem's own
  --still         only without moving anybody
  --seed K        whole number (default 1)
  For dates at a confidence: slotwright risk on the plan of the answer.`;

export function promiseCommand(args: string[]): number {
  const { values, positionals } = parseArgs({
    args,
    allowPositionals: true,
    options: { order: { type: "string" }, still: { type: "boolean" }, seed: { type: "string" } },
  });
  const [problemFile, planFile, ...rest] = positionals;
  if (problemFile === undefined || planFile === undefined || values.order === undefined || rest.length > 0)
    throw new CommandFailure(PROMISE_HELP);
  const seed = wholeOption("seed", values.seed, 0, SEED_MAX) ?? 1;
  const problem = readProblem(problemFile, "json");
  const plan = readPlan(planFile, problem);
  const outcome = promise(problem, plan, readOrder(values.order, problemFile, problem), {
    seed,
    onlyAsItStands: values.still ?? false,
  });
  if (!outcome.ok) throw new CommandFailure(`${values.order}: ${outcome.error.at}: ${outcome.error.message}`);
  const { asItStands, withMoves, assumptions, blocked, due, order } = outcome.value;
  const clock = wallClock(problem.zone, problem.origin);
  const written = (date: PromiseDate | null) =>
    date && {
      finish: date.finish,
      finishAt: localText(clock, date.finish),
      moved: date.answer.difference.moved,
      operations: date.answer.operations,
      plan: writePlanFile(outcome.value.problem, date.answer.plan),
    };
  console.log(
    asItStands === null
      ? "It does not fit before the horizon without moving others."
      : `Without moving anybody: ${localText(clock, asItStands.finish)}`,
  );
  if (withMoves !== null)
    console.log(
      `With ${withMoves.answer.difference.moved.length} moves that break no promise: ${localText(clock, withMoves.finish)}`,
    );
  for (const sentence of blocked.slice(0, 20)) console.log(`in the way: ${sentence}`);
  console.log(
    JSON.stringify({ order, due, asItStands: written(asItStands), withMoves: written(withMoves), assumptions, blocked }),
  );
  return asItStands === null && withMoves === null ? 1 : 0;
}
