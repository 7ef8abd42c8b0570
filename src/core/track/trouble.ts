/**
 * Trouble, one edit each: the problem as it is once a machine stands still, a person is away, material comes late, pieces are scrapped,
 * a run stops, or the customer changes date or quantity. Pure edits that change nothing else; each says in a sentence what was
 * changed. What it breaks is asked with `breakage`, how to mend it with plan/repair.ts; undoing is keeping the problem of before.
 * An edit that contradicts what has already happened is refused as a fault.
 */

import { type Intervals, subtract, union } from "../calendar/intervals.ts";
import type { Interval, Minute } from "../calendar/minute.ts";
import { type StepFunction, sumOfSteps, valueAt } from "../calendar/step-function.ts";
import { check } from "../check/checker.ts";
import type { Conflict } from "../check/conflict.ts";
import { err, type Fault, ok, type Result } from "../ground/result.ts";
import { type Operation, type OperationId, piecesBegun } from "../orders/operation.ts";
import { type Order, type OrderId, piecesToStart } from "../orders/order.ts";
import { newConflicts } from "../plan/new-conflicts.ts";
import { type OrderShift, orderCompletions } from "../plan/plan-difference.ts";
import type { CrewId } from "../plant/crew.ts";
import type { MachineId } from "../plant/machine.ts";
import type { Plan } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";

export type Trouble =
  /** until null: nobody knows; counted as standing to the horizon. */
  | {
      readonly kind: "machineStopped";
      readonly machine: MachineId;
      readonly from: Minute;
      readonly until: Minute | null;
      readonly reason: string;
    }
  /** people null: the whole crew. Hundredths of a person. */
  | {
      readonly kind: "personAbsent";
      readonly crew: CrewId;
      readonly from: Minute;
      readonly until: Minute;
      readonly people: number | null;
    }
  | { readonly kind: "materialLate"; readonly order: OrderId; readonly release: Minute }
  /**
   * The running lot stands still and has so many worked minutes of its phase left: a night run found stopped, a run that takes longer.
   * lot: which of several that run side by side, from 0 in the order of their starts.
   */
  | { readonly kind: "runStopped"; readonly operation: OperationId; readonly lot?: number; readonly remaining: Minute }
  /** null: nothing is promised any more; left out: as before. */
  | { readonly kind: "dateChanged"; readonly order: OrderId; readonly due?: Minute | null; readonly deadline?: Minute | null }
  | { readonly kind: "quantityChanged"; readonly order: OrderId; readonly quantity: number };

export function withTrouble(problem: Problem, trouble: Trouble): Result<Problem, Fault> {
  switch (trouble.kind) {
    case "machineStopped":
      return machineStopped(problem, trouble);
    case "personAbsent":
      return personAbsent(problem, trouble);
    case "materialLate":
      return withOrder(problem, trouble.order, (order) => ({ ...order, release: trouble.release }));
    case "runStopped":
      return runStopped(problem, trouble);
    case "dateChanged":
      return withOrder(problem, trouble.order, (order) => ({
        ...order,
        due: trouble.due === undefined ? order.due : trouble.due,
        deadline: trouble.deadline === undefined ? order.deadline : trouble.deadline,
      }));
    case "quantityChanged":
      return quantityChanged(problem, trouble);
  }
}

/** What a change of the problem does to a plan that stays as it is. */
export type Breakage = {
  /** Conflicts that the plan had not before. */
  readonly conflicts: readonly Conflict[];
  /** Conflicts that are gone. */
  readonly gone: readonly Conflict[];
  /** Orders whose lateness changes although nothing moved: their date did. */
  readonly orders: readonly OrderShift[];
};

export function breakage(before: Problem, after: Problem, plan: Plan): Breakage {
  const old = check(before, plan).conflicts;
  const now = check(after, plan).conflicts;
  const completion = orderCompletions(after, plan);
  const orders = after.orders.flatMap((order): OrderShift[] => {
    const known = before.orders.find(({ id }) => id === order.id);
    const end = completion.get(order.id) ?? null;
    if (known === undefined || end === null) return [];
    const late = ({ due }: Order): number => (due === null ? 0 : Math.max(0, end - due));
    return late(known) === late(order)
      ? []
      : [
          {
            order: order.id,
            weight: order.weight,
            due: order.due,
            before: end,
            after: end,
            minutes: 0,
            lateBefore: late(known),
            lateAfter: late(order),
          },
        ];
  });
  return { conflicts: newConflicts(old, now), gone: newConflicts(now, old), orders };
}

function machineStopped(
  problem: Problem,
  { machine, from, until, reason }: Trouble & { kind: "machineStopped" },
): Result<Problem, Fault> {
  if (!problem.machines.some(({ id }) => id === machine)) return unknown("machine", machine);
  const end = until ?? problem.horizon;
  if (from >= end) return err({ at: "until", message: `a stop from minute ${from} to ${end} has no length` });
  return ok({
    ...problem,
    machines: problem.machines.map((candidate) =>
      candidate.id === machine
        ? {
            ...candidate,
            open: subtract(candidate.open, [[from, end]]),
            closures: [...candidate.closures, { start: from, end, reason }].sort((a, b) => a.start - b.start),
          }
        : candidate,
    ),
  });
}

function personAbsent(
  problem: Problem,
  { crew, from, until, people }: Trouble & { kind: "personAbsent" },
): Result<Problem, Fault> {
  const found = problem.crews.find(({ id }) => id === crew);
  if (found === undefined) return unknown("crew", crew);
  if (from >= until) return err({ at: "until", message: `an absence from minute ${from} to ${until} has no length` });
  if (people !== null && (!Number.isInteger(people) || people < 1))
    return err({ at: "people", message: `${people}; expected hundredths of a person, a whole number from 1` });
  const headcount = lessWithin(found.headcount, [from, until], people);
  // who is left decides the presence; a break takes the headcount away but not the presence, so shifts are asked, not headcounts
  const inShift = sumOfSteps(
    found.shifts.map((shift) => ({ interval: [shift.start, shift.end] as const, amount: shift.people })),
  );
  const left = lessWithin(found.shifts.length > 0 ? inShift : found.headcount, [from, until], people);
  const gone = nobodyIn(left, [from, until]);
  return ok({
    ...problem,
    crews: problem.crews.map((candidate) =>
      candidate.id === crew
        ? { ...candidate, headcount, present: subtract(candidate.present, gone), unsocial: subtract(candidate.unsocial, gone) }
        : candidate,
    ),
  });
}

/** The amount with so much less inside the interval (null: nothing left there), never below 0. */
function lessWithin(step: StepFunction, [from, until]: Interval, less: number | null): StepFunction {
  const points = [...new Set([...step.at, from, until])].sort((a, b) => a - b);
  return sumOfSteps(
    points.slice(0, -1).map((start, i) => {
      const amount = valueAt(step, start);
      const inside = start >= from && start < until;
      return {
        interval: [start, points[i + 1] as Minute] as const,
        amount: inside ? (less === null ? 0 : Math.max(0, amount - less)) : amount,
      };
    }),
  );
}

function nobodyIn(step: StepFunction, [from, until]: Interval): Intervals {
  const points = [...new Set([from, ...step.at.filter((at) => at > from && at < until), until])].sort((a, b) => a - b);
  return union(
    points.slice(0, -1).flatMap((start, i): Interval[] => (valueAt(step, start) === 0 ? [[start, points[i + 1] as Minute]] : [])),
  );
}

function runStopped(problem: Problem, { operation, lot, remaining }: Trouble & { kind: "runStopped" }): Result<Problem, Fault> {
  const found = problem.operations.find(({ id }) => id === operation);
  if (found === undefined) return unknown("operation", operation);
  const { running } = found.progress;
  const stopped = lot === undefined ? running[0] : running[lot];
  if (running.length === 0) return err({ at: "operation", message: `operation ${operation} does not run` });
  if (lot === undefined && running.length > 1)
    return err({
      at: "lot",
      message: `${running.length} lots of operation ${operation} run; expected one from 0 to ${running.length - 1}`,
    });
  if (stopped === undefined)
    return err({ at: "lot", message: `${lot}; expected a lot that runs, from 0 to ${running.length - 1}` });
  if (!Number.isInteger(remaining) || remaining < 1)
    return err({ at: "remaining", message: `${remaining}; expected whole minutes from 1: what has nothing left is done` });
  return ok(
    withOperation(problem, {
      ...found,
      progress: {
        ...found.progress,
        running: running.map((each) => (each === stopped ? { ...each, remaining, working: false } : each)),
      },
    }),
  );
}

function quantityChanged(
  problem: Problem,
  { order: id, quantity }: Trouble & { kind: "quantityChanged" },
): Result<Problem, Fault> {
  const order = problem.orders.find((candidate) => candidate.id === id);
  if (order === undefined) return unknown("order", id);
  if (!Number.isInteger(quantity) || quantity < 1)
    return err({ at: "quantity", message: `${quantity}; expected a whole number of pieces from 1` });
  const toStart = piecesToStart(quantity, order.scrapPerMille);
  for (const operation of problem.operations) {
    if (operation.order !== id) continue;
    const pieces = toStart * operation.piecesPerUnit;
    const begun = piecesBegun(operation.progress);
    if (begun > pieces)
      return err({
        at: "quantity",
        message: `${begun} pieces of ${operation.id} are begun or done already; ${quantity} good ones need ${pieces}`,
      });
    if (begun > 0 && begun < pieces && operation.split === null)
      return err({
        at: "quantity",
        message: `${operation.id} has begun with ${begun} pieces and may not be split; enter the ${pieces - begun} more as an order of their own`,
      });
  }
  return ok({
    ...problem,
    orders: problem.orders.map((candidate) => (candidate.id === id ? { ...candidate, quantity } : candidate)),
    operations: problem.operations.map((operation) =>
      operation.order === id ? { ...operation, pieces: toStart * operation.piecesPerUnit } : operation,
    ),
  });
}

function withOrder(problem: Problem, id: OrderId, change: (order: Order) => Order): Result<Problem, Fault> {
  if (!problem.orders.some((order) => order.id === id)) return unknown("order", id);
  return ok({ ...problem, orders: problem.orders.map((order) => (order.id === id ? change(order) : order)) });
}

const withOperation = (problem: Problem, changed: Operation): Problem => ({
  ...problem,
  operations: problem.operations.map((operation) => (operation.id === changed.id ? changed : operation)),
});

const unknown = (what: string, id: string): Result<never, Fault> =>
  err({ at: what, message: `there is no ${what} ${id} in the problem` });
