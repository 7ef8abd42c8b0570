/**
 * A problem with the changes of a what-if in it, for whoever has the shop's file and the problem as of now: the changed file is
 * compiled anew, and what really happened meanwhile (progress, counters, the plan in force) comes from the problem. Faults name their
 * place in the file.
 */
import type { Fault } from "../../core/ground/result.ts";
import { err, ok, type Result } from "../../core/ground/result.ts";
import type { Problem } from "../../core/problem/problem.ts";
import type { ShopEdit } from "../api/step.ts";
import { compileProblem } from "../file/compile-problem.ts";
import type { ProblemFile } from "../problem-file.ts";
import type { ScenarioChange } from "./change.ts";
import { applyChanges } from "./edits-of-changes.ts";

export function changedProblem(
  shop: ProblemFile,
  asOfNow: Problem,
  changes: readonly ScenarioChange[],
): Result<Problem, readonly Fault[]> {
  const { file, edits, troubles } = applyChanges(shop, changes);
  if (troubles.length > 0)
    return err(troubles.map(({ change, field, message }) => ({ at: `changes[${change}].${field}`, message })));
  const quick = hoursAlone(file, edits, asOfNow);
  if (quick !== null) return ok(quick);
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

/**
 * Where hours of some machines and crews are all that changes, only those are compiled: a tenth of the work, for who tries dozens of
 * such changes. null: something else changes too, or is not as it should be.
 */
function hoursAlone(file: ProblemFile, edits: readonly ShopEdit[], asOfNow: Problem): Problem | null {
  const edited = (kind: ShopEdit["kind"]): ReadonlySet<string> =>
    new Set(edits.flatMap((edit) => (edit.kind === kind ? [edit.id] : [])));
  const [calendars, machines, crews] = [edited("calendars"), edited("machines"), edited("crews")];
  if (edits.length === 0 || edits.length > calendars.size + machines.size + crews.size) return null;
  if (edits.some(({ after }) => after === null)) return null;
  const changing = [...file.supplies, ...file.kits].flatMap(({ changes }) => changes);
  const modes = file.orders.flatMap(({ operations }) => operations.flatMap((operation) => operation.modes));
  if (changing.some((change) => "calendar" in change && calendars.has(change.calendar))) return null;
  if (modes.some(({ calendar }) => calendar !== null && calendars.has(calendar))) return null;
  const uses = (calendar: string | null): boolean => calendar !== null && calendars.has(calendar);
  const touched: ProblemFile = {
    ...file,
    machines: file.machines.filter(
      ({ id, calendar, unattended }) =>
        machines.has(id) || uses(calendar) || (unattended.kind === "allowed" && uses(unattended.windows)),
    ),
    crews: file.crews.filter(({ id, calendar }) => crews.has(id) || uses(calendar)),
    ...{ supplies: [], kits: [], orders: [], links: [], kitSpans: [], runHourRules: [], published: null },
  };
  const named = new Set([
    ...touched.machines.flatMap(({ calendar, unattended }) => [
      calendar,
      unattended.kind === "allowed" ? unattended.windows : null,
    ]),
    ...touched.crews.map(({ calendar }) => calendar),
  ]);
  const { problem, faults } = compileProblem({ ...touched, calendars: file.calendars.filter(({ id }) => named.has(id)) });
  if (problem === null || faults.length > 0) return null;
  const known = (list: readonly { readonly id: string }[], of: readonly { readonly id: string }[]): boolean =>
    list.every(({ id }) => of.some((old) => old.id === id));
  if (!known(problem.machines, asOfNow.machines) || !known(problem.crews, asOfNow.crews)) return null;
  const machineOf = new Map(problem.machines.map((machine) => [machine.id, machine]));
  const crewOf = new Map(problem.crews.map((crew) => [crew.id, crew]));
  return {
    ...asOfNow,
    machines: asOfNow.machines.map((machine) => machineOf.get(machine.id) ?? machine),
    crews: asOfNow.crews.map((crew) => crewOf.get(crew.id) ?? crew),
  };
}
