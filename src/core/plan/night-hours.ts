/**
 * Nights: the stretches in which nobody is on site, and how much of them machines work. "Night" means off site, whatever the clock
 * shows: a Sunday is one too. Possible minutes are those the machine's unattended rule, opening and empty site allow; used minutes
 * are those in which a phase that needs nobody works then. O(size of the plan + calendars).
 */
import { clip, type Intervals, intersect, subtract, totalMinutes, union } from "../calendar/intervals.ts";
import { CALENDAR_LEAD_MINUTES, type Interval, type Minute } from "../calendar/minute.ts";
import { dateOfDay, partsOfDay, wallClock } from "../calendar/wall-clock.ts";
import type { OperationId } from "../orders/operation.ts";
import type { Machine, MachineId } from "../plant/machine.ts";
import type { Plan, PlannedLot } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";

/** The stretches of [from, until) without anybody on site; none in a problem without crews, where somebody always is. */
export function nightsOf(problem: Problem, from: Minute, until: Minute): Intervals {
  if (problem.crews.length === 0 || from >= until) return [];
  return subtract([[from, until]], union(...problem.crews.map((crew) => crew.present)));
}

/** Where the machine may work alone in those nights. */
export function possibleAlone(problem: Problem, machine: Machine, nights: Intervals): Intervals {
  if (machine.unattended.kind === "never") return [];
  const { windows, maxMinutes } = machine.unattended;
  let possible = intersect(nights, machine.open);
  if (windows !== null) possible = intersect(possible, windows);
  if (maxMinutes === null) return possible;
  const present = union(...problem.crews.map((crew) => crew.present));
  const span: Interval = [-CALENDAR_LEAD_MINUTES, problem.horizon];
  const short = subtract([span], present).map(([start, end]): Interval => [start, Math.min(end, start + maxMinutes)]);
  return intersect(possible, short);
}

/** Minutes of the lot worked by a phase that needs nobody, inside the nights. */
export function aloneMinutes(operation: Problem["operations"][number], lot: PlannedLot, nights: Intervals): Minute {
  const mode = operation.modes.find(({ id }) => id === lot.mode);
  if (mode === undefined || mode.machines.length === 0) return 0;
  return lot.phases.reduce(
    (sum, { phase, work }) => sum + ((mode.phases[phase]?.needs.length ?? 1) === 0 ? totalMinutes(intersect(work, nights)) : 0),
    0,
  );
}

/** Minutes of the named operations (all of them without names) worked while nobody is on site, from now on. */
export function nightMinutes(problem: Problem, plan: Plan, only: ReadonlySet<OperationId> | null = null): Minute {
  const nights = nightsOf(problem, problem.now, problem.horizon);
  const known = new Map(problem.operations.map((operation) => [operation.id, operation]));
  let sum = 0;
  for (const { operation, lots } of plan.operations) {
    const found = known.get(operation);
    if (found === undefined || (only !== null && !only.has(operation))) continue;
    for (const lot of lots) sum += aloneMinutes(found, lot, nights);
  }
  return sum;
}

export type NightUse = {
  readonly machine: MachineId;
  /** Monday of the week, YYYY-MM-DD in the site's zone. */
  readonly week: string;
  readonly start: Minute;
  readonly end: Minute;
  readonly possible: Minute;
  readonly used: Minute;
};

/** Night minutes used and possible, for each machine that may ever work alone and each calendar week of [from, until). */
export function nightUse(problem: Problem, plan: Plan, from: Minute, until: Minute): readonly NightUse[] {
  const weeks = weeksOf(problem, from, until);
  const known = new Map(problem.operations.map((operation) => [operation.id, operation]));
  const nights = nightsOf(problem, from, until);
  const worked = new Map<MachineId, Intervals[]>();
  for (const { operation, lots } of plan.operations) {
    for (const lot of lots) {
      const mode = known.get(operation)?.modes.find(({ id }) => id === lot.mode);
      for (const { phase, work } of lot.phases) {
        if (mode === undefined || (mode.phases[phase]?.needs.length ?? 1) > 0) continue;
        for (const machine of mode.machines) {
          const list = worked.get(machine) ?? [];
          list.push(intersect(work, nights));
          worked.set(machine, list);
        }
      }
    }
  }
  return problem.machines.flatMap((machine): NightUse[] => {
    if (machine.unattended.kind === "never") return [];
    const possible = possibleAlone(problem, machine, nights);
    const used = union(...(worked.get(machine.id) ?? []));
    return weeks.map(({ week, start, end }) => ({
      machine: machine.id,
      week,
      start,
      end,
      possible: totalMinutes(clip(possible, start, end)),
      used: totalMinutes(clip(used, start, end)),
    }));
  });
}

/** Calendar weeks, Monday 00:00 to Monday 00:00 of the wall clock, cut to [from, until). */
export function weeksOf(problem: Problem, from: Minute, until: Minute): readonly { week: string; start: Minute; end: Minute }[] {
  const clock = wallClock(problem.zone, problem.origin);
  const weeks: { week: string; start: Minute; end: Minute }[] = [];
  const { day } = clock.shownAt(from);
  for (let monday = day - (partsOfDay(day).weekday - 1); clock.minuteAt(monday, 0) < until; monday += 7) {
    const start = Math.max(from, clock.minuteAt(monday, 0));
    const end = Math.min(until, clock.minuteAt(monday + 7, 0));
    if (start < end) weeks.push({ week: dateOfDay(monday), start, end });
  }
  return weeks;
}
