/**
 * Moving one operation by hand: where a dragged bar would lie, and where it fits. Only that operation changes; the checker says
 * what the place breaks. Promises the exact start where calendars and flow allow it (else the first begin they allow after it);
 * crews are chosen free ones first. The plan last asked about stays loaded, so that a drag costs well under a millisecond a call.
 * Lots of a split operation keep their distances; a running lot stays.
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
  /** The first start at or after the minute where the whole operation fits without any conflict and without moving others; null: none. */
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
      const lots: Placement[] = [];
      const firstFree = before[op.source.progress.running ? 1 : 0]?.start ?? start;
      const usable = op.items.filter((item) => !present(model.items[item], "lot").running);
      usable.forEach((item, i) => {
        const pieces = state.pieces[item] ?? 0;
        if (pieces === 0) return;
        const old = before[i + (op.source.progress.running ? 1 : 0)];
        const from = old === undefined ? start : start + old.start - firstFree;
        const fitting = placeInMode(state, item, mode, { ...EARLIEST, exactStart: from, keepOthers: true });
        const placed = fitting ?? layAt(state, item, mode, pieces, from);
        state.insert(placed);
        lots.push(placed);
      });
      const moved = lots.sort((a, b) => a.start - b.start || a.item - b.item).map((placed) => lotOf(state, placed));
      const runningLots = op.source.progress.running ? before.slice(0, 1) : [];
      state.undoTo(mark);
      return withOperation(plan, { operation, lots: [...runningLots, ...moved] });
    },
    firstFit(plan, operation, modeId, notBefore) {
      const { state } = load(plan, operation);
      const { op, mode } = find(model.ops, model.opOfId, operation, modeId);
      const mark = state.mark();
      const conflictsBefore = state.conflicts;
      let first: Minute | null = null;
      let whole = true;
      for (const item of op.items) {
        if (present(model.items[item], "lot").running || (state.pieces[item] ?? 0) === 0) continue;
        const placed = placeInMode(state, item, mode, { ...EARLIEST, notBefore, keepOthers: true });
        if (placed === null || lotConflicts(model, placed) + brokenPairs(state, placed) > 0) {
          whole = false;
          break;
        }
        if (first === null || placed.start < first) first = placed.start;
        state.insert(placed);
      }
      const order = present(model.orders[op.order], "order");
      const inTime = (state.completion[op.order] ?? 0) <= order.deadline;
      const clean =
        whole && inTime && state.conflicts <= conflictsBefore && !transfersBroken(state, op) && !spansShort(state, op);
      state.undoTo(mark);
      return clean ? first : null;
    },
  };
}

/** Whether what takes over pieces from the operation would begin one of them too early. */
function transfersBroken(state: State, op: DenseOp): boolean {
  return op.after.some(
    (link) =>
      link.kind === "transfer" &&
      present(state.model.ops[link.to], "next operation").items.some((item) => {
        const next = state.placed[item];
        return next !== null && next !== undefined && transferBroken(state, link, next);
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
  const isRunning = (item: number): boolean => present(state.model.items[item], "lot").running;
  const running = op.items.find(isRunning);
  const free = op.items.filter((item) => !isRunning(item));
  const known = planned.lots.filter((lot) => op.source.modes.some((mode) => mode.id === lot.mode));
  const hasRunning = running !== undefined && known.length > 0;
  if (hasRunning) state.insert(placementOfLot(state, op, running, present(known[0], "running lot"), true));
  const rest = hasRunning ? known.slice(1) : known;
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
