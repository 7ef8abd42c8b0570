/**
 * Bars: lots as the board draws them. Height says whether a person is needed, the look says what is done.
 * Planned lots come from the plan phase by phase. What is done or running is known only by its start and end; its inside is taken
 * from the published plan where that lot was started as published, else it is shown as one plain stretch. Pure.
 */
import { clip, type Intervals, subtract } from "../../src/core/calendar/intervals.ts";
import type { Interval } from "../../src/core/calendar/minute.ts";
import type { Mode, Operation } from "../../src/core/orders/operation.ts";
import type { Order } from "../../src/core/orders/order.ts";
import type { PlannedLot, PlannedPhase } from "../../src/core/problem/plan.ts";

export type Look =
  | "setup"
  | "run"
  | "unload"
  /** Occupied, worked to the end, waiting for somebody. */
  | "waits"
  /** Rests inside a phase. */
  | "paused"
  /** Happened; what exactly is not recorded. */
  | "past";

export type Segment = {
  readonly look: Look;
  /** A person is needed. */
  readonly tall: boolean;
  readonly start: number;
  readonly end: number;
};

export type BarState = "done" | "running" | "planned";
export type Trade = "machine" | "rig" | "maintenance" | "bench";

export type Bar = {
  /** Operation and lot; the same for all machines of one lot. */
  readonly key: string;
  readonly operation: Operation;
  readonly order: Order;
  readonly mode: Mode;
  readonly lot: number;
  readonly lots: number;
  readonly state: BarState;
  readonly start: number;
  readonly end: number;
  readonly segments: readonly Segment[];
  /** Lanes it stands on. */
  readonly lanes: readonly number[];
  readonly trade: Trade;
  /** "0418/30"; the longer one adds what it is. */
  readonly number: string;
  readonly title: string;
  readonly pinned: boolean;
  readonly frozen: boolean;
  readonly rush: boolean;
  /** Its order only keeps this slot until that minute, unless somebody confirms it; null: it is settled. */
  readonly heldUntil: number | null;
  /** Indices into the one conflict list. */
  readonly conflicts: readonly number[];
  readonly guilty: readonly Interval[];
  /** Minutes its order is late, on the bar that ends it; else 0. */
  readonly late: number;
};

export const barKey = (operation: string, lot: number): string => `${operation}#${lot}`;

/** Prototypes, and orders of which a day late weighs at least this much more than usual. */
export const RUSH_WEIGHT = 4;
export const isRush = (order: Order): boolean => order.kind === "prototype" || order.weight >= RUSH_WEIGHT;

/** Short number of an operation: its id when that names the order, else order and id. */
export const operationNumber = (operation: Operation): string =>
  operation.id.startsWith(operation.order) ? operation.id : `${operation.order} ${operation.id}`;

/** Segments of planned phases, with rests inside and waits between them; of work that has begun, what comes before is a rest, too. */
export function segmentsOf(
  mode: Mode,
  phases: readonly PlannedPhase[],
  lotStart: number,
  lotEnd: number,
  begun = false,
): readonly Segment[] {
  const out: Segment[] = [];
  let at = lotStart;
  for (const { phase, work } of phases) {
    const defined = mode.phases[phase];
    if (!defined) continue;
    const tall = defined.needs.length > 0;
    const look: Look = defined.kind === "prepare" ? "setup" : defined.kind === "clear" ? "unload" : "run";
    let inside = begun && out.length === 0;
    for (const [start, end] of work) {
      if (start > at) out.push({ look: inside ? "paused" : "waits", tall: false, start: at, end: start });
      out.push({ look, tall, start, end });
      at = Math.max(at, end);
      inside = true;
    }
  }
  if (at < lotEnd) out.push({ look: "waits", tall: false, start: at, end: lotEnd });
  return out;
}

/**
 * Segments of a lot of which only the outline is known; the published lot lends its inside when it fits. A lot that had begun when
 * that plan was published shows its inside only from then on: before it, nothing is known but that the machine was taken. What is not
 * known stands tall only where people can have been there, and where the work needs them at all.
 */
export function pastSegments(
  mode: Mode,
  start: number,
  end: number,
  published: PlannedLot | undefined,
  onSite: Intervals,
): readonly Segment[] {
  if (published && published.mode === mode.id && published.start === start) {
    const known = Math.min(end, published.phases[0]?.work[0]?.[0] ?? end);
    const inside = segmentsOf(mode, published.phases, known, published.end).filter((segment) => segment.start < end);
    const cut = inside.map((segment) => (segment.end > end ? { ...segment, end } : segment));
    const last = cut.at(-1)?.end ?? known;
    return [...unknown(mode, start, known, onSite), ...cut, ...unknown(mode, last, end, [])];
  }
  return unknown(mode, start, end, onSite);
}

function unknown(mode: Mode, start: number, end: number, onSite: Intervals): readonly Segment[] {
  if (start >= end) return [];
  const attended = mode.phases.every(({ needs }) => needs.length > 0);
  const there = attended ? clip(onSite, start, end) : [];
  const away = subtract([[start, end]], there);
  const stretch =
    (tall: boolean) =>
    ([from, until]: Interval): Segment => ({ look: "past", tall, start: from, end: until });
  return [...there.map(stretch(true)), ...away.map(stretch(false))].sort((a, b) => a.start - b.start);
}

/** Joins what happened and what is planned, without a seam where both are the same. */
export function joined(before: readonly Segment[], after: readonly Segment[]): readonly Segment[] {
  const out = [...before];
  for (const segment of after) {
    const last = out.at(-1);
    if (last && last.look === segment.look && last.tall === segment.tall && last.end === segment.start) {
      out[out.length - 1] = { ...last, end: segment.end };
    } else out.push(segment);
  }
  return out;
}

/** What a stretch is called: runs by whether somebody is needed, waits by what they wait for. */
export type LookName = "setup" | "attended" | "unattended" | "unload" | "waitsForUnload" | "waits" | "paused" | "past";

export function lookNameOf(segments: readonly Segment[], index: number): LookName {
  const segment = segments[index];
  if (!segment) return "past";
  if (segment.look === "run") return segment.tall ? "attended" : "unattended";
  if (segment.look === "waits") return segments[index + 1]?.look === "unload" ? "waitsForUnload" : "waits";
  return segment.look;
}

/** Minutes of each kind, for lists and spoken names. */
export function minutesByLook(segments: readonly Segment[]): ReadonlyMap<LookName, number> {
  const sums = new Map<LookName, number>();
  segments.forEach(({ start, end }, index) => {
    const name = lookNameOf(segments, index);
    sums.set(name, (sums.get(name) ?? 0) + end - start);
  });
  return sums;
}
