/**
 * A minute before which an order cannot be complete, whatever gives way: its own work, and the work of others that it follows, alone
 * in the shop beside what runs and what is frozen. Promises that no plan which leaves those where they lie completes it sooner: others,
 * longest lags, transfers of pieces, kit spans, calibrations and services are left out, a setup is the least that any order of work could need by then
 * (least-setup.ts), batches are as small as they may be cut, running batches of others end at their first cut. Comes with the shop so thinned and a plan of
 * the chain that decides, so that the reasons can be asked of it. Cost: two opened plans, and a search for a place for each operation and setup.
 */
import type { Minute } from "../calendar/minute.ts";
import { check } from "../check/checker.ts";
import type { ConflictKind } from "../check/conflict.ts";
import { frozenWork } from "../check/frozen.ts";
import { runningWork } from "../check/running-work.ts";
import { hasBegun, type Operation, type OperationId } from "../orders/operation.ts";
import type { Plan, PlannedOperation } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { FAR } from "../solve/decode/model.ts";
import { EARLIEST, placeInMode } from "../solve/decode/place.ts";
import type { Placement } from "../solve/decode/placement.ts";
import { lotOf } from "../solve/decode/write-plan.ts";
import { type Ends, earliestEnds, freeItem, toTheEnd } from "./earliest-ends.ts";
import { asFound, leastOf, leaving, thinned } from "./easy-shop.ts";
import { fitLot } from "./fit-around.ts";
import { type LeastSetups, leastSetups } from "./least-setup.ts";
import { type OpenPlan, openPlan } from "./open-plan.ts";
import type { Wanted } from "./wanted-order.ts";

export type Soonest = {
  /** No plan completes the order before it; null: none does within the horizon. */
  readonly finish: Minute | null;
  /** The shop without what may give way, with the chain of work that decides, each as early as it goes. */
  readonly alone: {
    readonly problem: Problem;
    readonly plan: Plan;
    /** From the last work back. */
    readonly chain: readonly OperationId[];
  };
};

/** Conflicts with rules that the thinned shop does not have, and work that has no place yet. */
const WITHOUT_RULE: ReadonlySet<ConflictKind> = new Set<ConflictKind>([
  ...(["notPlanned", "afterDeadline", "maintenanceOverdue", "calibrationLapsed", "lagLong"] as const),
]);

/**
 * `plan`: the plan in hand. Work that breaks a rule in it may go on breaking it, so it bounds nothing. `whole`: with the work that has no
 * place now and might still come in between.
 */
export function soonest(wanted: Pick<Wanted, "problem" | "order">, plan: Plan, whole: Problem = wanted.problem): Soonest {
  const { problem } = wanted;
  const broken = brokenWork(problem, plan);
  const isFixed = fixedWork(problem);
  const { kept } = frozenWork(problem);
  const setups = leastSetups(
    whole,
    kept.filter(({ operation }) => !broken.has(operation)),
    (one) => hasBegun(one.progress) || broken.has(one.id),
  );
  const standing = (shop: Problem): readonly PlannedOperation[] => [
    ...runningWork(shop).map((planned) => toTheEnd(shop, planned)),
    ...kept,
  ];
  const bound = (least: LeastSetups) => earliestEnds(wanted, thinned(wanted, isFixed, least), { standing, isFixed, broken });
  const floorOf = ({ early }: Ends, id: OperationId): Minute => Math.max(problem.now, early.get(id)?.floor ?? -FAR);
  const waits = (ends: Ends): boolean =>
    ends.chain.some((id) => (ends.easy.setups.get(`${id} ${ends.early.get(id)?.mode}`)?.from ?? -FAR) > floorOf(ends, id));
  const tight = bound(setups);
  // where it would wait for others to leave a family, no reason could be told: then as if somebody had left it long ago
  const ends = waits(tight) ? bound((one, mode) => leastOf(setups(one, mode))) : tight;
  const { early, chain, last } = ends;
  const inChain = new Set(chain);
  const { shop } = ends.easy;
  const gone = shop.operations.filter((operation) => !isFixed(operation) && !inChain.has(operation.id)).map(({ id }) => id);
  const decides = leaving(shop, new Set(gone));
  const alone: Problem = {
    ...decides,
    operations: decides.operations.map((one) =>
      isFixed(one) ? one : { ...one, modes: asFound(one, ends.easy, early.get(one.id)?.mode ?? null, floorOf(ends, one.id)) },
    ),
  };
  const stands = standing(shop);
  const begun = new Map(stands.map((planned) => [planned.operation, planned.lots]));
  const open = openPlan(alone, { operations: stands }, new Set(chain.filter((id) => !begun.has(id))));
  const lots = inOneRow(open, chain.toReversed(), (id) => floorOf(ends, id)).map(
    ([id, lot]): PlannedOperation => ({ operation: id, lots: [...(begun.get(id) ?? []), lotOf(open.state, lot)] }),
  );
  const placed = new Set(lots.map(({ operation }) => operation));
  return {
    finish: last >= FAR ? null : Math.max(problem.now, last),
    alone: {
      problem: alone,
      plan: { operations: [...stands.filter(({ operation }) => !placed.has(operation)), ...lots] },
      chain,
    },
  };
}

/** Operations that break a rule which the thinned shop has too. */
export const brokenWork = (problem: Problem, plan: Plan): ReadonlySet<OperationId> =>
  new Set(check(problem, plan).conflicts.flatMap(({ kind, operations }) => (WITHOUT_RULE.has(kind) ? [] : operations)));

export function fixedWork(problem: Problem): (operation: Operation) => boolean {
  const kept = new Set(frozenWork(problem).kept.map(({ operation }) => operation));
  return ({ id, progress }) => kept.has(id) || hasBegun(progress);
}

/** The chain placed one after the other, each at its earliest behind the one before: what no lot holds yet. */
function inOneRow(
  { state, opOf }: OpenPlan,
  chain: readonly OperationId[],
  floorOf: (id: OperationId) => Minute,
): readonly (readonly [OperationId, Placement])[] {
  return chain.flatMap((id): [OperationId, Placement][] => {
    const op = opOf(id);
    const item = freeItem(state, op);
    const lot = item === undefined ? null : fitLot(state, op, item, -FAR, null);
    if (item === undefined || lot === null) return [];
    // begun right behind the one before where it would only wait: then that is what it is told to wait for
    const at = { ...EARLIEST, exactStart: floorOf(id), latestEnd: lot.end, keepOthers: true };
    const begun = floorOf(id) < lot.start ? placeInMode(state, item, lot.mode, at) : null;
    state.insert(begun ?? lot);
    return [[id, begun ?? lot]];
  });
}
