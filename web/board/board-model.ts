/**
 * The board as data: everything a painter, a hit test, a keyboard or a list needs, derived once from (problem, plan, conflicts).
 * Pure. O(work log work). The part that depends on the shop alone is kept when only the plan changes.
 */

import type { Intervals } from "../../src/core/calendar/intervals.ts";
import { normalise } from "../../src/core/calendar/intervals.ts";
import type { Interval } from "../../src/core/calendar/minute.ts";
import type { CheckResult } from "../../src/core/check/conflict.ts";
import type { Operation, OperationId } from "../../src/core/orders/operation.ts";
import type { Order, OrderId } from "../../src/core/orders/order.ts";
import type { Plan, PlannedLot, PlannedOperation } from "../../src/core/problem/plan.ts";
import type { Problem } from "../../src/core/problem/problem.ts";
import type { SiteTime } from "../present/site-time.ts";
import { type Bar, barKey, isRush, joined, operationNumber, pastSegments, type Segment, segmentsOf, type Trade } from "./bar.ts";
import { type ConflictList, conflictList } from "./conflict-list.ts";
import { closedRow, type Ground, groundOf } from "./ground.ts";
import { type Lanes, lanesOf, packed } from "./lanes.ts";
import { type Completion, completions, type LateOrder, lateOrders } from "./late-orders.ts";
import { byOperation, type Phantom, publishedPlaces } from "./published-places.ts";
import { type TickSource, tickSource } from "./ticks.ts";

/** What depends on the shop and not on the plan. */
export type ShopModel = {
  readonly problem: Problem;
  readonly time: SiteTime;
  readonly ticks: TickSource;
  readonly ground: Ground;
  readonly operation: ReadonlyMap<OperationId, Operation>;
  readonly order: ReadonlyMap<OrderId, Order>;
  readonly ofOrder: ReadonlyMap<OrderId, readonly Operation[]>;
  /** Per machine index: minutes closed while somebody is on site. */
  readonly closedOf: readonly Intervals[];
  readonly published: ReadonlyMap<OperationId, PlannedOperation> | null;
  /** Orders whose slot is only held. */
  readonly held: ReadonlyMap<OrderId, Held>;
};

export type Held = { readonly order: OrderId; readonly until: number; readonly heldBy: string; readonly note: string };

/** Bars of one lane by start; `reach[i]` is the latest end among the first i + 1, for binary search by time. */
export type LaneBars = {
  readonly bars: readonly Bar[];
  readonly reach: readonly number[];
  /** Those that end an order late, by start. */
  readonly late: readonly Bar[];
};

export type BoardModel = {
  readonly shop: ShopModel;
  readonly plan: Plan;
  readonly planned: ReadonlyMap<OperationId, PlannedOperation>;
  readonly check: CheckResult;
  readonly lanes: Lanes;
  readonly bars: readonly Bar[];
  readonly byKey: ReadonlyMap<string, Bar>;
  readonly onLane: readonly LaneBars[];
  readonly phantomsOnLane: readonly (readonly Phantom[])[];
  readonly moved: number;
  readonly conflicts: ConflictList;
  readonly completion: ReadonlyMap<OrderId, Completion>;
  readonly late: readonly LateOrder[];
  readonly rush: readonly Order[];
};

export function shopModel(problem: Problem, time: SiteTime, holds: readonly Held[] = []): ShopModel {
  const ticks = tickSource(time.clock);
  const ground = groundOf(problem, ticks);
  const ofOrder = new Map<OrderId, Operation[]>();
  for (const operation of problem.operations) {
    const list = ofOrder.get(operation.order);
    if (list) list.push(operation);
    else ofOrder.set(operation.order, [operation]);
  }
  return {
    problem,
    time,
    ticks,
    ground,
    operation: new Map(problem.operations.map((operation) => [operation.id, operation])),
    order: new Map(problem.orders.map((order) => [order.id, order])),
    ofOrder,
    closedOf: problem.machines.map(({ open, closures }) =>
      closedRow(open, normalise(closures.map(({ start, end }): Interval => [start, end])), ground),
    ),
    published: problem.published ? byOperation(problem.published) : null,
    held: new Map(holds.map((hold) => [hold.order, hold])),
  };
}

export function boardModel(shop: ShopModel, plan: Plan, check: CheckResult): BoardModel {
  const { problem } = shop;
  const planned = byOperation(plan);
  const conflicts = conflictList(check.conflicts);
  const completion = completions(problem.operations, planned);
  const late = lateOrders(problem.orders, completion, problem.now);
  const drafts = problem.operations.flatMap((operation) => draftBars(shop, operation, planned.get(operation.id)));
  const bench = drafts.filter(({ mode }) => mode.machines.length === 0);
  const { slots, rows } = packed(bench);
  const lanes = lanesOf(problem.machines, rows);
  const slotOf = new Map(bench.map((bar, i) => [bar.key, slots[i] as number]));
  const marks = conflictMarks(conflicts);
  const lateBy = new Map(late.map((order) => [order.last, order]));
  for (const draft of drafts) {
    const known = marks.get(draft.operation.id) ?? [];
    const mine = known.filter(({ interval }) => interval[0] <= draft.end && interval[1] >= draft.start);
    const lateOrder = lateBy.get(draft.operation.id);
    const lanesOfBar =
      draft.mode.machines.length === 0
        ? [lanes.bench[slotOf.get(draft.key) ?? 0] ?? 0]
        : draft.mode.machines.map((machine) => lanes.ofMachine.get(machine) ?? 0);
    draft.lanes = lanesOfBar;
    draft.trade = tradeOf(draft.order, lanesOfBar, lanes);
    draft.conflicts = (mine.length > 0 || draft.lots > 1 ? mine : known).map(({ index }) => index);
    draft.guilty = mine
      .map(({ interval }): Interval => [Math.max(draft.start, interval[0]), Math.min(draft.end, interval[1])])
      .filter(([a, b]) => a < b);
    draft.late = lateOrder && lateOrder.end === draft.end ? lateOrder.late : 0;
  }
  const bars: readonly Bar[] = drafts;
  const perLane: Bar[][] = lanes.list.map(() => []);
  for (const bar of bars) for (const lane of new Set(bar.lanes)) perLane[lane]?.push(bar);
  const places = publishedPlaces(problem.operations, planned, shop.published);
  const phantomsOnLane: Phantom[][] = lanes.list.map(() => []);
  for (const phantom of places.phantoms) {
    for (const machine of phantom.machines) phantomsOnLane[lanes.ofMachine.get(machine) ?? -1]?.push(phantom);
  }
  return {
    shop,
    plan,
    planned,
    check,
    lanes,
    bars,
    byKey: new Map(bars.map((bar) => [bar.key, bar])),
    onLane: perLane.map(sortedLane),
    phantomsOnLane,
    moved: places.moved,
    conflicts,
    completion,
    late,
    rush: problem.orders.filter((order) => isRush(order) && !isComplete(order.id, completion, problem.now)),
  };
}

const isComplete = (order: OrderId, completion: ReadonlyMap<OrderId, Completion>, now: number): boolean => {
  const known = completion.get(order);
  return known?.whole === true && known.end <= now;
};

function sortedLane(bars: readonly Bar[]): LaneBars {
  const sorted = [...bars].sort((a, b) => a.start - b.start || a.end - b.end || a.key.localeCompare(b.key));
  const reach: number[] = [];
  for (const { end } of sorted) reach.push(Math.max(end, reach.at(-1) ?? end));
  return { bars: sorted, reach, late: sorted.filter(({ late }) => late > 0) };
}

/** Bars of a lane that touch [start, end), as an index range. */
export function rangeOf({ bars, reach }: LaneBars, start: number, end: number): readonly [from: number, until: number] {
  let low = 0;
  let high = bars.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if ((reach[middle] as number) > start) high = middle;
    else low = middle + 1;
  }
  const from = low;
  high = bars.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if ((bars[middle] as Bar).start < end) low = middle + 1;
    else high = middle;
  }
  return [from, low];
}

/** Bars of one operation as it would lie, for a bar in the hand. The conflicts are those that count as its own there. */
export function barsAsPlaced(
  model: BoardModel,
  operation: Operation,
  planned: PlannedOperation,
  guilty: readonly Interval[],
): readonly Bar[] {
  return draftBars(model.shop, operation, planned)
    .filter(({ state }) => state === "planned")
    .map((draft): Bar => {
      const lanes =
        draft.mode.machines.length === 0
          ? [model.lanes.bench[0] ?? 0]
          : draft.mode.machines.map((machine) => model.lanes.ofMachine.get(machine) ?? 0);
      return {
        ...draft,
        lanes,
        trade: tradeOf(draft.order, lanes, model.lanes),
        conflicts: [],
        guilty: guilty
          .map(([from, until]): Interval => [Math.max(draft.start, from), Math.min(draft.end, until)])
          .filter(([from, until]) => from < until),
        late: 0,
      };
    });
}

/** A bar whose rows and troubles are still to be written in: copying thousands of bars for it is too dear. */
type Unsettled = "lanes" | "trade" | "conflicts" | "guilty" | "late";
type DraftBar = Omit<Bar, Unsettled> & { -readonly [K in Unsettled]: Bar[K] };

const NONE: readonly never[] = [];

function draftBars(shop: ShopModel, operation: Operation, planned: PlannedOperation | undefined): readonly DraftBar[] {
  const order = shop.order.get(operation.order);
  if (!order) return [];
  const { now, freeze } = shop.problem;
  const { onSite } = shop.ground;
  const { done, running } = operation.progress;
  const published = shop.published?.get(operation.id)?.lots ?? [];
  const lots = planned?.lots ?? [];
  const count = done.length + lots.length;
  const number = operationNumber(operation);
  const out: DraftBar[] = [];
  const add = (modeId: string, start: number, end: number, state: DraftBar["state"], segments: readonly Segment[]): void => {
    const mode = operation.modes.find(({ id }) => id === modeId);
    if (!mode) return;
    const lot = out.length;
    const suffix = count > 1 ? `.${lot + 1}` : "";
    const first = published[0];
    out.push({
      key: barKey(operation.id, lot),
      operation,
      order,
      mode,
      lot,
      lots: count,
      state,
      start,
      end,
      segments,
      number: number + suffix,
      title: `${number + suffix} ${order.name}`,
      pinned: state === "planned" && operation.pin !== null,
      frozen:
        state === "planned" &&
        freeze !== null &&
        done.length === 0 &&
        running.length === 0 &&
        first !== undefined &&
        first.start < freeze,
      rush: isRush(order),
      heldUntil: state === "planned" ? (shop.held.get(order.id)?.until ?? null) : null,
      ...{ lanes: NONE, trade: "bench", conflicts: NONE, guilty: NONE, late: 0 },
    });
  };
  for (const lot of done) {
    const mode = operation.modes.find(({ id }) => id === lot.mode);
    if (mode) add(lot.mode, lot.start, lot.end, "done", pastSegments(mode, lot.start, lot.end, published[out.length], onSite));
  }
  lots.forEach((lot: PlannedLot, i) => {
    const mode = operation.modes.find(({ id }) => id === lot.mode);
    if (!mode) return;
    if (i < running.length) {
      const ahead = segmentsOf(mode, lot.phases, Math.max(now, lot.start), lot.end, true);
      add(
        lot.mode,
        lot.start,
        lot.end,
        "running",
        joined(pastSegments(mode, lot.start, Math.min(now, lot.end), published[done.length + i], onSite), ahead),
      );
    } else add(lot.mode, lot.start, lot.end, "planned", segmentsOf(mode, lot.phases, lot.start, lot.end));
  });
  return out;
}

function tradeOf(order: Order, laneIndices: readonly number[], lanes: Lanes): Trade {
  if (order.kind === "maintenance") return "maintenance";
  const lane = lanes.list[laneIndices[0] ?? -1];
  if (lane?.kind !== "machine") return "bench";
  return lane.machine.kind;
}

/** Conflicts by operation, with their index in the list of placed ones. */
function conflictMarks(
  conflicts: ConflictList,
): ReadonlyMap<OperationId, readonly { readonly index: number; readonly interval: Interval }[]> {
  const out = new Map<OperationId, { index: number; interval: Interval }[]>();
  conflicts.placed.forEach(({ conflict }, index) => {
    for (const operation of conflict.operations) {
      const list = out.get(operation) ?? [];
      list.push({ index, interval: conflict.interval });
      out.set(operation, list);
    }
  });
  return out;
}
