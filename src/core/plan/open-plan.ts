/**
 * A plan opened for planning on: every lot lies in the engine's state exactly as the plan has it, but for the operations that are
 * to be placed anew. Promises that whatever was not touched is written back unchanged, lot for lot; judges nothing (the checker
 * does). Knows which work may be moved at all: begun, frozen and start-pinned work and services of run-hour rules may not.
 * A running batch that the plan cuts is read as cut. Opening costs O(size of the plan).
 */
import { frozenWork } from "../check/frozen.ts";
import { present } from "../ground/invariant.ts";
import { hasBegun, type Operation, type OperationId, workMinutes } from "../orders/operation.ts";
import type { Plan, PlannedLot, PlannedOperation } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { buildModel } from "../solve/decode/build-model.ts";
import { placementOfLot } from "../solve/decode/given.ts";
import { type DenseOp, type Model, NONE } from "../solve/decode/model.ts";
import type { Placement } from "../solve/decode/placement.ts";
import { State } from "../solve/decode/state.ts";
import { lotOf } from "../solve/decode/write-plan.ts";

export type OpenPlan = {
  readonly problem: Problem;
  readonly plan: Plan;
  readonly model: Model;
  readonly state: State;
  /** Where each lot row lay when the plan was opened. */
  readonly before: readonly (Placement | null)[];
  /** Operations that were left out, to be placed anew. */
  readonly out: ReadonlySet<OperationId>;
  readonly opOf: (id: OperationId) => DenseOp;
  /** Whether it may be moved by another's wish: not begun, not frozen, start not pinned, no service, not left out. */
  readonly isMovable: (op: DenseOp) => boolean;
  /** The plan as the state now has it. */
  readonly write: () => Plan;
};

/** Opens the plan; the free lots of `out` stay off, cut as the plan cuts them (whole, when it has none). */
export function openPlan(given: Problem, plan: Plan, out: ReadonlySet<OperationId> = new Set()): OpenPlan {
  const problem = asCut(given, plan);
  const model = buildModel(problem);
  const state = new State(model);
  const plannedOf = new Map(plan.operations.map((planned) => [planned.operation, planned]));
  const frozen = new Set(frozenWork(given).kept.map((planned) => planned.operation));
  for (const planned of plan.operations) {
    const index = model.opOfId.get(planned.operation);
    if (index === undefined) continue;
    const op = present(model.ops[index], planned.operation);
    load(state, op, planned.lots, out.has(op.id), frozen.has(op.id));
  }
  state.forget();
  const before = [...state.placed];
  const opOf = (id: OperationId): DenseOp => present(model.ops[present(model.opOfId.get(id), `operation ${id}`)], id);
  return {
    problem: given,
    plan,
    model,
    state,
    before,
    out,
    opOf,
    isMovable: (op) =>
      !op.finished &&
      !hasBegun(op.source.progress) &&
      !frozen.has(op.id) &&
      op.pinnedStart === NONE &&
      op.rule === NONE &&
      !out.has(op.id),
    write: () => writeBack(state, plannedOf, before),
  };
}

/** Lots of the plan as rows of the operation; when it is left out, only what runs is laid. */
function load(state: State, op: DenseOp, planned: readonly PlannedLot[], leftOut: boolean, frozen: boolean): void {
  const isRunning = (item: number): boolean => present(state.model.items[item], "lot").running !== null;
  const running = op.items.filter(isRunning);
  const free = op.items.filter((item) => !isRunning(item));
  const known = planned.filter((lot) => op.source.modes.some((mode) => mode.id === lot.mode));
  running.forEach((item, i) => {
    const lot = known[i];
    if (lot !== undefined) state.insert(placementOfLot(state, op, item, lot, true));
  });
  const rest = known.slice(running.length);
  if (rest.reduce((sum, lot) => sum + lot.pieces, 0) === op.freePieces && rest.length <= free.length)
    free.forEach((item, i) => {
      state.setPieces(item, rest[i]?.pieces ?? 0);
    });
  if (leftOut) return;
  rest.slice(0, free.length).forEach((lot, i) => {
    const item = present(free[i], "lot");
    if ((state.pieces[item] ?? 0) !== lot.pieces) state.setPieces(item, lot.pieces);
    state.insert(placementOfLot(state, op, item, lot, frozen));
  });
}

/** Untouched operations come back as they were, the others as the state has them; in the order of the problem. */
function writeBack(
  state: State,
  plannedOf: ReadonlyMap<OperationId, PlannedOperation>,
  before: readonly (Placement | null)[],
): Plan {
  const operations: PlannedOperation[] = [];
  for (const op of state.model.ops) {
    const old = plannedOf.get(op.id);
    const lots = op.items.flatMap((item) => state.placed[item] ?? []);
    const untouched = op.items.every((item) => state.placed[item] === before[item]);
    if (untouched && old !== undefined && (lots.length > 0 || op.items.length === 0)) operations.push(old);
    else if (lots.length > 0) {
      lots.sort((a, b) => Number(b.running) - Number(a.running) || a.start - b.start || a.item - b.item);
      operations.push({ operation: op.id, lots: lots.map((lot) => lotOf(state, lot)) });
    }
  }
  return { operations };
}

/** The problem with running batches as short as the plan has cut them, so that what was cut off can be placed. */
function asCut(problem: Problem, plan: Plan): Problem {
  const cuts = new Map(plan.operations.map(({ operation, lots }) => [operation, lots]));
  let any = false;
  const operations = problem.operations.map((operation) => {
    let as = operation;
    for (const i of operation.progress.running.keys()) {
      const lot = cuts.get(operation.id)?.[i];
      const shorter = lot === undefined ? null : withRunningCut(as, i, lot.pieces);
      if (shorter !== null) as = shorter;
    }
    if (as !== operation) any = true;
    return as;
  });
  return any ? { ...problem, operations } : problem;
}

/** The operation with one of its running lots cut after so many pieces; null when it does not run, is no longer, or those pieces are out already. */
export function withRunningCut(operation: Operation, lot: number, pieces: number): Operation | null {
  const running = operation.progress.running[lot];
  if (running === undefined || pieces >= running.pieces || pieces < 1) return null;
  const mode = operation.modes.find((candidate) => candidate.id === running.mode);
  const perPiece = mode?.phases.findIndex(({ work }) => work.kind === "perPiece") ?? -1;
  const phase = mode?.phases[perPiece];
  if (phase === undefined || perPiece < running.phase) return null;
  const less = workMinutes(phase.work, running.pieces) - workMinutes(phase.work, pieces);
  const remaining = perPiece === running.phase ? running.remaining - less : running.remaining;
  if (remaining < 0) return null;
  const cut = { ...running, pieces, remaining };
  return {
    ...operation,
    progress: { ...operation.progress, running: operation.progress.running.map((each) => (each === running ? cut : each)) },
  };
}
