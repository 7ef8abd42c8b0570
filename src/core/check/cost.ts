/**
 * The one cost of a plan: each part by itself, a whole number, and the weighted sum (the planning problem, section 6).
 * Judges no conflicts. What was waited or worked before now costs nothing; orders complete by now count nothing.
 * O(size of the plan).
 */
import { clip, totalMinutes, union } from "../calendar/intervals.ts";
import type { Minute } from "../calendar/minute.ts";
import { ceilDivide } from "../ground/rounding.ts";
import { COST_PARTS, type Cost, type CostPart } from "../problem/objective.ts";
import type { PlannedLot } from "../problem/plan.ts";
import { machineSet } from "./links.ts";
import { workInside } from "./look-up.ts";
import { isBegun, isDone } from "./lots.ts";
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
  const completions = new Map<string, { end: Minute; open: boolean }>();
  for (const operation of problem.operations) {
    const known = completions.get(operation.order);
    const ends = (lots.ofOperation.get(operation.id) ?? []).map(({ end }) => end);
    const open = !isDone(operation) || known?.open === true;
    if (ends.length > 0 || known !== undefined || open) {
      completions.set(operation.order, {
        end: ends.reduce((latest, end) => Math.max(latest, end), known?.end ?? Number.NEGATIVE_INFINITY),
        open,
      });
    }
  }
  const parts = {
    tardiness: 0,
    flow: 0,
    makespan: Number.NEGATIVE_INFINITY,
    maxLateness: Number.NEGATIVE_INFINITY,
    lateOrders: 0,
  };
  for (const order of problem.orders) {
    const completion = completions.get(order.id);
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
    // Phases that overlap (a conflict) work the same minute once.
    const worked = totalMinutes(clip(union(...phases.map(({ ahead }) => ahead)), from, end));
    waiting += machines * Math.max(0, end - from - worked);
  }
  return waiting;
}

/** Setup minutes of lots that have not begun. */
function setupPart(scene: Scene): number {
  return plannedLots(scene).reduce((sum, lot) => sum + (lot.state === "open" ? scene.setupOf(lot) : 0), 0);
}

/** Person-minutes in unsocial shifts from now on, rounded up once. */
function unsocialPart(scene: Scene): number {
  let hundredths = 0;
  for (const { phases } of plannedLots(scene)) {
    for (const { ahead, needsOfCrews } of phases) {
      for (const [id, amount] of needsOfCrews) {
        const unsocial = scene.look.crews.get(id)?.unsocial ?? [];
        if (unsocial.length > 0) hundredths += amount * totalMinutes(workInside(ahead, unsocial));
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
    const planned = (lots.ofOperation.get(operation.id) ?? []).flatMap((lot) => (lot.planned === null ? [] : [lot.planned]));
    for (let i = 0; i < Math.max(planned.length, published.lots.length); i++) {
      const before = published.lots[i];
      const now = planned[i];
      if (before === undefined || now === undefined) {
        disturbance += nearness(first) * OTHER_MACHINE;
        continue;
      }
      const known = crewsOf(before);
      const told = [...crewsOf(now)].filter((crew) => !known.has(crew)).length;
      const elsewhere = before.mode === now.mode || machinesOf(before) === machinesOf(now) ? 0 : OTHER_MACHINE;
      disturbance += nearness(before) * (Math.min(Math.abs(now.start - before.start), MOVED_MAX) + elsewhere + OTHER_CREW * told);
    }
  }
  return disturbance;
}

const crewsOf = (lot: PlannedLot): ReadonlySet<string> => new Set(lot.phases.flatMap(({ crews }) => crews));
