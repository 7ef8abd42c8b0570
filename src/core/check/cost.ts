/**
 * The one cost of a plan: each part by itself, a whole number, and the weighted sum (the planning problem, section 6).
 * Judges no conflicts. What was waited or worked before now costs nothing; orders complete by now count nothing.
 * O(size of the plan).
 */
import { clip, totalMinutes, union } from "../calendar/intervals.ts";
import type { Minute } from "../calendar/minute.ts";
import { ceilDivide } from "../ground/rounding.ts";
import type { Operation } from "../orders/operation.ts";
import { COST_PARTS, type Cost, type CostPart } from "../problem/objective.ts";
import type { PlannedLot } from "../problem/plan.ts";
import { machineSet } from "./links.ts";
import { minutesInside } from "./look-up.ts";
import { isBegun, isDone, type PhaseOfLot } from "./lots.ts";
import { plannedLots, type Scene } from "./scene.ts";

type Parts = Record<CostPart, number>;

export function costOf(scene: Scene): Cost {
  const parts: Parts = {
    ...ordersPart(scene),
    disturbance: disturbancePart(scene),
    waiting: waitingPart(scene),
    setup: setupPart(scene),
    unsocial: unsocialPart(scene),
  };
  const total = COST_PARTS.reduce((sum, part) => sum + parts[part] * scene.problem.weights[part], 0);
  return { parts, total };
}

/** Tardiness, flow, makespan, maximum lateness, late orders: all from the completion of the orders that are not complete by now. */
function ordersPart({ problem, lots }: Scene): Pick<Parts, "tardiness" | "flow" | "makespan" | "maxLateness" | "lateOrders"> {
  const ends = new Map<string, { end: Minute; open: boolean }>();
  let known: { end: Minute; open: boolean } | undefined;
  let order = "";
  for (let place = 0; place < problem.operations.length; place++) {
    const operation = problem.operations[place] as Operation;
    if (known === undefined || operation.order !== order) {
      order = operation.order;
      known = ends.get(order);
      if (known === undefined) {
        known = { end: Number.NEGATIVE_INFINITY, open: false };
        ends.set(order, known);
      }
    }
    for (const { end } of lots.at[place] ?? []) if (end > known.end) known.end = end;
    if (!known.open && !isDone(operation)) known.open = true;
  }
  const parts = {
    tardiness: 0,
    flow: 0,
    makespan: Number.NEGATIVE_INFINITY,
    maxLateness: Number.NEGATIVE_INFINITY,
    lateOrders: 0,
  };
  for (const order of problem.orders) {
    const completion = ends.get(order.id);
    if (completion === undefined || !Number.isFinite(completion.end)) continue;
    const { end } = completion;
    if (end <= problem.now && !completion.open) continue;
    parts.flow += order.weight * (end - Math.max(order.release, 0));
    parts.makespan = Math.max(parts.makespan, end);
    if (order.due === null) continue;
    parts.tardiness += order.weight * Math.max(0, end - order.due);
    parts.maxLateness = Math.max(parts.maxLateness, end - order.due);
    if (end > order.due) parts.lateOrders += order.weight;
  }
  const orNothing = (value: number): number => (Number.isFinite(value) ? value : 0);
  return { ...parts, makespan: orNothing(parts.makespan), maxLateness: orNothing(parts.maxLateness) };
}

/** Occupied minutes less worked minutes from now on, for each machine of the mode. */
function waitingPart(scene: Scene): number {
  const { now } = scene.problem;
  let waiting = 0;
  for (const { mode, start, end, phases } of plannedLots(scene)) {
    const machines = mode?.machines.length ?? 0;
    if (machines === 0) continue;
    const from = Math.max(start, now);
    waiting += machines * Math.max(0, end - from - workedWithin(phases, from, end));
  }
  return waiting;
}

/** Minutes in which any of the phases works. */
function workedWithin(phases: readonly PhaseOfLot[], from: Minute, until: Minute): Minute {
  let worked = 0;
  let last = from;
  for (const { ahead } of phases) {
    for (const [start, end] of ahead) {
      // Phases that overlap (a conflict), or work beyond the lot (another), count the same minute once.
      if (start < last || end > until) return totalMinutes(clip(union(...phases.map((phase) => phase.ahead)), from, until));
      worked += end - start;
      last = end;
    }
  }
  return worked;
}

/** Setup minutes of lots that have not begun. */
function setupPart(scene: Scene): number {
  let minutes = 0;
  for (const lot of plannedLots(scene)) if (lot.state === "open") minutes += scene.setupOf(lot);
  return minutes;
}

/** Person-minutes in unsocial shifts from now on, rounded up once. */
function unsocialPart(scene: Scene): number {
  let hundredths = 0;
  for (const { phases } of plannedLots(scene)) {
    for (const { ahead, served } of phases) {
      for (const { crew, amount } of served) {
        if (crew !== null && crew.unsocial.length > 0) hundredths += amount * minutesInside(ahead, crew.unsocial);
      }
    }
  }
  return ceilDivide(hundredths, 100);
}

const SOON = 1440;
const THIS_WEEK = 7200;
const MOVED_MAX = 10_080;
const OTHER_MACHINE = 480;
const OTHER_CREW = 120;

/** How far the plan moves what was published and has not begun, lot by lot in order. */
function disturbancePart({ problem, look, lots }: Scene): number {
  const nearness = ({ start }: PlannedLot): number => (start < problem.now + SOON ? 4 : start < problem.now + THIS_WEEK ? 2 : 1);
  let disturbance = 0;
  for (const published of problem.published?.operations ?? []) {
    const operation = look.operations.get(published.operation);
    const first = published.lots[0];
    if (operation === undefined || first === undefined || isBegun(operation)) continue;
    const machinesOf = (lot: PlannedLot): string => machineSet(operation.modes.find(({ id }) => id === lot.mode)?.machines ?? []);
    // Nothing of it has begun, so all its lots are planned ones.
    const planned = lots.ofOperation(operation.id);
    for (let i = 0; i < Math.max(planned.length, published.lots.length); i++) {
      const before = published.lots[i];
      const now = planned[i]?.planned ?? undefined;
      if (before === now) continue;
      if (before === undefined || now === undefined) {
        disturbance += nearness(first) * OTHER_MACHINE;
        continue;
      }
      const told = toldAnew(before, now);
      const elsewhere = before.mode === now.mode || machinesOf(before) === machinesOf(now) ? 0 : OTHER_MACHINE;
      disturbance += nearness(before) * (Math.min(Math.abs(now.start - before.start), MOVED_MAX) + elsewhere + OTHER_CREW * told);
    }
  }
  return disturbance;
}

/** Crews that serve the lot now and did not before. */
function toldAnew(before: PlannedLot, now: PlannedLot): number {
  if (now.phases.every(({ crews }, i) => isSame(crews, before.phases[i]?.crews ?? []))) return 0;
  const known = crewsOf(before);
  return [...crewsOf(now)].filter((crew) => !known.has(crew)).length;
}

const isSame = (a: readonly string[], b: readonly string[]): boolean => a.length === b.length && a.every((id, i) => id === b[i]);

const crewsOf = (lot: PlannedLot): ReadonlySet<string> => new Set(lot.phases.flatMap(({ crews }) => crews));
