/**
 * More plans that fit a rush order in, one end of it after the other: each end that its last operation could have before the one it
 * has, and who gives way for it - everybody who is in the way, or one order alone. What gives way keeps its begin where it can and only its
 * later phases wait; what was prepared as planned stays prepared as planned, so fewer people hear of it. Plans only: who compares them is rush.ts.
 */
import type { Minute } from "../calendar/minute.ts";
import type { OperationId } from "../orders/operation.ts";
import type { OrderId } from "../orders/order.ts";
import type { Plan, PlannedLot } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { type DenseOp, FAR } from "../solve/decode/model.ts";
import { lotOf } from "../solve/decode/write-plan.ts";
import { lift, makeRoom, placeWanted } from "./make-room.ts";
import type { OpenPlan } from "./open-plan.ts";
import { orderCompletions } from "./plan-difference.ts";
import { ANY_ROOM } from "./rush-candidates.ts";
import type { Wanted } from "./wanted-order.ts";

/** Ends that are tried, the earliest first, and begins looked at for each. */
const ENDS_TRIED = 10;
const BEGINS_EACH = 8;
/** Orders asked to give way alone, those that share most of its time first. */
const ORDERS_TRIED = 6;
const MOVES_MOST = 40;

type LaterEnd = {
  /** The latest begin of the last operation that leads to it. */
  readonly begin: Minute;
  readonly lots: readonly PlannedLot[];
};

export function* laterEnds(wanted: Wanted, open: OpenPlan, ops: readonly DenseOp[]): Generator<Plan> {
  const { problem } = wanted;
  const last = ops.at(-1);
  const standing = orderCompletions(problem, open.plan).get(wanted.order.id) ?? null;
  if (last === undefined || standing === null) return;
  for (const { begin, lots } of endsBefore(open, ops, standing)) {
    const wish = { ...ANY_ROOM, notBefore: (op: DenseOp) => (op === last ? begin : -FAR), movesMost: MOVES_MOST };
    const wishes = [
      ...[{ mayWait: true }, {}],
      ...inTheWay(open, last.id, lots).map((one) => ({ mayWait: true, displaceable: (op: DenseOp) => op.source.order === one })),
    ];
    for (const own of wishes) {
      const made = makeRoom(open, ops, { ...wish, ...own });
      if (made === null) continue;
      yield made;
      const prepared = preparedAsBefore(open.plan, made, wanted.operations);
      if (prepared !== null) yield prepared;
    }
  }
}

/** The ends of the last operation before that minute, as if what may be displaced were not there. Leaves the state as it was. */
function endsBefore(open: OpenPlan, ops: readonly DenseOp[], until: Minute): readonly LaterEnd[] {
  const { state } = open;
  const last = ops.at(-1);
  if (last === undefined) return [];
  const mark = state.mark();
  lift(open, () => true);
  const found = new Map<Minute, LaterEnd>();
  let from = -FAR;
  for (let tries = 0; tries < ENDS_TRIED * BEGINS_EACH; tries++) {
    const tried = state.mark();
    const placed = placeWanted(state, ops, { notBefore: (op) => (op === last ? from : -FAR) }, []);
    const lots = last.items.flatMap((item) => state.placed[item] ?? []).filter((lot) => !lot.fixed);
    const planned = lots.map((lot) => lotOf(state, lot));
    state.undoTo(tried);
    const begin = Math.min(...planned.map((lot) => lot.start));
    const end = Math.max(...planned.map((lot) => lot.end));
    if (!placed || planned.length === 0 || end >= until || begin < from) break;
    if (found.size === ENDS_TRIED && !found.has(end)) break;
    found.set(end, { begin, lots: planned });
    from = begin + 1;
  }
  state.undoTo(mark);
  return [...found.values()];
}

/** Orders whose movable work uses, at the same time, something that these lots use: those that share the most minutes first. */
function inTheWay(open: OpenPlan, id: OperationId, lots: readonly PlannedLot[]): readonly OrderId[] {
  const { problem, plan } = open;
  const own = new Set(lots.flatMap((lot) => usesOf(problem, id, lot)));
  const shared = new Map<OrderId, number>();
  for (const { operation, lots: others } of plan.operations) {
    if (open.out.has(operation) || !open.model.opOfId.has(operation)) continue;
    const op = open.opOf(operation);
    if (!open.isMovable(op)) continue;
    const minutes = others.reduce((sum, other) => {
      const together = lots.reduce(
        (most, lot) => Math.max(most, Math.min(lot.end, other.end) - Math.max(lot.start, other.start)),
        0,
      );
      return together > 0 && usesOf(problem, operation, other).some((use) => own.has(use)) ? sum + together : sum;
    }, 0);
    if (minutes > 0) shared.set(op.source.order, (shared.get(op.source.order) ?? 0) + minutes);
  }
  return [...shared]
    .sort(([a, x], [b, y]) => y - x || (a < b ? -1 : 1))
    .slice(0, ORDERS_TRIED)
    .map(([order]) => order);
}

/** Machines, crews and supplies of a lot, by name. */
function usesOf(problem: Problem, id: OperationId, lot: PlannedLot): readonly string[] {
  const mode = problem.operations.find((operation) => operation.id === id)?.modes.find((one) => one.id === lot.mode);
  return [
    ...(mode?.machines ?? []).map((machine) => `machine ${machine}`),
    ...lot.phases.flatMap(({ crews }) => crews.map((crew) => `crew ${crew}`)),
    ...(mode?.phases ?? []).flatMap(({ draws }) => draws.map(({ supply }) => `supply ${supply}`)),
  ];
}

/** The plan with the order's own work prepared when it was, where it only has to wait longer then; null: nothing of that. */
function preparedAsBefore(inHand: Plan, made: Plan, own: ReadonlySet<OperationId>): Plan | null {
  const old = new Map(inHand.operations.map(({ operation, lots }) => [operation, lots]));
  let any = false;
  const operations = made.operations.map((planned) => {
    const before = old.get(planned.operation);
    if (!own.has(planned.operation) || before?.length !== planned.lots.length) return planned;
    const lots = planned.lots.map((lot, i): PlannedLot => {
      const [was, is] = [before[i]?.phases[0], lot.phases[0]];
      const next = lot.phases[1]?.work[0]?.[0];
      const [first, end] = [was?.work[0]?.[0], was?.work.at(-1)?.[1]];
      if (was === undefined || is === undefined || next === undefined || first === undefined || end === undefined) return lot;
      if (before[i]?.mode !== lot.mode || was.phase !== is.phase || first >= lot.start || end > next) return lot;
      any = true;
      return { ...lot, start: first, phases: [was, ...lot.phases.slice(1)] };
    });
    return { ...planned, lots };
  });
  return any ? { operations } : null;
}
