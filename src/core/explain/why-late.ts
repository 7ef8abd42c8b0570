/**
 * Why an order is late: from its last work back to a root, each step held by the one before it. A step follows the first binding
 * of why-here.ts that names other work (links first); where none does, the step is the root and its calendars, dates or choices
 * are the answer. Calendars on the way are told in the step's sentences. A step also says how long the work itself takes and how
 * long it lasts, since a lot may be late for its own rests and waits. Cost: one why-here for each step.
 */
import { totalMinutes } from "../calendar/intervals.ts";
import type { Minute } from "../calendar/minute.ts";
import { sayDuration } from "../check/wording.ts";
import { present } from "../ground/invariant.ts";
import type { OperationId } from "../orders/operation.ts";
import type { OrderId } from "../orders/order.ts";
import type { Plan } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { nameOf, type Reason } from "./reason.ts";
import { type WhyHere, whyHere } from "./why-here.ts";

export type LateStep = {
  readonly operation: OperationId;
  readonly lot: number;
  readonly start: Minute;
  readonly end: Minute;
  readonly workMinutes: Minute;
  /** What held its start: followed to the next step, or the root. */
  readonly reasons: readonly Reason[];
  /** The work to follow next; null: the root. */
  readonly follows: OperationId | null;
  readonly sentence: string;
};

export type WhyLate = {
  readonly order: OrderId;
  readonly due: Minute;
  readonly end: Minute;
  readonly lateMinutes: Minute;
  /** From the last work back to the root. */
  readonly steps: readonly LateStep[];
};

const STEPS_MAX = 25;

/** null: the order is not late, has no due minute, or nothing of it is planned. */
export function whyLate(problem: Problem, plan: Plan, order: OrderId): WhyLate | null {
  const due = problem.orders.find(({ id }) => id === order)?.due ?? null;
  const own = new Set(problem.operations.filter((operation) => operation.order === order).map(({ id }) => id));
  const lots = plan.operations.flatMap(({ operation, lots: planned }) =>
    own.has(operation) ? planned.map((lot, index) => ({ operation, index, end: lot.end })) : [],
  );
  const last = lots.toSorted((a, b) => b.end - a.end)[0];
  if (due === null || last === undefined || last.end <= due) return null;
  const steps: LateStep[] = [];
  const seen = new Set<string>();
  let at: { operation: OperationId; index: number } | null = last;
  while (at !== null && steps.length < STEPS_MAX && !seen.has(`${at.operation} ${at.index}`)) {
    seen.add(`${at.operation} ${at.index}`);
    const why = whyHere(problem, plan, at.operation, at.index);
    if (why === null) break;
    const step = stepOf(problem, plan, why);
    steps.push(step);
    at = step.follows === null ? null : { operation: step.follows, index: latestLot(plan, step.follows, why.start) };
  }
  return { ...{ order, due, end: last.end }, lateMinutes: last.end - due, steps };
}

/** The lot of the other work that ends last before the start, else its last. */
function latestLot(plan: Plan, operation: OperationId, start: Minute): number {
  const lots = plan.operations.find((planned) => planned.operation === operation)?.lots ?? [];
  const before = lots.findLastIndex(({ end }) => end <= start);
  return before >= 0 ? before : Math.max(0, lots.length - 1);
}

const FOLLOWED: readonly Reason["kind"][] = [
  "link",
  "transfer",
  "machineBusy",
  "crewBusy",
  "supplyTaken",
  "kitHeld",
  "calibration",
];

function stepOf(problem: Problem, plan: Plan, why: WhyHere): LateStep {
  const lot = present(plan.operations.find(({ operation }) => operation === why.operation)?.lots[why.lot], "lot");
  const workMinutes = lot.phases.reduce((sum, { work }) => sum + totalMinutes(work), 0);
  // An earlier start that ends no earlier would merely wait: it is no root.
  const choice = why.choice !== null && why.choice.lot.end < why.end;
  // Only work that began before is a cause; what comes after merely has no room to make way.
  const begins = new Map(plan.operations.map(({ operation, lots }) => [operation, lots[0]]));
  const before = ({ operations }: Reason): readonly OperationId[] =>
    operations
      .filter((id) => id !== why.operation && (begins.get(id)?.start ?? why.start) < why.start)
      .toSorted((a, b) => (begins.get(b)?.end ?? 0) - (begins.get(a)?.end ?? 0));
  const rank = (reason: Reason): number => {
    const at = FOLLOWED.indexOf(reason.kind);
    return at < 0 || before(reason).length === 0 ? FOLLOWED.length : at;
  };
  const rankOf = (reasons: readonly Reason[]): number => Math.min(...reasons.map(rank));
  const leads = why.bindings.filter(({ reasons }) => rankOf(reasons) < FOLLOWED.length);
  const followed = choice ? undefined : (leads[0] ?? why.bindings[0]);
  const reasons = why.fact !== null ? [why.fact] : choice ? [] : (followed?.reasons ?? []);
  const toFollow = reasons.toSorted((a, b) => rank(a) - rank(b)).find((reason) => rank(reason) < FOLLOWED.length);
  const follows = toFollow === undefined ? null : (before(toFollow)[0] ?? null);
  const lasts = lot.end - lot.start;
  const rests =
    lasts > workMinutes && workMinutes > 0 ? ` It works ${sayDuration(workMinutes)} and lasts ${sayDuration(lasts)}.` : "";
  const said =
    why.fact !== null
      ? why.fact.sentence
      : choice
        ? why.choice?.sentence
        : reasons.map(({ sentence }) => sentence).join(" And: ");
  return {
    ...{ operation: why.operation, lot: why.lot, start: why.start, end: why.end, workMinutes, reasons, follows },
    sentence: `${nameOf(problem, why.operation)}: ${said === undefined || said === "" ? why.sentences.join(" ") : said}${rests}`,
  };
}
