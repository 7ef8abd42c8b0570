/**
 * Upkeep that comes again: which maintenance and calibration tasks a shop's rules ask for by now, that are not in the order
 * book yet. By days on a fixed grid, or so many days after it was last done; by run hours, as many as the planned runs need and never none; before a calibration
 * lapses. A rule speaks once for each occasion. Pure: whoever calls writes the orders.
 */
import type { Minute } from "../calendar/minute.ts";
import { dateOfDay, dayOfDate, type WallClock, wallClock } from "../calendar/wall-clock.ts";
import type { OrderId } from "../orders/order.ts";
import type { MachineId } from "../plant/machine.ts";
import type { Plan } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { calibrationTasks, dueList, isDone, renewedDue } from "./due-list.ts";

export type UpkeepTrigger =
  /**
   * Every so many days. grid: counted from a date on which it was or will be due. lastDone: from the day it was last done, one at a
   * time; from that date while nothing is known of a last time.
   */
  | { readonly kind: "days"; readonly every: number; readonly first: string; readonly counted: "grid" | "lastDone" }
  | { readonly kind: "runHours"; readonly rule: string }
  | { readonly kind: "calibration"; readonly calibration: string };

export type UpkeepRule = {
  readonly id: string;
  readonly machine: MachineId;
  readonly trigger: UpkeepTrigger;
  /** Raised so many days before it is due. */
  readonly aheadDays: number;
  /** It may be done so many days early, and, by days, so many days late. */
  readonly earlyDays: number;
  readonly lateDays: number;
};

export type UpkeepTask = {
  readonly rule: string;
  /** Which time: a date, or the number of the task. */
  readonly occasion: string;
  /** null: not known, as soon as the counter needs it. */
  readonly due: Minute | null;
  readonly window: { readonly start: Minute | null; readonly end: Minute | null };
};

const DAY = 1440;

/** What each rule would raise by now; `raised`: occasions that were raised before, whatever has become of them; `madeBy`: the orders a rule has made. */
export function upkeepTasks(
  problem: Problem,
  plan: Plan,
  rules: readonly UpkeepRule[],
  raised: (rule: string, occasion: string) => boolean,
  madeBy: (rule: string) => ReadonlySet<OrderId> = () => new Set(),
): readonly UpkeepTask[] {
  return rules.flatMap((rule) => {
    const isNew = ({ occasion }: UpkeepTask): boolean => !raised(rule.id, occasion);
    if (rule.trigger.kind === "days" && rule.trigger.counted === "lastDone")
      return sinceLastDone(problem, rule, rule.trigger, isNew, madeBy(rule.id));
    return tasksOf(problem, plan, rule).filter(isNew);
  });
}

function tasksOf(problem: Problem, plan: Plan, rule: UpkeepRule): readonly UpkeepTask[] {
  switch (rule.trigger.kind) {
    case "days":
      return byDays(problem, rule, rule.trigger);
    case "runHours":
      return byRunHours(problem, plan, rule, rule.trigger.rule);
    case "calibration":
      return beforeCalibration(problem, rule, rule.trigger.calibration);
  }
}

/** The latest occasion that is past, and those that fall due within the days ahead. A day counts to its 24:00. */
function byDays(
  problem: Problem,
  rule: UpkeepRule,
  { every, first }: { readonly every: number; readonly first: string },
): readonly UpkeepTask[] {
  const clock = wallClock(problem.zone, problem.origin);
  const start = dayOfDate(first);
  if (start === null) return [];
  const today = clock.shownAt(problem.now).day;
  const last = Math.min(today + rule.aheadDays, clock.shownAt(problem.horizon).day - 1);
  const passed = Math.max(0, Math.floor((today - start) / every));
  const tasks: UpkeepTask[] = [];
  for (let day = start + passed * every; day <= last; day += every) tasks.push(dueOn(problem, clock, rule, day));
  return tasks;
}

/** The next one, when none is open. What a person took out of the book counts as skipped once. */
function sinceLastDone(
  problem: Problem,
  rule: UpkeepRule,
  trigger: { readonly every: number; readonly first: string },
  isNew: (task: UpkeepTask) => boolean,
  orders: ReadonlySet<OrderId>,
): readonly UpkeepTask[] {
  const own = problem.operations.filter(({ order }) => orders.has(order));
  if (own.some((operation) => !isDone(operation))) return [];
  const clock = wallClock(problem.zone, problem.origin);
  const ends = own.flatMap(({ progress }) => progress.done.map(({ end }) => end));
  if (ends.length === 0) return byDays(problem, rule, trigger).filter(isNew).slice(0, 1);
  const last = Math.min(clock.shownAt(problem.now).day + rule.aheadDays, clock.shownAt(problem.horizon).day - 1);
  for (let day = clock.shownAt(Math.max(...ends) - 1).day + trigger.every; day <= last; day += trigger.every) {
    const task = dueOn(problem, clock, rule, day);
    if (isNew(task)) return [task];
  }
  return [];
}

function dueOn(problem: Problem, clock: WallClock, rule: UpkeepRule, day: number): UpkeepTask {
  const end = clock.minuteAt(day + rule.lateDays, DAY);
  return {
    rule: rule.id,
    occasion: dateOfDay(day),
    due: clock.minuteAt(day, DAY),
    // What should have been over by now is to be done as soon as it can be.
    window: end <= problem.now ? { start: null, end: null } : { start: clock.minuteAt(day - rule.earlyDays, 0), end },
  };
}

/** As many open tasks as the planned runs need, and one at least: those at the end of the list may stay unplanned. */
function byRunHours(problem: Problem, plan: Plan, rule: UpkeepRule, id: string): readonly UpkeepTask[] {
  const counted = problem.runHourRules.find((candidate) => candidate.id === id);
  const item = dueList(problem, plan).find(({ kind, name }) => kind === "runHours" && name === id);
  if (!counted || !item?.run) return [];
  const { counter, limit, planned } = item.run;
  const needed = Math.max(1, Math.ceil((counter + planned) / limit) - 1);
  const own = new Set(counted.operations);
  const open = problem.operations.filter((operation) => own.has(operation.id) && !isDone(operation)).length;
  return Array.from({ length: Math.max(0, needed - open) }, (_, i) => ({
    rule: rule.id,
    occasion: String(counted.operations.length + 1 + i),
    due: null,
    window: { start: null, end: null },
  }));
}

function beforeCalibration(problem: Problem, rule: UpkeepRule, name: string): readonly UpkeepTask[] {
  const machine = problem.machines.find(({ id }) => id === rule.machine);
  if (!machine?.calibrations.some((calibration) => calibration.name === name)) return [];
  const due = renewedDue(problem, machine, name);
  if (due - rule.aheadDays * DAY > problem.now || calibrationTasks(problem, machine.id, name).length > 0) return [];
  const clock = wallClock(problem.zone, problem.origin);
  const { day, minutes } = clock.shownAt(due);
  const lapsed = due <= problem.now;
  return [
    {
      rule: rule.id,
      // Valid to the 24:00 of a day: that day.
      occasion: dateOfDay(minutes === 0 ? day - 1 : day),
      due: lapsed ? null : due,
      window: lapsed ? { start: null, end: null } : { start: Math.max(due - rule.earlyDays * DAY, problem.now), end: due },
    },
  ];
}
