/**
 * Trial places of one lot: the lot laid from a given minute as its calendars and flows make it, everything else fixed, and what the
 * checker's rules say about it that they did not say before. Looks only at the part of the shop that can meet the lot.
 */

import type { Interval, Minute } from "../calendar/minute.ts";
import type { Conflict } from "../check/conflict.ts";
import { type LookUp, lookUp } from "../check/look-up.ts";
import type { Lot, PhaseOfLot } from "../check/lots.ts";
import { workedAfterPieces } from "../check/pieces.ts";
import { conflictsOf } from "../check/rules.ts";
import { type Scene, sceneOf } from "../check/scene.ts";
import { present } from "../ground/invariant.ts";
import type { Mode, OperationId, Phase } from "../orders/operation.ts";
import type { CrewId } from "../plant/crew.ts";
import type { Plan, PlannedLot, PlannedOperation, PlannedPhase } from "../problem/plan.ts";
import { courseOf, layWork } from "./lay-work.ts";
import type { Relaxed } from "./relaxation.ts";

export type Trial = { readonly lot: PlannedLot; readonly conflicts: readonly Conflict[] };

/** Crews by place of the phase in the mode, instead of those of the plan. */
export type CrewChoice = ReadonlyMap<number, readonly CrewId[]>;

const AS_PLANNED: CrewChoice = new Map();

/** The lot begun exactly at the minute; null: its calendars do not let it begin there, or not end within the horizon. */
export function tryAt(
  shop: Relaxed,
  operation: OperationId,
  planned: PlannedLot,
  start: Minute,
  crews = AS_PLANNED,
): Trial | null {
  const lot = layLot(shop, operation, planned, start, crews);
  if (lot === null || lot.start !== start) return null;
  const known = count(baseConflicts(shop));
  const conflicts = conflictsWith(shop, withLot(shop.plan, operation, planned, lot)).filter((conflict) => {
    const key = keyOf(conflict);
    const left = known.get(key) ?? 0;
    known.set(key, left - 1);
    return left <= 0;
  });
  return { lot, conflicts };
}

/** The lot laid from the minute on, as early as calendars and flows allow, with the setup it has there. */
export function layLot(
  shop: Relaxed,
  operation: OperationId,
  planned: PlannedLot,
  start: Minute,
  crews: CrewChoice = AS_PLANNED,
): PlannedLot | null {
  const stub: PlannedLot = { ...planned, start, end: start };
  const { scene } = sceneOf(shop.problem, withLot(shop.plan, operation, planned, stub), shop.kept);
  const lot = present(
    scene.lots.ofOperation(operation).find((candidate) => candidate.planned === stub),
    "lot on trial",
  );
  if (lot.mode === null) return null;
  const phases: PlannedPhase[] = [];
  let at: Minute = start;
  let handedOn: Minute | null = null;
  for (const phase of lot.phases) {
    const minutes = scene.wanted(phase);
    if (minutes <= 0) continue;
    const serving = crews.get(phase.index) ?? crewsOf(scene.look, phase.phase, phase.crews);
    const work: Interval[] = [];
    const served = { ...phase, crews: serving, served: scene.look.servedBy(phase.phase, serving) };
    const from = Math.min(start, shop.problem.now) - 1;
    const end = layWork(courseIn(scene, served, from, planned.end), minutes, piecesOf(scene, lot, phase), at, handedOn, work);
    if (!Number.isFinite(end)) return null;
    phases.push({ phase: phase.index, work, crews: serving });
    at = end;
    handedOn = end;
  }
  return { ...planned, start: phases[0]?.work[0]?.[0] ?? start, end: at, phases };
}

/** No trial has to be followed for longer than this after the planned end. */
const FOLLOWED_MINUTES = 14 * 1440;

const courseIn = (scene: Scene, phase: PhaseOfLot, from: Minute, end: Minute) =>
  courseOf(scene.look, phase, from, Math.min(scene.problem.horizon, end + FOLLOWED_MINUTES));

function piecesOf(scene: Scene, lot: Lot, phase: PhaseOfLot) {
  const { work } = phase.phase;
  return work.kind === "perPiece"
    ? { seconds: work.seconds, count: lot.pieces, offset: workedAfterPieces(scene, phase, 0) }
    : null;
}

/** A prepare that the plan left out has no crews yet. */
function crewsOf(look: LookUp, phase: Phase, planned: readonly CrewId[]): readonly CrewId[] {
  if (planned.length === phase.needs.length) return planned;
  return phase.needs.map(({ skill }) => look.problem.crews.find((crew) => crew.skills.includes(skill))?.id ?? "");
}

/** The plan with one lot in another place; lots stay numbered by their starts (a running one has begun before all others). */
export function withLot(plan: Plan, operation: OperationId, before: PlannedLot, after: PlannedLot): Plan {
  return {
    operations: plan.operations.map((planned) => {
      if (planned.operation !== operation) return planned;
      const lots = planned.lots.map((lot) => (lot === before ? after : lot));
      return { ...planned, lots: lots.sort((a, b) => a.start - b.start) };
    }),
  };
}

export const conflictsWith = ({ problem, kept }: Relaxed, plan: Plan): readonly Conflict[] =>
  conflictsOf(sceneOf(problem, plan, kept));

const bases = new WeakMap<Relaxed, readonly Conflict[]>();

function baseConflicts(shop: Relaxed): readonly Conflict[] {
  let known = bases.get(shop);
  if (known === undefined) {
    known = conflictsWith(shop, shop.plan);
    bases.set(shop, known);
  }
  return known;
}

const keyOf = ({ kind, operations, resource }: Conflict): string => JSON.stringify([kind, operations, resource]);

function count(conflicts: readonly Conflict[]): Map<string, number> {
  const out = new Map<string, number>();
  for (const conflict of conflicts) out.set(keyOf(conflict), (out.get(keyOf(conflict)) ?? 0) + 1);
  return out;
}

/**
 * The part of the shop that a lot can meet between two minutes: all work on its machines, what is linked with it, and what uses
 * its crews, supplies and kits in that time.
 */
export function neighbourhood(shop: Relaxed, operation: OperationId, mode: Mode, from: Minute, until: Minute): Relaxed {
  const { problem, plan } = shop;
  const { operations } = lookUp(problem);
  const own = present(operations.get(operation), `operation ${operation}`);
  const machines = new Set(mode.machines);
  const skills = new Set(mode.phases.flatMap(({ needs }) => needs.map(({ skill }) => skill)));
  const crews = new Set(problem.crews.filter((crew) => crew.skills.some((skill) => skills.has(skill))).map(({ id }) => id));
  const supplies = new Set(mode.phases.flatMap(({ draws }) => draws.map(({ supply }) => supply)));
  const kits = new Set([
    ...own.kits.map(({ kit }) => kit),
    ...problem.kitSpans.filter((span) => span.from === operation || span.to === operation).map(({ kit }) => kit),
  ]);
  const inside = new Set<OperationId>([operation]);
  for (const link of problem.links) {
    if (link.from === operation) inside.add(link.to);
    if (link.to === operation) inside.add(link.from);
  }
  for (const rule of problem.runHourRules) if (machines.has(rule.machine)) for (const id of rule.operations) inside.add(id);
  for (const span of problem.kitSpans) {
    if (!kits.has(span.kit)) continue;
    inside.add(span.from);
    inside.add(span.to);
  }
  // Counters and calibrations look at all that a machine does; setups only at its neighbours.
  const wholeMachines = problem.machines.some(
    ({ id, calibrations }) =>
      machines.has(id) && (calibrations.length > 0 || problem.runHourRules.some((rule) => rule.machine === id)),
  );
  for (const id of setupNeighbours(shop, machines, from, until)) inside.add(id);
  for (const planned of plan.operations) {
    const other = operations.get(planned.operation);
    if (
      other !== undefined &&
      planned.lots.some((lot) =>
        meets(
          other.modes.find(({ id }) => id === lot.mode),
          lot,
        ),
      )
    )
      inside.add(other.id);
    if (other?.kits.some(({ kit }) => kits.has(kit))) inside.add(other.id);
  }
  for (const other of problem.operations) {
    const done = other.progress.done.some(({ mode: id }) =>
      other.modes.some((m) => m.id === id && m.machines.some((on) => machines.has(on))),
    );
    if (done) inside.add(other.id);
  }
  function meets(otherMode: Mode | undefined, lot: PlannedLot): boolean {
    if (otherMode === undefined) return false;
    const on = otherMode.machines.some((id) => machines.has(id));
    if (on && wholeMachines) return true;
    if (lot.end < from || lot.start > until) return false;
    if (on) return true;
    if (lot.phases.some((phase) => phase.crews.some((crew) => crews.has(crew)))) return true;
    return supplies.size > 0 && otherMode.phases.some(({ draws }) => draws.some(({ supply }) => supplies.has(supply)));
  }
  return {
    problem: {
      ...problem,
      operations: problem.operations.filter(({ id }) => inside.has(id)),
      links: problem.links.filter((link) => inside.has(link.from) && inside.has(link.to)),
      kitSpans: problem.kitSpans.filter((span) => kits.has(span.kit)),
      runHourRules: problem.runHourRules.filter((rule) => machines.has(rule.machine)),
    },
    plan: { operations: plan.operations.filter((planned) => inside.has(planned.operation)) },
    kept: shop.kept.filter((planned: PlannedOperation) => inside.has(planned.operation)),
  };
}

/** On each machine, the latest work with a family that starts before the stretch and the first that starts after it. */
function setupNeighbours(
  { problem, plan }: Relaxed,
  machines: ReadonlySet<string>,
  from: Minute,
  until: Minute,
): readonly OperationId[] {
  const { operations } = lookUp(problem);
  const before = new Map<string, { readonly start: Minute; readonly id: OperationId }>();
  const after = new Map<string, { readonly start: Minute; readonly id: OperationId }>();
  for (const { operation: id, lots } of plan.operations) {
    for (const { mode: named, start } of lots) {
      const mode = operations.get(id)?.modes.find((candidate) => candidate.id === named);
      mode?.machines.forEach((machine, i) => {
        if (!machines.has(machine) || mode.families[i] == null) return;
        if (start < from && start >= (before.get(machine)?.start ?? start)) before.set(machine, { start, id });
        if (start > until && start <= (after.get(machine)?.start ?? start)) after.set(machine, { start, id });
      });
    }
  }
  return [...before.values(), ...after.values()].map(({ id }) => id);
}
