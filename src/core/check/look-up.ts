/**
 * Everything the rules look up in a problem, prepared once: entities by id, and the minutes in which something is there
 * (open, enough of an amount, nobody on site, somebody able to start). Knows no plan.
 * Kept by problem object, which never changes: the browser checks the same problem at every drag. O(problem) to prepare.
 */
import { clip, type Intervals, indexAtOrAfter, intersect, normalise, subtract, union } from "../calendar/intervals.ts";
import { CALENDAR_LEAD_MINUTES, type Interval, type Minute } from "../calendar/minute.ts";
import { intervalsAtLeast, type StepFunction } from "../calendar/step-function.ts";
import { present } from "../ground/invariant.ts";
import type { Link } from "../orders/link.ts";
import type { Mode, Operation, Phase } from "../orders/operation.ts";
import type { Order } from "../orders/order.ts";
import type { Crew, CrewId } from "../plant/crew.ts";
import type { Problem } from "../problem/problem.ts";
import type { Lot } from "./lots.ts";

/** Wide enough to hold any minute that a plan can name. */
const FIRST: Minute = Number.MIN_SAFE_INTEGER;
const LAST: Minute = Number.MAX_SAFE_INTEGER;
export const EVER: Intervals = [[FIRST, LAST]];

/** What one phase must have of one crew for itself, and when that many are there. A crew that the problem does not have: null, never. */
export type Served = { readonly id: CrewId; readonly crew: Crew | null; readonly amount: number; readonly enough: Intervals };
/** Where a mode works: its machines, or its calendar. */
export type Place = { readonly id: string; readonly open: Intervals };
/** A link and the places of its two operations in the problem's list; -1: an operation that the problem does not have. */
export type PlacedLink = { readonly link: Link; readonly from: number; readonly to: number };

export type LookUp = {
  readonly problem: Problem;
  readonly operations: ReadonlyMap<string, Problem["operations"][number]>;
  /** Place of an operation in the problem's list. */
  readonly indexOf: ReadonlyMap<string, number>;
  /** The order of each operation, by the operation's place. */
  readonly orderAt: readonly (Order | undefined)[];
  readonly links: readonly PlacedLink[];
  /** Lots of the plan looked at last, by the operation's place: what the next one takes over untouched is not read again. */
  remembered: readonly (readonly Lot[])[];
  readonly orders: ReadonlyMap<string, Problem["orders"][number]>;
  readonly machines: ReadonlyMap<string, Problem["machines"][number]>;
  readonly crews: ReadonlyMap<string, Problem["crews"][number]>;
  readonly supplies: ReadonlyMap<string, Problem["supplies"][number]>;
  readonly kits: ReadonlyMap<string, Problem["kits"][number]>;
  /** Where the mode works, and when each place is open: all its machines, or its calendar, or nothing: at any time. */
  readonly placesOf: (mode: Mode) => readonly Place[];
  /** What the phase needs of each crew that is to serve it. */
  readonly servedBy: (phase: Phase, crews: readonly CrewId[]) => readonly Served[];
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
  const orders = byId(problem.orders);
  const crews = byId(problem.crews);
  const indexOf = new Map(problem.operations.map(({ id }, i) => [id, i]));
  return {
    problem,
    operations: byId(problem.operations),
    indexOf,
    orderAt: problem.operations.map(({ order }) => orders.get(order)),
    links: problem.links.map((link) => ({ link, from: indexOf.get(link.from) ?? -1, to: indexOf.get(link.to) ?? -1 })),
    remembered: [],
    orders,
    machines,
    crews,
    supplies: byId(problem.supplies),
    kits: byId(problem.kits),
    placesOf: rememberFor((mode: Mode): readonly Place[] => {
      if (mode.machines.length > 0)
        return mode.machines.map((id) => ({ id, open: present(machines.get(id), `machine ${id}`).open }));
      const { calendar } = mode;
      return calendar === null ? [] : [{ id: calendar, open: present(calendars.get(calendar), `calendar ${calendar}`).open }];
    }),
    servedBy: rememberServed(crews, enough),
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

function rememberFor<K, V>(compute: (key: K) => V): (key: K) => V {
  const known = new Map<K, V>();
  return (key) => {
    let found = known.get(key);
    if (found === undefined) {
      found = compute(key);
      known.set(key, found);
    }
    return found;
  };
}

const NOBODY: readonly Served[] = [];

function rememberServed(
  all: ReadonlyMap<string, Crew>,
  enough: (step: StepFunction, amount: number) => Intervals,
): LookUp["servedBy"] {
  const known = new Map<Phase, Map<string, readonly Served[]>>();
  const sumUp = (phase: Phase, crews: readonly CrewId[]): readonly Served[] => {
    const sums = new Map<CrewId, number>();
    phase.needs.forEach(({ amount }, i) => {
      const id = crews[i];
      if (id !== undefined) sums.set(id, (sums.get(id) ?? 0) + amount);
    });
    return [...sums].map(([id, amount]): Served => {
      const crew = all.get(id) ?? null;
      return { id, crew, amount, enough: crew === null ? [] : enough(crew.headcount, amount) };
    });
  };
  return (phase, crews) => {
    if (phase.needs.length === 0 || crews.length === 0) return NOBODY;
    let ofPhase = known.get(phase);
    if (ofPhase === undefined) {
      ofPhase = new Map();
      known.set(phase, ofPhase);
    }
    const key = crews.length === 1 ? (crews[0] as CrewId) : JSON.stringify(crews);
    let found = ofPhase.get(key);
    if (found === undefined) {
      found = sumUp(phase, crews);
      ofPhase.set(key, found);
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

/** The work inside a calendar, at the cost of the stretches that it meets. */
export const workInside = (work: Intervals, calendar: Intervals): Intervals => meet(work, calendar, intersect);

/** The work outside a calendar. */
export const workOutside = (work: Intervals, calendar: Intervals): Intervals => meet(work, calendar, subtract);

/** Whether all of the work lies inside the calendar. Makes no list: nearly all work of nearly all plans does. */
export function liesInside(work: Intervals, calendar: Intervals): boolean {
  for (let i = 0; i < work.length; i++) {
    const stretch = work[i] as Interval;
    const around = calendar[indexAtOrAfter(calendar, stretch[0])];
    if (around === undefined || around[0] > stretch[0] || around[1] < stretch[1]) return false;
  }
  return true;
}

/** Whether any of the work lies inside the calendar. */
export function touches(work: Intervals, calendar: Intervals): boolean {
  for (let i = 0; i < work.length; i++) {
    const stretch = work[i] as Interval;
    const next = calendar[indexAtOrAfter(calendar, stretch[0])];
    if (next !== undefined && next[0] < stretch[1]) return true;
  }
  return false;
}

/** Minutes of the work inside the calendar. */
export function minutesInside(work: Intervals, calendar: Intervals): Minute {
  let minutes = 0;
  for (let i = 0; i < work.length; i++) {
    const [start, end] = work[i] as Interval;
    for (let k = indexAtOrAfter(calendar, start); k < calendar.length; k++) {
      const [from, until] = calendar[k] as Interval;
      if (from >= end) break;
      minutes += Math.min(end, until) - Math.max(start, from);
    }
  }
  return minutes;
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
