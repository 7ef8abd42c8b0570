/**
 * A planned lot as people see it on a board: stretches of setup, attended and unattended run, unloading, waiting and pausing.
 * Pure; says nothing about whether the plan is any good.
 */
import type { Interval } from "../../src/core/calendar/minute.ts";
import type { Mode, Operation, Phase } from "../../src/core/orders/operation.ts";
import type { PlannedLot } from "../../src/core/problem/plan.ts";

export type SegmentKind = "setup" | "attended" | "unattended" | "unload" | "waiting" | "paused" | "done";
export type Segment = { readonly kind: SegmentKind; readonly start: number; readonly end: number };

/** Tall on a board: a person is needed. */
export const needsPerson = (kind: SegmentKind): boolean =>
  kind === "setup" || kind === "attended" || kind === "unload" || kind === "done";

export function kindOfPhase(phase: Phase): SegmentKind {
  if (phase.kind === "prepare") return "setup";
  if (phase.needs.length === 0) return "unattended";
  return phase.kind === "clear" ? "unload" : "attended";
}

/** Without gaps from the lot's start to its end. What a running lot did before its first planned stretch is `done`. */
export function segmentsOfLot(lot: PlannedLot, mode: Mode, running = false): readonly Segment[] {
  const out: Segment[] = [];
  let at = lot.start;
  let first = true;
  for (const planned of lot.phases) {
    const phase = mode.phases[planned.phase];
    if (!phase) continue;
    const kind = kindOfPhase(phase);
    planned.work.forEach(([start, end]: Interval, i) => {
      if (start > at) out.push({ kind: first && running ? "done" : i > 0 ? "paused" : "waiting", start: at, end: start });
      out.push({ kind, start, end });
      at = end;
      first = false;
    });
  }
  if (lot.end > at) out.push({ kind: running && first ? "done" : "waiting", start: at, end: lot.end });
  return out;
}

export const minutesOf = (segments: readonly Segment[], kind: SegmentKind): number =>
  segments.reduce((sum, segment) => (segment.kind === kind ? sum + segment.end - segment.start : sum), 0);

export const modeOf = (operation: Operation, id: string): Mode | undefined => operation.modes.find((mode) => mode.id === id);

/** The part of an operation's id after its order: "2101/30" -> "30". */
export const operationNumber = (id: string, order: string): string =>
  id.startsWith(`${order}/`) ? id.slice(order.length + 1) : id;

/** "10 Mill housing". */
export const operationLabel = (operation: Operation): string => {
  const number = operationNumber(operation.id, operation.order);
  return operation.name === "" || operation.name === operation.id ? number : `${number} ${operation.name}`;
};
