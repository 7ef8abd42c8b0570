/**
 * A problem with the changes of a what-if in it, for whoever has the shop's file and the problem as of now: the changed file is
 * compiled anew, and what really happened meanwhile (progress, counters, the plan in force) comes from the problem. Faults name their
 * place in the file.
 */
import type { Fault } from "../../core/ground/result.ts";
import { err, ok, type Result } from "../../core/ground/result.ts";
import type { Problem } from "../../core/problem/problem.ts";
import { compileProblem } from "../file/compile-problem.ts";
import type { ProblemFile } from "../problem-file.ts";
import type { ScenarioChange } from "./change.ts";
import { applyChanges } from "./edits-of-changes.ts";

export function changedProblem(
  shop: ProblemFile,
  asOfNow: Problem,
  changes: readonly ScenarioChange[],
): Result<Problem, readonly Fault[]> {
  const { file, troubles } = applyChanges(shop, changes);
  if (troubles.length > 0)
    return err(troubles.map(({ change, field, message }) => ({ at: `changes[${change}].${field}`, message })));
  const { problem, faults } = compileProblem(file);
  if (problem === null || faults.length > 0) return err(faults);
  const known = new Map(asOfNow.operations.map((operation) => [operation.id, operation]));
  const counters = new Map(asOfNow.runHourRules.map((rule) => [rule.id, rule.counter]));
  return ok({
    ...problem,
    now: asOfNow.now,
    horizon: asOfNow.horizon,
    freeze: asOfNow.freeze,
    published: asOfNow.published,
    operations: problem.operations.map((operation) => {
      const old = known.get(operation.id);
      if (old === undefined) return operation;
      const starts = [operation.window.start, old.window.start].flatMap((start) => start ?? []);
      const window = { ...operation.window, start: starts.length === 0 ? null : Math.max(...starts) };
      return { ...operation, progress: old.progress, window };
    }),
    runHourRules: problem.runHourRules.map((rule) => ({ ...rule, counter: counters.get(rule.id) ?? rule.counter })),
  });
}
