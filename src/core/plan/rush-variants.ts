/**
 * More plans that fit a rush order in, for when few answers were found: others of its machines, only the last of its operations
 * brought forward, one end of it after the other, others brought forward into free time before it, one order at a time giving way, each of those that gave way spared in turn, a later begin for fewer moves. Plans
 * only: who compares them is rush.ts. Each try costs some milliseconds; `enough` ends them.
 */
import { present } from "../ground/invariant.ts";
import type { OperationId } from "../orders/operation.ts";
import type { OrderId } from "../orders/order.ts";
import type { Plan } from "../problem/plan.ts";
import { type DenseOp, FAR } from "../solve/decode/model.ts";
import type { Placement } from "../solve/decode/placement.ts";
import { ANYWHERE, fitAround, fitInMode } from "./fit-around.ts";
import { makeRoom, type RoomWish } from "./make-room.ts";
import { type OpenPlan, openPlan } from "./open-plan.ts";
import { ANY_ROOM, aroundEverything, type Known, opsInOrder, startsIn, type Verdict } from "./rush-candidates.ts";
import { laterEnds } from "./rush-later-ends.ts";
import { ownVariants } from "./rush-own-variants.ts";
import type { Wanted } from "./wanted-order.ts";

/** Orders that are asked, or spared, one by one. */
const ORDERS_TRIED = 8;
const SETS_TRIED = 8;
const PULLS_MOST = 10;
/** Operations moved at most by one try. */
const MOVES_MOST = 40;

export function variedCandidates(
  wanted: Wanted,
  plan: Plan,
  known: () => readonly Known[],
  offer: (plan: Plan) => Verdict | null,
  enough: () => boolean,
): void {
  const open = openPlan(wanted.problem, plan, wanted.operations);
  const ops = opsInOrder(open, wanted.operations);
  const attempt = (on: OpenPlan, which: readonly DenseOp[], change: Partial<RoomWish>): void => {
    if (enough()) return;
    const made = makeRoom(on, which, { ...ANY_ROOM, movesMost: MOVES_MOST, ...change });
    if (made !== null) offer(made);
  };
  const isOf = (orders: ReadonlySet<OrderId>) => (op: DenseOp) => orders.has(op.source.order);

  // of an order that is planned, only the last operations come forward: fewer people hear of it
  if (known().length === 0 || plan.operations.some(({ operation }) => wanted.operations.has(operation)))
    for (let last = 1; last < ops.length; last++) {
      if (enough()) return;
      const some: ReadonlySet<OperationId> = new Set(ops.slice(-last).map(({ id }) => id));
      const part = openPlan(wanted.problem, plan, some);
      const which = opsInOrder(part, some);
      // what belongs together comes forward as a whole
      if (which.some(({ block }) => block.some((member) => which.every(({ index }) => index !== member)))) continue;
      const around = aroundEverything(part, which);
      if (around !== null) offer(around);
      attempt(part, which, {});
    }
  for (const made of laterEnds(wanted, open, ops)) {
    if (enough()) return;
    offer(made);
  }
  for (const set of machineSets(ops).slice(0, SETS_TRIED)) {
    if (enough()) return;
    const mark = open.state.mark();
    const fits = fitAround(open.state, ops, { notBefore: -FAR, modes: (mode) => mode.machineSet !== set });
    const made = fits ? open.write() : null;
    open.state.undoTo(mark);
    if (made !== null) offer(made);
  }
  for (const together of [false, true])
    for (const made of pulledForward(open, ops, together)) {
      if (enough()) return;
      offer(made);
    }
  for (const made of ownVariants(wanted, plan)) {
    if (enough()) return;
    offer(made);
  }
  for (const { moved } of known().toSorted((a, b) => a.finish - b.finish)) {
    const some = [...moved].slice(0, ORDERS_TRIED);
    for (const one of some) attempt(open, ops, { displaceable: isOf(new Set([one])) });
    for (const one of some) attempt(open, ops, { displaceable: isOf(new Set([...moved].filter((id) => id !== one))) });
  }
  // the same dates for the order, everybody else as near to the plan in hand as they allow
  for (const { plan: found } of known()) {
    attempt(open, ops, { notBefore: startsIn(found) });
    attempt(open, ops, { notBefore: startsIn(found), keepNear: false });
  }
}

/**
 * The wanted work around everything, after work of others on its machines was brought forward into free time before it: nobody is
 * hurt by that. One lot alone at a time, or one after the other and all of them together.
 */
function* pulledForward(open: OpenPlan, ops: readonly DenseOp[], together: boolean): Generator<Plan> {
  const { state, model } = open;
  const machines = new Set(ops.flatMap((op) => op.modes.flatMap((mode) => mode.machines)));
  const lots = state.placed
    .filter((lot): lot is Placement => lot !== null && !lot.fixed && lot.mode.machines.some((machine) => machines.has(machine)))
    .filter((lot) => open.isMovable(present(model.ops[lot.op], "operation")))
    .sort((a, b) => a.start - b.start || a.item - b.item);
  const begin = state.mark();
  let pulls = 0;
  for (const lot of lots) {
    const op = present(model.ops[lot.op], "operation");
    if (op.block.length > 0 || pulls >= PULLS_MOST) continue;
    const mark = state.mark();
    state.remove(lot);
    const sooner = fitInMode(state, op, lot.item, lot.mode, -FAR, lot.end - 1);
    if (sooner === null || sooner.start >= lot.start) {
      state.undoTo(mark);
      continue;
    }
    state.insert(sooner);
    pulls += 1;
    const pulled = state.mark();
    const made = fitAround(state, ops, ANYWHERE) ? open.write() : null;
    state.undoTo(together ? pulled : mark);
    if (made !== null) yield made;
  }
  state.undoTo(begin);
}

/** Machines that some of the operations may do without. */
function machineSets(ops: readonly DenseOp[]): readonly string[] {
  const sets = ops.map((op) => new Set(op.modes.flatMap((mode) => (mode.impossible ? [] : [mode.machineSet]))));
  return [...new Set(sets.filter((own) => own.size > 1).flatMap((own) => [...own]))];
}
