/**
 * What publishing a plan changes, and for whom: by machine and by crew, which orders become late, which conflicts are left.
 * Pure. Running and done work is no news and is left out; crews concern only work from now on.
 */
import type { OperationChange, PlanChanges } from "../../contract/api/plan.ts";
import { check } from "../../core/check/checker.ts";
import type { CheckResult } from "../../core/check/conflict.ts";
import type { Operation } from "../../core/orders/operation.ts";
import type { Plan, PlannedOperation } from "../../core/problem/plan.ts";
import type { Problem } from "../../core/problem/problem.ts";
import { inWords } from "./dates.ts";
import { summaries } from "./list-orders.ts";

type Placed = NonNullable<OperationChange["before"]>;

export function planChanges(
  problem: Problem,
  before: Plan,
  after: Plan,
  result: CheckResult = check(problem, after),
): PlanChanges {
  const was = new Map(before.operations.map((planned) => [planned.operation, planned]));
  const becomes = new Map(after.operations.map((planned) => [planned.operation, planned]));
  const changes = problem.operations.flatMap((operation) => {
    if (operation.progress.running.length > 0) return [];
    const change = changeOf(
      problem,
      operation,
      placed(operation, was.get(operation.id)),
      placed(operation, becomes.get(operation.id)),
    );
    return change ? [change] : [];
  });
  const lateBefore = new Map(summaries(problem, before).map((order) => [order.id, order]));
  const now = summaries(problem, after);
  return {
    machines: grouped(changes, [...problem.machines, { id: "", name: "Without a machine" }], (place) =>
      place.machines.length === 0 ? [""] : place.machines,
    ),
    crews: grouped(changes, problem.crews, (place) => place.crews),
    changed: changes.length,
    becomeLate: now.flatMap((order) => {
      const earlier = lateBefore.get(order.id);
      if (order.late === 0 || order.completion === null || order.due === null || (earlier?.late ?? 0) > 0) return [];
      return [
        {
          order: order.id,
          name: order.name,
          due: order.due,
          before: earlier?.completion ?? null,
          after: order.completion,
          late: order.late,
        },
      ];
    }),
    noLongerLate: now
      .filter((order) => order.late === 0 && (lateBefore.get(order.id)?.late ?? 0) > 0)
      .map(({ id, name }) => ({ order: id, name })),
    conflicts: result.conflicts.map((conflict) => ({
      ...conflict,
      operations: [...conflict.operations],
      interval: [...conflict.interval],
    })),
  };
}

function placed(operation: Operation, planned: PlannedOperation | undefined): Placed | null {
  const [first] = planned?.lots ?? [];
  if (!planned || !first) return null;
  const machines = new Set(planned.lots.flatMap((lot) => operation.modes.find((mode) => mode.id === lot.mode)?.machines ?? []));
  const crews = new Set(planned.lots.flatMap((lot) => lot.phases.flatMap((phase) => phase.crews)));
  return {
    start: first.start,
    end: Math.max(...planned.lots.map((lot) => lot.end)),
    machines: [...machines].sort(),
    crews: [...crews].sort(),
    lots: planned.lots.length,
  };
}

const same = (a: readonly string[], b: readonly string[]): boolean => a.length === b.length && a.every((x, i) => x === b[i]);

function changeOf(problem: Problem, operation: Operation, before: Placed | null, after: Placed | null): OperationChange | null {
  const base = { operation: operation.id, name: operation.name, order: operation.order, before, after };
  const when = (minute: number) => inWords(problem, minute);
  if (!before && !after) return null;
  if (!before && after)
    return { ...base, kind: "added", sentence: `${operation.name} is new: ${when(after.start)} to ${when(after.end)}.` };
  if (before && !after)
    return { ...base, kind: "removed", sentence: `${operation.name} is taken out (it was planned for ${when(before.start)}).` };
  if (!before || !after) return null;
  const parts = [
    ...(before.start !== after.start ? [`starts ${when(after.start)} instead of ${when(before.start)}`] : []),
    ...(before.start === after.start && before.end !== after.end
      ? [`ends ${when(after.end)} instead of ${when(before.end)}`]
      : []),
    ...(same(before.machines, after.machines)
      ? []
      : [`on ${named(problem.machines, after.machines)} instead of ${named(problem.machines, before.machines)}`]),
    ...(same(before.crews, after.crews)
      ? []
      : [`by ${named(problem.crews, after.crews)} instead of ${named(problem.crews, before.crews)}`]),
    ...(before.lots === after.lots ? [] : [`in ${after.lots} lots instead of ${before.lots}`]),
  ];
  return parts.length === 0 ? null : { ...base, kind: "moved", sentence: `${operation.name}: ${parts.join(", ")}.` };
}

const named = (list: readonly { id: string; name: string }[], ids: readonly string[]): string =>
  ids.length === 0 ? "nobody" : ids.map((id) => list.find((entry) => entry.id === id)?.name ?? id).join(" and ");

function grouped(
  changes: readonly OperationChange[],
  list: readonly { id: string; name: string }[],
  of: (place: Placed) => readonly string[],
): PlanChanges["machines"] {
  return list.flatMap(({ id, name }) => {
    const own = changes.filter((change) =>
      [change.before, change.after].some((place) => place !== null && of(place).includes(id)),
    );
    const start = (change: OperationChange) => change.after?.start ?? change.before?.start ?? 0;
    return own.length === 0 ? [] : [{ id, name, changes: [...own].sort((a, b) => start(a) - start(b)) }];
  });
}
