/**
 * A shop in which some reasons are taken away: a link dropped, a machine open all day, other work out of the plan. Used to try
 * whether an earlier place is then allowed. Only what the reasons name is changed.
 */
import { CALENDAR_LEAD_MINUTES, type Minute } from "../calendar/minute.ts";
import { constantStep, type StepFunction } from "../calendar/step-function.ts";
import type { Operation, OperationId } from "../orders/operation.ts";
import type { Plan, PlannedOperation } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import type { Reason } from "./reason.ts";

export type Relaxed = {
  readonly problem: Problem;
  readonly plan: Plan;
  /** Frozen work that must stay. */
  readonly kept: readonly PlannedOperation[];
};

/** Reasons that are taken away by leaving other work out of the plan. */
const BY_LEAVING_OUT: ReadonlySet<Reason["kind"]> = new Set(["machineBusy", "crewBusy", "supplyTaken", "kitHeld", "setup"]);

/** `earliest` is a minute before any that will be tried. */
export function relax(shop: Relaxed, operation: OperationId, reasons: readonly Reason[], earliest: Minute): Relaxed {
  const gone = leftOut(operation, reasons);
  return {
    problem: relaxedProblem(shop.problem, operation, reasons, earliest),
    plan: { operations: shop.plan.operations.filter((planned) => !gone.has(planned.operation)) },
    kept: shop.kept.filter(
      (planned) =>
        !gone.has(planned.operation) && !(planned.operation === operation && reasons.some(({ kind }) => kind === "frozen")),
    ),
  };
}

export function leftOut(operation: OperationId, reasons: readonly Reason[]): ReadonlySet<OperationId> {
  const all = reasons.filter(({ kind }) => BY_LEAVING_OUT.has(kind)).flatMap(({ operations }) => operations);
  return new Set(all.filter((id) => id !== operation));
}

/** What the relaxed problem depends on, so that equal ones can be shared. */
export const problemKey = (reasons: readonly Reason[]): string =>
  reasons
    .filter(({ kind }) => !BY_LEAVING_OUT.has(kind))
    .map(({ kind, resource }) => `${kind} ${resource}`)
    .sort()
    .join("\n");

export function relaxedProblem(problem: Problem, operation: OperationId, reasons: readonly Reason[], earliest: Minute): Problem {
  return reasons.reduce((relaxed, reason) => without(relaxed, operation, reason, earliest), problem);
}

function without(problem: Problem, id: OperationId, { kind, resource, operations }: Reason, earliest: Minute): Problem {
  const own = (change: (operation: Operation) => Operation): Problem => ({
    ...problem,
    operations: problem.operations.map((operation) => (operation.id === id ? change(operation) : operation)),
  });
  const span: readonly [Minute, Minute] = [Math.min(earliest, -CALENDAR_LEAD_MINUTES), problem.horizon];
  const always = (step: StepFunction): StepFunction => constantStep(span[0], span[1], Math.max(0, ...step.value));
  switch (kind) {
    case "now":
      return { ...problem, now: Math.min(problem.now, earliest) };
    case "release":
      return {
        ...problem,
        orders: problem.orders.map((order) =>
          problem.operations.some((operation) => operation.id === id && operation.order === order.id)
            ? { ...order, release: Math.min(order.release, earliest) }
            : order,
        ),
      };
    case "window":
      return own((operation) => ({ ...operation, window: { ...operation.window, start: null } }));
    case "pinned":
      return own((operation) => ({ ...operation, pin: null }));
    case "phaseWait":
      return own((operation) => ({
        ...operation,
        modes: operation.modes.map((mode) => ({ ...mode, phases: mode.phases.map((phase) => ({ ...phase, maxWait: null })) })),
      }));
    case "nobodyToStart":
      return own((operation) => ({ ...operation, selfStart: true }));
    case "calibration":
      return {
        ...problem,
        operations: problem.operations.map((operation) =>
          operation.id === id || operations.includes(operation.id) ? { ...operation, needsCalibrations: [] } : operation,
        ),
      };
    case "runHours":
      return { ...problem, runHourRules: problem.runHourRules.filter((rule) => rule.id !== resource) };
    case "link":
    case "transfer":
    case "useWithin":
    case "endsLater":
      return { ...problem, links: problem.links.filter((link) => link.id !== resource) };
    case "machineClosed":
      return {
        ...problem,
        machines: problem.machines.map((machine) => (machine.id === resource ? { ...machine, open: [span] } : machine)),
        calendars: problem.calendars.map((calendar) => (calendar.id === resource ? { ...calendar, open: [span] } : calendar)),
      };
    case "crewAway":
      return {
        ...problem,
        crews: problem.crews.map((crew) =>
          crew.id === resource ? { ...crew, headcount: always(crew.headcount), present: [span] } : crew,
        ),
      };
    case "supplyLow":
      return {
        ...problem,
        supplies: problem.supplies.map((supply) =>
          supply.id === resource ? { ...supply, amount: always(supply.amount) } : supply,
        ),
      };
    case "unattended":
      return {
        ...problem,
        machines: problem.machines.map((machine) =>
          machine.id === resource ? { ...machine, unattended: { kind: "allowed", windows: null, maxMinutes: null } } : machine,
        ),
      };
    case "machineBusy":
    case "crewBusy":
    case "supplyTaken":
    case "kitHeld":
    case "setup":
    case "frozen":
    case "running":
    case "done":
    case "other":
      return problem;
  }
}
