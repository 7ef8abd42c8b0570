/**
 * Proves that a problem has no plan without conflicts, by bounds on begins and ends: earliest from now, releases, windows, pins and
 * links, latest from deadlines, windows, pins and links, both through calendars in which every able crew counts and setups take
 * nothing; and by pairs of operations on one machine of which neither can go first. Says "proved" only when it is; silence means
 * nothing. Takes no part in planning. Bounds are tightened until nothing changes (Baptiste, Le Pape, Nuijten, Constraint-Based
 * Scheduling, 2001, chapter 1).
 */
import { type Intervals, intersect, subtract, union } from "../calendar/intervals.ts";
import type { Interval, Minute } from "../calendar/minute.ts";
import { frozenWork } from "../check/frozen.ts";
import { isUnattended, type LookUp, lookUp } from "../check/look-up.ts";
import { isDone } from "../check/lots.ts";
import { drawsOf } from "../check/workable.ts";
import { present } from "../ground/invariant.ts";
import { hasBegun, type Mode, type Operation, type Phase, workMinutes } from "../orders/operation.ts";
import type { Problem } from "../problem/problem.ts";
import { type Course, layWork } from "./lay-work.ts";

type Bounds = {
  readonly operation: Operation;
  startLow: Minute;
  startHigh: Minute;
  endLow: Minute;
  endHigh: Minute;
  /** Earliest end when begun at or after the minute. */
  readonly endFrom: (start: Minute) => Minute;
  /** Where it is one solid stretch in every mode: the longest it can last; null: it may rest or wait. */
  readonly longest: Minute | null;
  /** Machines that every mode left to it needs. */
  readonly surely: readonly string[];
};

const ROUNDS_MAX = 200;

export function provesContradiction(problem: Problem): boolean {
  const look = lookUp(problem);
  const all = new Map(problem.operations.map((operation) => [operation.id, boundsOf(problem, look, operation)]));
  const optional = new Set(problem.runHourRules.flatMap(({ operations }) => operations));
  for (const { operation, lots } of frozenWork(problem).kept) {
    const bounds = present(all.get(operation), "frozen work");
    const [start, end] = [Math.min(...lots.map((lot) => lot.start)), Math.max(...lots.map((lot) => lot.end))];
    raise(bounds, start, end);
    lower(bounds, start, end);
  }
  for (let round = 0; round < ROUNDS_MAX; round++) {
    let changed = false;
    for (const link of problem.links) {
      const [from, to] = [present(all.get(link.from), "from"), present(all.get(link.to), "to")];
      if (link.kind !== "lag" || optional.has(link.from) || optional.has(link.to)) continue;
      // Under an early set-up the start is free of the link; only the end still comes after it.
      const early = to.operation.prepareEarly;
      if (!isOpen(to.operation)) continue;
      changed = raise(to, early ? to.startLow : from.endLow + link.minLag, from.endLow + link.minLag) || changed;
      if (!early) {
        changed = lower(from, from.startHigh, to.startHigh - link.minLag) || changed;
        if (link.maxLag !== null) {
          changed = lower(to, from.endHigh + link.maxLag, to.endHigh) || changed;
          changed = raise(from, from.startLow, to.startLow - link.maxLag) || changed;
        }
      } else changed = lower(from, from.startHigh, to.endHigh - link.minLag) || changed;
    }
    for (const bounds of all.values()) changed = throughWork(bounds) || changed;
    for (const bounds of all.values())
      if (!optional.has(bounds.operation.id) && (bounds.startLow > bounds.startHigh || bounds.endLow > bounds.endHigh))
        return true;
    if (!changed) break;
  }
  const open = [...all.values()].filter(({ operation }) => !isDone(operation) && !optional.has(operation.id));
  return open.some((a, i) => open.slice(i + 1).some((b) => neitherFirst(a, b)));
}

const isOpen = ({ progress }: Operation): boolean => !hasBegun(progress);

/** On a machine that both surely need, and both for a while. */
function neitherFirst(a: Bounds, b: Bounds): boolean {
  if (a.operation.split !== null || b.operation.split !== null) return false;
  if (a.endFrom(a.startLow) <= a.startLow || b.endFrom(b.startLow) <= b.startLow) return false;
  if (!a.surely.some((machine) => b.surely.includes(machine))) return false;
  return a.endLow > b.startHigh && b.endLow > a.startHigh;
}

function boundsOf(problem: Problem, look: LookUp, operation: Operation): Bounds {
  const { now, horizon } = problem;
  const { progress, window, pin } = operation;
  const order = look.orders.get(operation.order);
  const last = Math.min(horizon, order?.deadline ?? horizon, window.end ?? horizon);
  const ended = progress.done.reduce((latest, { end }) => Math.max(latest, end), Number.NEGATIVE_INFINITY);
  const fact = { operation, longest: null, surely: [], endFrom: (start: Minute) => start };
  if (isDone(operation)) return { ...fact, startLow: ended, startHigh: ended, endLow: ended, endHigh: ended };
  if (!isOpen(operation)) {
    const started = Math.min(now, progress.running[0]?.start ?? now);
    return { ...fact, startLow: started, startHigh: horizon, endLow: now, endHigh: last };
  }
  const machines = pin?.machines ?? null;
  const modes = operation.modes.filter((mode) => machines === null || sameSet(mode.machines, machines));
  const released = operation.prepareEarly ? now : Math.max(now, order?.release ?? now);
  const startLow = Math.max(released, window.start ?? now, pin?.start ?? now);
  const lengths = modes.map((mode) => courses(problem, look, operation, mode));
  // Lots of a split batch run side by side; of those only the dates are used.
  const endFrom = (start: Minute): Minute =>
    operation.split !== null ? start : Math.min(...lengths.map((phases) => endOf(phases, start)), Number.POSITIVE_INFINITY);
  const first = modes[0]?.machines ?? [];
  return {
    longest: operation.split === null ? longestOf(modes, lengths) : null,
    ...{ operation, startLow, startHigh: pin?.start ?? last, endLow: startLow, endHigh: last, endFrom },
    surely: first.filter((machine) => modes.every((mode) => mode.machines.includes(machine))),
  };
}

function longestOf(modes: readonly Mode[], lengths: readonly (readonly Stage[])[]): Minute | null {
  const solid = modes.every((mode, i) => {
    const worked = lengths[i] ?? [];
    return worked.length === 1 && worked[0]?.course.flow === "solid" && mode.phases.every(({ kind }) => kind !== "prepare");
  });
  return solid && modes.length > 0 ? Math.max(...lengths.map((stages) => stages[0]?.minutes ?? 0)) : null;
}

const sameSet = (a: readonly string[], b: readonly string[]): boolean =>
  a.length === b.length && a.every((machine) => b.includes(machine));

type Stage = { readonly course: Course; readonly minutes: Minute; readonly seconds: number | null; readonly count: number };

function courses(problem: Problem, look: LookUp, operation: Operation, mode: Mode): readonly Stage[] {
  return mode.phases.flatMap((phase): Stage[] => {
    const minutes = workMinutes(phase.work, operation.pieces);
    if (minutes === 0) return [];
    const course: Course = {
      flow: phase.flow,
      workable: workableAtBest(problem, look, mode, phase),
      startable: isUnattended(mode, phase.needs) ? look.startable(operation) : null,
    };
    // A prepare may grow by its setup, which then belongs to its first piece: only the plain minutes are certain.
    const seconds = phase.work.kind === "perPiece" && phase.kind !== "prepare" ? phase.work.seconds : null;
    return [
      { course: phase.kind === "prepare" ? { ...course, flow: "pausable" } : course, minutes, seconds, count: operation.pieces },
    ];
  });
}

/** Every crew that could serve a need counts, each need by itself. */
function workableAtBest(problem: Problem, look: LookUp, mode: Mode, phase: Phase): Intervals {
  let left: Intervals = [[problem.now, problem.horizon]];
  for (const { open } of look.placesOf(mode)) left = intersect(left, open);
  for (const { skill, amount } of phase.needs) {
    const able = problem.crews.filter((crew) => crew.skills.includes(skill));
    left = intersect(left, union(...able.map((crew): Intervals => look.enough(crew.headcount, amount))));
  }
  for (const [id, amount] of drawsOf(phase.draws)) {
    const supply = look.supplies.get(id);
    left = supply === undefined ? [] : intersect(left, look.enough(supply.amount, amount));
  }
  if (isUnattended(mode, phase.needs))
    for (const machine of mode.machines) left = subtract(subtract(left, look.noWindow(machine)), look.tooLong(machine));
  return left;
}

function endOf(stages: readonly Stage[], start: Minute): Minute {
  let at = start;
  for (const { course, minutes, seconds, count } of stages) {
    const work: Interval[] = [];
    const pieces = seconds === null ? null : { seconds, count, offset: 0 };
    // Piecewise work without known pieces is taken as pausable: never later than it can be.
    const flow = course.flow === "piecewise" && pieces === null ? "pausable" : course.flow;
    at = layWork({ ...course, flow }, minutes, pieces, at, at, work);
    if (!Number.isFinite(at)) return at;
  }
  return at;
}

/** Begin and end bind each other through the work. */
function throughWork(bounds: Bounds): boolean {
  if (bounds.startLow > bounds.startHigh) return false;
  let changed = raise(bounds, bounds.startLow, bounds.endFrom(bounds.startLow));
  if (bounds.longest !== null) {
    changed = raise(bounds, bounds.endLow - bounds.longest, bounds.endLow) || changed;
    changed = lower(bounds, bounds.startHigh, bounds.startHigh + bounds.longest) || changed;
  }
  if (bounds.endFrom(bounds.startHigh) > bounds.endHigh) {
    let [low, high] = [bounds.startLow - 1, bounds.startHigh];
    while (high - low > 1) {
      const middle = Math.floor((low + high) / 2);
      if (bounds.endFrom(middle) > bounds.endHigh) high = middle;
      else low = middle;
    }
    changed = lower(bounds, low, bounds.endHigh) || changed;
  }
  return changed;
}

function raise(bounds: Bounds, start: Minute, end: Minute): boolean {
  const before = bounds.startLow + bounds.endLow;
  bounds.startLow = Math.max(bounds.startLow, start);
  bounds.endLow = Math.max(bounds.endLow, end);
  return before !== bounds.startLow + bounds.endLow;
}

function lower(bounds: Bounds, start: Minute, end: Minute): boolean {
  const before = bounds.startHigh + bounds.endHigh;
  bounds.startHigh = Math.min(bounds.startHigh, start);
  bounds.endHigh = Math.min(bounds.endHigh, end);
  return before !== bounds.startHigh + bounds.endHigh;
}
