/**
 * Can the shop take this contract on? Given a plan with the contract's orders in it: week by week how many of them come in time, how
 * full machines and crews are, and where it breaks first. "Breaks" means: an order of the contract is promised in that week and comes
 * later, or an order that was in time without the contract is late with it. The bottleneck is the fullest of the machines and crews
 * that could have served the broken order, counted up to the end of that week. A plan found by a search may break where a better one
 * would not; it never hides a break.
 */
import type { Minute } from "../calendar/minute.ts";
import type { StepFunction } from "../calendar/step-function.ts";
import type { OrderId } from "../orders/order.ts";
import { weeksOf } from "../plan/night-hours.ts";
import type { CrewId } from "../plant/crew.ts";
import type { MachineId } from "../plant/machine.ts";
import type { Plan } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { endsByOrder, lotsByOperation } from "./comparison.ts";
import { peopleUsed } from "./overtime.ts";
import { loadUntil, type Side } from "./side-by-side.ts";

export type Fullness = {
  readonly kind: "machine" | "crew";
  readonly id: MachineId | CrewId;
  readonly used: number;
  readonly there: number;
};

export type ContractWeek = {
  /** Monday, YYYY-MM-DD in the site's zone. */
  readonly week: string;
  readonly start: Minute;
  readonly end: Minute;
  /** Orders of the contract promised in that week, and how many of them come later or not at all. */
  readonly due: number;
  readonly late: number;
  readonly worstLate: Minute;
  /** Machine-minutes held of those open; person-minutes needed of those on shift. */
  readonly load: readonly Fullness[];
};

export type ContractBreak = {
  readonly week: string;
  readonly order: OrderId;
  readonly late: Minute | null;
  /** An order of the contract, or one that was there before. */
  readonly whose: "contract" | "other";
  readonly bottleneck: Fullness | null;
};

export type ContractLoad = {
  readonly weeks: readonly ContractWeek[];
  /** null: it holds to the end. */
  readonly breaks: ContractBreak | null;
  readonly orders: number;
  readonly lateOrders: number;
  /** Orders that were there before and become late, or later, through it. */
  readonly harmed: readonly { readonly order: OrderId; readonly before: Minute; readonly after: Minute | null }[];
};

export function contractLoad(before: Side, { problem, plan }: Side, contract: ReadonlySet<OrderId>): ContractLoad {
  const ends = endsByOrder(problem, lotsByOperation(plan));
  const old = endsByOrder(before.problem, lotsByOperation(before.plan));
  const whole = new Set(problem.orders.map(({ id }) => id));
  const planned = new Set(plan.operations.map(({ operation }) => operation));
  for (const operation of problem.operations)
    if (!planned.has(operation.id) && operation.progress.done.length === 0) whole.delete(operation.order);
  const lateOf = (id: OrderId, due: Minute): Minute | null => {
    const end = ends.get(id);
    return end === undefined || !whole.has(id) ? null : Math.max(0, end - due);
  };
  const promised = problem.orders.flatMap(({ id, due }) => (due === null ? [] : [{ id, due, late: lateOf(id, due) }]));
  const mine = promised.filter(({ id }) => contract.has(id));
  const dues = new Map(before.problem.orders.map(({ id, due }) => [id, due]));
  const harmed = promised.flatMap(({ id, late, due }) => {
    const [end, oldDue] = [old.get(id), dues.get(id)];
    if (contract.has(id) || end === undefined || oldDue === undefined || oldDue === null) return [];
    const was = Math.max(0, end - oldDue);
    return late === null || late > was ? [{ order: id, before: was, after: late, due, broken: was === 0 }] : [];
  });
  const last = Math.max(problem.now, ...mine.map(({ due, id }) => Math.max(due, ends.get(id) ?? due)));
  const used = peopleUsed(problem, plan);
  const weeks = weeksOf(problem, problem.now, Math.min(last + 1, problem.horizon)).map(({ week, start, end }): ContractWeek => {
    const here = mine.filter(({ due }) => start < due && due <= end);
    const late = here.filter((order) => order.late === null || order.late > 0);
    return {
      ...{ week, start, end },
      due: here.length,
      late: late.length,
      worstLate: Math.max(0, ...late.map((order) => order.late ?? 0)),
      load: fullness(problem, plan, used, start, end),
    };
  });
  const broken = [
    ...mine.filter(({ late }) => late !== 0).map((order) => ({ ...order, whose: "contract" as const })),
    ...harmed
      .filter((order) => order.broken)
      .map(({ order, due, after }) => ({ id: order, due, late: after, whose: "other" as const })),
  ].sort((a, b) => a.due - b.due || Number(a.whose === "other") - Number(b.whose === "other"));
  return {
    weeks,
    breaks: firstBreak(problem, plan, used, weeks, broken[0]),
    orders: mine.length,
    lateOrders: mine.filter(({ late }) => late !== 0).length,
    harmed: harmed.map(({ order, before: was, after }) => ({ order, before: was, after })),
  };
}

function firstBreak(
  problem: Problem,
  plan: Plan,
  used: ReadonlyMap<CrewId, StepFunction>,
  weeks: readonly ContractWeek[],
  broken: { id: OrderId; due: Minute; late: Minute | null; whose: ContractBreak["whose"] } | undefined,
): ContractBreak | null {
  if (broken === undefined) return null;
  const week = weeks.find(({ start, end }) => start < broken.due && broken.due <= end) ?? weeks[0];
  const modes = problem.operations.filter(({ order }) => order === broken.id).flatMap((operation) => operation.modes);
  const machines = new Set<string>(modes.flatMap((mode) => mode.machines));
  const skills = new Set<string>(modes.flatMap(({ phases }) => phases.flatMap(({ needs }) => needs.map(({ skill }) => skill))));
  const crews = new Set<string>(
    problem.crews.filter((crew) => crew.skills.some((skill) => skills.has(skill))).map(({ id }) => id),
  );
  const until = Math.max(broken.due, week?.end ?? broken.due);
  const candidates = fullness(problem, plan, used, problem.now, Math.min(until, problem.horizon)).filter(
    ({ kind, id, there }) => there > 0 && (kind === "machine" ? machines : crews).has(id),
  );
  const bottleneck = candidates.sort((a, b) => b.used / b.there - a.used / a.there)[0] ?? null;
  return { week: week?.week ?? "", order: broken.id, late: broken.late, whose: broken.whose, bottleneck };
}

function fullness(
  problem: Problem,
  plan: Plan,
  used: ReadonlyMap<CrewId, StepFunction>,
  from: Minute,
  until: Minute,
): readonly Fullness[] {
  return [
    ...loadUntil(problem, plan, until, from).map(
      ({ machine, occupied, open }): Fullness => ({ kind: "machine", id: machine, used: occupied, there: open }),
    ),
    ...problem.crews.map(
      ({ id, headcount }): Fullness => ({
        kind: "crew",
        id,
        used: total(used.get(id), from, until),
        there: total(headcount, from, until),
      }),
    ),
  ];
}

/** Person-minutes in a stretch. */
function total(step: StepFunction | undefined, from: Minute, until: Minute): number {
  if (step === undefined) return 0;
  const sum = step.at.reduce((so, at, i) => {
    const minutes = Math.min(step.at[i + 1] ?? at, until) - Math.max(at, from);
    return so + Math.max(0, minutes) * (step.value[i] ?? 0);
  }, 0);
  return Math.round(sum / 100);
}
