/**
 * Everything the rules look up in a problem, prepared once: entities by id, and the minutes in which something is there
 * (open, enough of an amount, nobody on site, somebody able to start). Knows no plan.
 * Kept by problem object, which never changes: the browser checks the same problem at every drag. O(problem) to prepare.
 */
import { clip, type Intervals, indexAtOrAfter, intersect, normalise, subtract, union } from "../calendar/intervals.ts";
import { CALENDAR_LEAD_MINUTES, type Interval, type Minute } from "../calendar/minute.ts";
import { intervalsAtLeast, type StepFunction } from "../calendar/step-function.ts";
import { present } from "../ground/invariant.ts";
import type { Mode, Operation } from "../orders/operation.ts";
import type { Problem } from "../problem/problem.ts";

/** Wide enough to hold any minute that a plan can name. */
const FIRST: Minute = Number.MIN_SAFE_INTEGER;
const LAST: Minute = Number.MAX_SAFE_INTEGER;
export const EVER: Intervals = [[FIRST, LAST]];

export type LookUp = {
  readonly problem: Problem;
  readonly operations: ReadonlyMap<string, Problem["operations"][number]>;
  readonly orders: ReadonlyMap<string, Problem["orders"][number]>;
  readonly machines: ReadonlyMap<string, Problem["machines"][number]>;
  readonly crews: ReadonlyMap<string, Problem["crews"][number]>;
  readonly supplies: ReadonlyMap<string, Problem["supplies"][number]>;
  readonly kits: ReadonlyMap<string, Problem["kits"][number]>;
  /** Open minutes of a calendar that work without a machine names. */
  readonly calendarOpen: (id: string) => Intervals;
  /** Minutes with at least this amount. */
  readonly enough: (step: StepFunction, amount: number) => Intervals;
  /** Minutes in which nobody is on site and the machine's unattended rule has no window. */
  readonly noWindow: (machine: string) => Intervals;
  /** Minutes in which nobody is on site and the machine's limit since the site emptied is reached. */
  readonly tooLong: (machine: string) => Intervals;
  /** Minutes in which somebody can start unattended work of the operation; null: anybody need not be there. */
  readonly startable: (operation: Operation) => Intervals | null;
};

const prepared = new WeakMap<Problem, LookUp>();

export function lookUp(problem: Problem): LookUp {
  let known = prepared.get(problem);
  if (known === undefined) {
    known = prepare(problem);
    prepared.set(problem, known);
  }
  return known;
}

/** Unattended in the sense of the rules: needs nobody, on a machine. An outside process is nobody's business. */
export const isUnattended = (mode: Mode, needs: readonly unknown[]): boolean => needs.length === 0 && mode.machines.length > 0;

function prepare(problem: Problem): LookUp {
  const machines = byId(problem.machines);
  const calendars = byId(problem.calendars);
  const nobody = nobodyOnSite(problem);
  const enough = rememberEnough();
  const starters = new Map<string, Intervals>();
  return {
    problem,
    operations: byId(problem.operations),
    orders: byId(problem.orders),
    machines,
    crews: byId(problem.crews),
    supplies: byId(problem.supplies),
    kits: byId(problem.kits),
    calendarOpen: (id) => present(calendars.get(id), `calendar ${id}`).open,
    enough,
    noWindow: remember((id) => {
      const { unattended } = present(machines.get(id), `machine ${id}`);
      if (unattended.kind === "never") return nobody;
      return unattended.windows === null ? [] : subtract(nobody, unattended.windows);
    }),
    tooLong: remember((id) => {
      const { unattended } = present(machines.get(id), `machine ${id}`);
      return unattended.kind === "never" || unattended.maxMinutes === null ? [] : afterEmptied(nobody, unattended.maxMinutes);
    }),
    startable: (operation) => {
      if (problem.crews.length === 0 || operation.selfStart) return null;
      const key = operation.startSkill === null ? "any crew" : `skill ${operation.startSkill}`;
      let known = starters.get(key);
      if (known === undefined) {
        const skill = operation.startSkill;
        const able = problem.crews.filter((crew) => skill === null || crew.skills.includes(skill));
        known = union(...able.map((crew) => enough(crew.headcount, 1)));
        starters.set(key, known);
      }
      return known;
    },
  };
}

const byId = <T extends { readonly id: string }>(list: readonly T[]): ReadonlyMap<string, T> =>
  new Map(list.map((item) => [item.id, item]));

/** In a problem without crews somebody is always on site. */
const nobodyOnSite = (problem: Problem): Intervals =>
  problem.crews.length === 0 ? [] : subtract(EVER, union(...problem.crews.map((crew) => crew.present)));

/** From m minutes after the site emptied until somebody is there again; before the first shift it emptied where the calendars begin. */
function afterEmptied(nobody: Intervals, minutes: Minute): Intervals {
  return normalise(nobody.map(([start, end]): Interval => [(start === FIRST ? -CALENDAR_LEAD_MINUTES : start) + minutes, end]));
}

function remember(compute: (id: string) => Intervals): (id: string) => Intervals {
  const known = new Map<string, Intervals>();
  return (id) => {
    let found = known.get(id);
    if (found === undefined) {
      found = compute(id);
      known.set(id, found);
    }
    return found;
  };
}

function rememberEnough(): (step: StepFunction, amount: number) => Intervals {
  const known = new Map<StepFunction, Map<number, Intervals>>();
  return (step, amount) => {
    let amounts = known.get(step);
    if (amounts === undefined) {
      amounts = new Map();
      known.set(step, amounts);
    }
    let found = amounts.get(amount);
    if (found === undefined) {
      found = intervalsAtLeast(step, amount, FIRST, LAST);
      amounts.set(amount, found);
    }
    return found;
  };
}

/** Minutes in which the place of a mode is open: all its machines, or its calendar, or at any time. */
export function placesOf(look: LookUp, mode: Mode): readonly { readonly id: string; readonly open: Intervals }[] {
  if (mode.machines.length === 0)
    return mode.calendar === null ? [] : [{ id: mode.calendar, open: look.calendarOpen(mode.calendar) }];
  return mode.machines.map((id) => ({ id, open: present(look.machines.get(id), `machine ${id}`).open }));
}

/** The work inside a calendar, at the cost of the stretches that it meets. */
export const workInside = (work: Intervals, calendar: Intervals): Intervals => meet(work, calendar, intersect);

/** The work outside a calendar. Most work lies inside one stretch, which is seen without making a list. */
export function workOutside(work: Intervals, calendar: Intervals): Intervals {
  const first = work[0];
  const last = work.at(-1);
  if (first === undefined || last === undefined) return NOTHING;
  const around = calendar[indexAtOrAfter(calendar, first[0])];
  if (around !== undefined && around[0] <= first[0] && last[1] <= around[1]) return NOTHING;
  return meet(work, calendar, subtract);
}

const NOTHING: Intervals = [];

function meet(work: Intervals, calendar: Intervals, how: (a: Intervals, b: Intervals) => Intervals): Intervals {
  const first = work[0];
  const last = work.at(-1);
  return first === undefined || last === undefined ? NOTHING : how(work, clip(calendar, first[0], last[1]));
}

/** A union that makes nothing where there is nothing to unite. */
export function together(lists: readonly Intervals[]): Intervals {
  const filled = lists.filter((list) => list.length > 0);
  return filled.length < 2 ? (filled[0] ?? NOTHING) : union(...filled);
}
