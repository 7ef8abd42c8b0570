/**
 * Moving one operation by hand: where a dragged bar would lie, and where it fits. Only that operation changes; the checker says
 * what the place breaks. Promises the exact start where calendars and flow allow it (else the first begin they allow after it);
 * crews are chosen free ones first. The plan last asked about stays loaded, so that a drag costs well under a millisecond a call.
 * Lots of a split operation keep their distances where they can; running lots stay.
 */

import type { Minute } from "../calendar/minute.ts";
import { present } from "../ground/invariant.ts";
import type { ModeId, OperationId } from "../orders/operation.ts";
import type { Plan, PlannedLot, PlannedOperation } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { buildModel } from "../solve/decode/build-model.ts";
import { placementOfLot } from "../solve/decode/given.ts";
import { layAt } from "../solve/decode/lay-operation.ts";
import type { DenseMode, DenseOp } from "../solve/decode/model.ts";
import { EARLIEST, placeInMode } from "../solve/decode/place.ts";
import type { Placement } from "../solve/decode/placement.ts";
import { brokenPairs, lotConflicts } from "../solve/decode/rule-breaks.ts";
import { State } from "../solve/decode/state.ts";
import { transferBroken } from "../solve/decode/transfer.ts";
import { lotOf } from "../solve/decode/write-plan.ts";

export type Mover = {
  /** The plan with the operation at the start in the mode; conflicts are allowed, nothing else changes. */
  place(plan: Plan, operation: OperationId, mode: ModeId, start: Minute): Plan;
  /**
   * The first start at or after the minute where the whole operation fits without any conflict there and without moving others; null: none.
   * What its leaving changes behind its old place, the setup of the next work, is the same wherever it goes and not asked about.
   */
  firstFit(plan: Plan, operation: OperationId, mode: ModeId, notBefore: Minute): Minute | null;
};

type Loaded = {
  readonly plan: Plan;
  readonly operation: OperationId;
  readonly state: State;
  readonly before: readonly PlannedLot[];
};

export function createMover(problem: Problem): Mover {
  const model = buildModel(problem);
  let loaded: Loaded | null = null;

  /** The plan without the operation's free lots. */
  const load = (plan: Plan, operation: OperationId): Loaded => {
    if (loaded !== null && loaded.plan === plan && loaded.operation === operation) return loaded;
    const state = new State(model);
    let before: readonly PlannedLot[] = [];
    for (const planned of plan.operations) {
      const index = model.opOfId.get(planned.operation);
      if (index === undefined) continue;
      const op = present(model.ops[index], "operation");
      if (planned.operation === operation) before = planned.lots;
      loadLots(state, op, planned, planned.operation === operation);
    }
    state.forget();
    loaded = { plan, operation, state, before };
    return loaded;
  };

  return {
    place(plan, operation, modeId, start) {
      const { state, before } = load(plan, operation);
      const { op, mode } = find(model.ops, model.opOfId, operation, modeId);
      const mark = state.mark();
      const lots = layLots(state, op, mode, before, start);
      const moved = [...lots].sort((a, b) => a.start - b.start || a.item - b.item).map((placed) => lotOf(state, placed));
      const runningLots = before.slice(0, op.source.progress.running.length);
      state.undoTo(mark);
      return withOperation(plan, { operation, lots: [...runningLots, ...moved] });
    },
    firstFit(plan, operation, modeId, notBefore) {
      const { state, before } = load(plan, operation);
      const { op, mode } = find(model.ops, model.opOfId, operation, modeId);
      const first = freeLots(state, op)[0];
      if (first === undefined) return null;
      const order = present(model.orders[op.order], "order");
      const conflictsBefore = state.conflicts;
      let from = notBefore;
      for (let tries = 0; tries < STARTS_MOST; tries++) {
        const candidate = placeInMode(state, first, mode, { ...EARLIEST, notBefore: from, keepOthers: true });
        if (candidate === null) return null;
        const mark = state.mark();
        const lots = layLots(state, op, mode, before, candidate.start);
        const clean =
          lots.every((placed) => lotConflicts(model, placed) + brokenPairs(state, placed) === 0) &&
          (state.completion[op.order] ?? 0) <= order.deadline &&
          state.conflicts <= conflictsBefore &&
          !transfersBroken(state, op) &&
          !spansShort(state, op) &&
          lots.every((placed) => standsFree(state, placed));
        state.undoTo(mark);
        if (clean) return candidate.start;
        // a single lot in its earliest free place breaks something that a later place will not mend
        if (lots.length === 1) return null;
        from = candidate.start + 1;
      }
      return null;
    },
  };
}

/** Starts tried for the first of several lots before saying that they fit nowhere. */
const STARTS_MOST = 60;

const freeLots = (state: State, op: DenseOp): readonly number[] =>
  op.items.filter((item) => present(state.model.items[item], "lot").running === null && (state.pieces[item] ?? 0) > 0);

/**
 * Puts the free lots into the state: the first at the start, the others as far behind it as they were, or at the next place
 * that is free for them.
 */
function layLots(state: State, op: DenseOp, mode: DenseMode, before: readonly PlannedLot[], start: Minute): Placement[] {
  const skipped = op.source.progress.running.length;
  const oldFirst = before[skipped]?.start ?? start;
  return freeLots(state, op).map((item, i) => {
    const wanted = start + (before[i + skipped]?.start ?? oldFirst) - oldFirst;
    const placed =
      placeInMode(state, item, mode, { ...EARLIEST, exactStart: wanted, keepOthers: true }) ??
      (i === 0 ? null : placeInMode(state, item, mode, { ...EARLIEST, notBefore: start, keepOthers: true })) ??
      layAt(state, item, mode, state.pieces[item] ?? 0, wanted);
    state.insert(placed);
    return placed;
  });
}

/** Whether nothing else is in the way where the lot was put without asking (one that found no free place). */
function standsFree(state: State, placed: Placement): boolean {
  const mark = state.mark();
  state.remove(placed);
  const free = placeInMode(state, placed.item, placed.mode, { ...EARLIEST, exactStart: placed.start, keepOthers: true }) !== null;
  state.undoTo(mark);
  return free;
}

/** Whether what takes over pieces from the operation would begin one of them too early. */
function transfersBroken(state: State, op: DenseOp): boolean {
  return op.after.some(
    (link) =>
      link.kind === "transfer" &&
      present(state.model.ops[link.to], "next operation").items.some((item) => {
        const next = state.placed[item];
        return next !== null && next !== undefined && transferBroken(state, next);
      }),
  );
}

/** Whether a kit held from or to the operation is short while it is held. */
function spansShort(state: State, op: DenseOp): boolean {
  return op.spans.some((span) => {
    const [from, until] = state.spanHold(span.index);
    return from < until && present(state.kits[span.kit], "kit").shortUntil(from, until, 0) >= 0;
  });
}

function find(
  ops: readonly DenseOp[],
  rows: ReadonlyMap<OperationId, number>,
  operation: OperationId,
  modeId: ModeId,
): { op: DenseOp; mode: DenseMode } {
  const op = present(ops[present(rows.get(operation), `operation ${operation}`)], operation);
  const mode = present(op.modes[op.source.modes.findIndex((candidate) => candidate.id === modeId)], `mode ${modeId}`);
  return { op, mode };
}

/** Lots of the plan as rows of the operation; of the one that is moved, only what runs stays. */
function loadLots(state: State, op: DenseOp, planned: PlannedOperation, moved: boolean): void {
  const isRunning = (item: number): boolean => present(state.model.items[item], "lot").running !== null;
  const running = op.items.filter(isRunning);
  const free = op.items.filter((item) => !isRunning(item));
  const known = planned.lots.filter((lot) => op.source.modes.some((mode) => mode.id === lot.mode));
  running.forEach((item, i) => {
    const lot = known[i];
    if (lot !== undefined) state.insert(placementOfLot(state, op, item, lot, true));
  });
  const rest = known.slice(running.length);
  free.forEach((item, i) => {
    state.setPieces(item, rest[i]?.pieces ?? 0);
  });
  if (moved) {
    if (rest.length === 0 && free.length > 0) state.cutEvenly(op, 1);
    return;
  }
  rest.slice(0, free.length).forEach((lot, i) => {
    state.insert(placementOfLot(state, op, present(free[i], "lot"), lot, false));
  });
}

function withOperation(plan: Plan, changed: PlannedOperation): Plan {
  const known = plan.operations.some((planned) => planned.operation === changed.operation);
  if (!known) return { operations: [...plan.operations, changed] };
  return { operations: plan.operations.map((planned) => (planned.operation === changed.operation ? changed : planned)) };
}
