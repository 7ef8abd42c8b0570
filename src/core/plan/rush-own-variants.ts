/**
 * More plans that fit a rush order in, which differ in what the order itself does: its work stays on the machines that know of it, begins
 * a little later (in other hours, with other people), or its batches are cut into lots that run side by side. Plans only: who compares
 * them is rush.ts.
 */
import type { Minute } from "../calendar/minute.ts";
import { present } from "../ground/invariant.ts";
import { hasBegun, type OperationId } from "../orders/operation.ts";
import type { Plan, PlannedLot } from "../problem/plan.ts";
import { type DenseMode, type DenseOp, FAR } from "../solve/decode/model.ts";
import { fitAround } from "./fit-around.ts";
import { makeRoom } from "./make-room.ts";
import { type OpenPlan, openPlan } from "./open-plan.ts";
import { orderCompletions } from "./plan-difference.ts";
import { ANY_ROOM, opsInOrder } from "./rush-candidates.ts";
import type { Wanted } from "./wanted-order.ts";

/** Begins tried between the earliest and the one the plan in hand has. */
const BEGINS = 8;
/** Batches of the order that are cut, and into how many lots at most. */
const CUT_MOST = 4;
const LOTS_MOST = 3;
const MOVES_MOST = 40;

export function* ownVariants(wanted: Wanted, plan: Plan): Generator<Plan> {
  const open = openPlan(wanted.problem, plan, wanted.operations);
  const ops = opsInOrder(open, wanted.operations);
  const stays = onItsMachines(plan, ops);
  const standing = orderCompletions(wanted.problem, plan).get(wanted.order.id) ?? wanted.problem.horizon;
  const from = Math.max(wanted.problem.now, wanted.order.release);
  for (let step = 0; step < BEGINS; step++) {
    const notBefore = step === 0 ? -FAR : from + Math.floor((step * (standing - from)) / BEGINS);
    for (const modes of stays === null ? [null] : [stays, null]) {
      const made = around(open, ops, notBefore, modes);
      if (made !== null) yield made;
    }
  }
  for (const cut of cutOwn(wanted, plan)) {
    const other = openPlan(wanted.problem, cut, wanted.operations);
    const lots = opsInOrder(other, wanted.operations);
    const alone = around(other, lots, -FAR, null);
    if (alone !== null) yield alone;
    const made = makeRoom(other, lots, { ...ANY_ROOM, movesMost: MOVES_MOST });
    if (made !== null) yield made;
  }
}

function around(
  { state, write }: OpenPlan,
  ops: readonly DenseOp[],
  notBefore: Minute,
  modes: ((mode: DenseMode) => boolean) | null,
): Plan | null {
  const mark = state.mark();
  const made = fitAround(state, ops, { notBefore, modes }) ? write() : null;
  state.undoTo(mark);
  return made;
}

/** Only the machines that the plan in hand gives each of the operations; null: some stand nowhere, or nowhere else could they be. */
function onItsMachines(plan: Plan, ops: readonly DenseOp[]): ((mode: DenseMode) => boolean) | null {
  const lots = new Map(plan.operations.map((planned) => [planned.operation, planned.lots]));
  const sets = new Map<number, ReadonlySet<string>>();
  for (const op of ops) {
    const own = lots.get(op.id)?.flatMap(({ mode }) => op.modes[op.source.modes.findIndex(({ id }) => id === mode)] ?? []) ?? [];
    if (own.length === 0) return null;
    sets.set(op.index, new Set(own.map(({ machineSet }) => machineSet)));
  }
  const choice = ops.some((op) => op.modes.some(({ machineSet }) => !present(sets.get(op.index), "machines").has(machineSet)));
  return choice ? (mode) => sets.get(mode.op)?.has(mode.machineSet) === true : null;
}

/** The plan with batches of the order as if they were cut into more lots: one batch at a time, then all of them. */
function cutOwn(wanted: Wanted, plan: Plan): readonly Plan[] {
  const lots = new Map(plan.operations.map((planned) => [planned.operation, planned.lots]));
  const cuts = wanted.problem.operations.flatMap(({ id, split, pieces, progress, modes }) => {
    if (split === null || !wanted.operations.has(id) || hasBegun(progress)) return [];
    const mode = modes[0]?.id ?? "";
    const now = lots.get(id)?.length ?? 1;
    return Array.from({ length: Math.max(0, Math.min(LOTS_MOST, split.lots) - now) }, (_, i) => now + i + 1)
      .filter((count) => Math.floor(pieces / count) >= split.minPieces)
      .map((count) => ({ id, lots: evenly(pieces, count, mode) }));
  });
  const some = cuts.slice(0, CUT_MOST);
  const once = [...new Map(cuts.map((cut) => [cut.id, cut] as const)).values()];
  return [...some.map((cut) => withLots(plan, [cut])), ...(once.length > 1 ? [withLots(plan, once)] : [])];
}

const evenly = (pieces: number, count: number, mode: string): readonly PlannedLot[] =>
  Array.from({ length: count }, (_, i) => ({
    ...{ mode, start: 0, end: 0, phases: [] },
    pieces: Math.floor(pieces / count) + (i < pieces % count ? 1 : 0),
  }));

/** Lots say only how many pieces: the operations are taken out of the plan before it is planned on. */
const withLots = (plan: Plan, cuts: readonly { readonly id: OperationId; readonly lots: readonly PlannedLot[] }[]): Plan => ({
  operations: [
    ...plan.operations.filter(({ operation }) => cuts.every(({ id }) => id !== operation)),
    ...cuts.map(({ id, lots }) => ({ operation: id, lots })),
  ],
});
