/** One order in the draft: its operations with their stretches, and what its promise comes to. Pure. */
import type { PlanView } from "../../../src/contract/api/plan.ts";
import type { Operation } from "../../../src/core/orders/operation.ts";
import type { Order } from "../../../src/core/orders/order.ts";
import { modeOf, type Segment, segmentsOfLot } from "../../present/segments.ts";

export type TimelineLot = {
  readonly start: number;
  readonly end: number;
  readonly machines: readonly string[];
  readonly machineIds: readonly string[];
  readonly rig: boolean;
  readonly segments: readonly Segment[];
  readonly state: "done" | "running" | "planned";
};

export type TimelineRow = {
  readonly operation: Operation;
  readonly lots: readonly TimelineLot[];
  /** null: not planned. */
  readonly start: number | null;
  readonly end: number | null;
  readonly waiting: number;
  readonly frozen: boolean;
  /** Numbers of conflicts in the list below. Work that is not planned at all is no conflict here: it says so itself. */
  readonly conflicts: readonly number[];
};

export type OrderTimeline = {
  readonly order: Order;
  readonly rows: readonly TimelineRow[];
  readonly conflicts: readonly { readonly number: number; readonly sentence: string }[];
  /** Minute at which it is complete; null: not wholly planned. */
  readonly completion: number | null;
  readonly done: boolean;
};

export function orderTimeline(view: PlanView, orderId: string): OrderTimeline | null {
  const order = view.problem.orders.find(({ id }) => id === orderId);
  if (!order) return null;
  const own = view.problem.operations.filter((operation) => operation.order === orderId);
  const planned = new Map(view.draft.plan.operations.map((entry) => [entry.operation, entry]));
  const published = new Map(view.problem.published?.operations.map((entry) => [entry.operation, entry]));
  const machines = new Map(view.problem.machines.map((machine) => [machine.id, machine]));
  const mine = new Set(own.map(({ id }) => id));
  const conflicts = view.check.conflicts
    .flatMap((conflict) =>
      conflict.kind !== "notPlanned" && (conflict.operations.some((id) => mine.has(id)) || conflict.resource === orderId)
        ? [{ sentence: conflict.sentence, operations: conflict.operations }]
        : [],
    )
    .map((conflict, i) => ({ ...conflict, number: i + 1 }));
  const freeze = view.problem.freeze;

  const rows = own.map((operation): TimelineRow => {
    const lotOf = (
      modeId: string,
      start: number,
      end: number,
      segments: readonly Segment[],
      state: TimelineLot["state"],
    ): TimelineLot => {
      const used = modeOf(operation, modeId)?.machines ?? [];
      return {
        start,
        end,
        segments,
        state,
        machineIds: used,
        machines: used.map((id) => machines.get(id)?.name ?? id),
        rig: used.some((id) => machines.get(id)?.kind === "rig"),
      };
    };
    const lots: TimelineLot[] = operation.progress.done.map((lot) =>
      lotOf(lot.mode, lot.start, lot.end, [{ kind: "done", start: lot.start, end: lot.end }], "done"),
    );
    planned.get(operation.id)?.lots.forEach((lot, i) => {
      const mode = modeOf(operation, lot.mode);
      const running = i < operation.progress.running.length;
      lots.push(
        lotOf(lot.mode, lot.start, lot.end, mode ? segmentsOfLot(lot, mode, running) : [], running ? "running" : "planned"),
      );
    });
    const publishedStart = published.get(operation.id)?.lots[0]?.start;
    return {
      operation,
      lots,
      start: lots.length === 0 ? null : Math.min(...lots.map(({ start }) => start)),
      end: lots.length === 0 ? null : Math.max(...lots.map(({ end }) => end)),
      waiting: lots
        .flatMap(({ segments }) => segments)
        .reduce((sum, { kind, start, end }) => (kind === "waiting" || kind === "paused" ? sum + end - start : sum), 0),
      frozen:
        freeze !== null &&
        publishedStart !== undefined &&
        publishedStart < freeze &&
        lots.every(({ state }) => state === "planned"),
      conflicts: conflicts.filter(({ operations }) => operations.includes(operation.id)).map(({ number }) => number),
    };
  });
  const complete = rows.every((row) => row.end !== null);
  const done = rows.every((row) => row.lots.length > 0 && row.lots.every(({ state }) => state === "done"));
  return {
    order,
    rows,
    conflicts,
    done,
    completion: complete && rows.length > 0 ? Math.max(...rows.map(({ end }) => end ?? 0)) : null,
  };
}

/** Start of the earliest planned thing first; unplanned at their place in the route. */
export const lateMinutes = ({ order, completion }: OrderTimeline): number =>
  order.due === null || completion === null ? 0 : Math.max(0, completion - order.due);
