/**
 * What one machine does next, as the people at it need it: from the published plan, because that is what the shop works to,
 * or from the draft while nothing is published. Running work is shown as it now stands. Pure.
 */
import type { PlanView } from "../../../src/contract/api/plan.ts";
import { clip, type Intervals, subtract, totalMinutes, union } from "../../../src/core/calendar/intervals.ts";
import type { DoneLot, Mode, Operation, RunningLot } from "../../../src/core/orders/operation.ts";
import type { Order } from "../../../src/core/orders/order.ts";
import type { PlannedLot } from "../../../src/core/problem/plan.ts";
import { kindOfPhase, modeOf, operationLabel, type SegmentKind } from "../../present/segments.ts";
import { words } from "../../words/words.ts";

export type StationStep = {
  readonly kind: SegmentKind;
  readonly start: number;
  readonly end: number;
  readonly crews: readonly string[];
};

export type StationEntry = {
  readonly key: string;
  readonly operation: Operation;
  readonly order: Order;
  readonly start: number;
  readonly end: number;
  readonly pieces: number;
  readonly lot: number;
  readonly lots: number;
  readonly running: boolean;
  readonly mode: Mode;
  /** As it runs now, and which of its running lots it is; null: it has not begun. */
  readonly state: (RunningLot & { readonly index: number }) | null;
  /** Taken from the plan: nobody has reported it. */
  readonly assumed: boolean;
  /** Its published start has passed and nobody has reported it. */
  readonly overdue: boolean;
  readonly steps: readonly StationStep[];
  /** Minutes of its unattended run, from now on, in which nobody is on site: what must be loaded before people leave. */
  readonly alone: number;
  /** Kits and supplies to fetch, in words. */
  readonly fetch: readonly string[];
  readonly family: string | null;
  /** Other machines it holds at the same time. */
  readonly with: readonly string[];
};

export const entryName = ({ order, operation }: Pick<StationEntry, "order" | "operation">): string =>
  operation.id.startsWith(`${order.id}/`)
    ? `${order.id}/${operationLabel(operation)}`
    : `${order.id} ${operationLabel(operation)}`;
export const doneName = (done: StationDone): string => entryName(done);

export const STEP_NAMES: Readonly<Record<SegmentKind, string>> = {
  setup: words.orders.phaseNames.prepare,
  attended: words.orders.phaseNames.attended,
  unattended: words.orders.phaseNames.unattended,
  unload: words.orders.phaseNames.clear,
  waiting: words.load.parts.waiting,
  paused: words.load.parts.waiting,
  done: words.orders.states.done,
};

export function stationEntries(view: PlanView, machine: string): readonly StationEntry[] {
  const { problem } = view;
  const plan = problem.published ?? view.draft.plan;
  const draft = new Map(view.draft.plan.operations.map((entry) => [entry.operation, entry.lots]));
  const source = new Map(plan.operations.map((entry) => [entry.operation, entry.lots]));
  const orders = new Map(problem.orders.map((order) => [order.id, order]));
  const names = { crew: nameMap(problem.crews), machine: nameMap(problem.machines), kit: nameMap(problem.kits) };
  const assumed = new Set(view.assumed);
  const supplies = new Map(problem.supplies.map((supply) => [supply.id, supply]));
  const onSite = union(...problem.crews.map((crew) => crew.present as Intervals));
  const out: StationEntry[] = [];

  for (const operation of problem.operations) {
    const order = orders.get(operation.order);
    if (!order) continue;
    const { running, done } = operation.progress;
    const donePieces = done.reduce((sum, lot) => sum + lot.pieces, 0);
    if (donePieces >= operation.pieces && running.length === 0) continue;
    const lots = running.length > 0 ? (draft.get(operation.id) ?? []) : (source.get(operation.id) ?? []).slice(done.length);
    lots.forEach((lot, i) => {
      const mode = modeOf(operation, lot.mode);
      if (!mode?.machines.includes(machine)) return;
      const isRunning = i < running.length;
      out.push({
        key: `${operation.id}#${done.length + i}`,
        operation,
        order,
        start: lot.start,
        end: lot.end,
        pieces: lot.pieces,
        lot: done.length + i + 1,
        lots: done.length + lots.length,
        running: isRunning,
        mode,
        state: isRunning && running[i] ? { ...running[i], index: i } : null,
        assumed: isRunning && assumed.has(operation.id),
        overdue: !isRunning && lot.start < problem.now,
        steps: stepsOf(lot, mode, names.crew),
        alone: aloneMinutes(lot, mode, onSite, problem.now),
        fetch: [
          ...operation.kits.map(({ kit, count }) => `${count > 1 ? `${count} x ` : ""}${names.kit.get(kit) ?? kit}`),
          ...[
            ...new Set(
              mode.phases.flatMap(({ draws }) =>
                draws.map(({ supply, amount }) =>
                  `${supplies.get(supply)?.name ?? supply} ${amount} ${supplies.get(supply)?.unit ?? ""}`.trim(),
                ),
              ),
            ),
          ],
        ],
        family: familyText(mode, machine, problem.machines.find(({ id }) => id === machine)?.setup.kind === "temperature"),
        with: mode.machines.filter((id) => id !== machine).map((id) => names.machine.get(id) ?? id),
      });
    });
  }
  return out.sort((a, b) => Number(b.running) - Number(a.running) || a.start - b.start || a.key.localeCompare(b.key));
}

export type StationDone = {
  readonly key: string;
  readonly operation: Operation;
  readonly order: Order;
  readonly lot: DoneLot;
  readonly assumed: boolean;
  /** The last lot of its operation, with nothing running behind it: the one that can be taken back. */
  readonly last: boolean;
};

/** What has ended on the machine since then, the latest first. */
export function doneLately(view: PlanView, machine: string, since: number): readonly StationDone[] {
  const orders = new Map(view.problem.orders.map((order) => [order.id, order]));
  const assumed = new Set(view.assumed);
  return view.problem.operations
    .flatMap((operation): StationDone[] => {
      const order = orders.get(operation.order);
      if (!order) return [];
      const { done, running } = operation.progress;
      return done.flatMap((lot, i) => {
        if (lot.end < since || !modeOf(operation, lot.mode)?.machines.includes(machine)) return [];
        const last = i === done.length - 1 && running.length === 0;
        return [{ key: `${operation.id}#${i}`, operation, order, lot, assumed: assumed.has(operation.id), last }];
      });
    })
    .sort((a, b) => b.lot.end - a.lot.end || a.key.localeCompare(b.key));
}

const nameMap = (list: readonly { readonly id: string; readonly name: string }[]): ReadonlyMap<string, string> =>
  new Map(list.map(({ id, name }) => [id, name]));

function stepsOf(lot: PlannedLot, mode: Mode, crews: ReadonlyMap<string, string>): readonly StationStep[] {
  return lot.phases.flatMap((planned): StationStep[] => {
    const phase = mode.phases[planned.phase];
    const first = planned.work[0];
    const last = planned.work.at(-1);
    if (!phase || !first || !last) return [];
    return [
      {
        kind: kindOfPhase(phase),
        start: first[0],
        end: last[1],
        crews: [...new Set(planned.crews)].map((id) => crews.get(id) ?? id),
      },
    ];
  });
}

function aloneMinutes(lot: PlannedLot, mode: Mode, onSite: Intervals, now: number): number {
  const alone = lot.phases.flatMap(({ phase, work }) => {
    const its = mode.phases[phase];
    return its && kindOfPhase(its) === "unattended" ? work : [];
  });
  return totalMinutes(clip(subtract(union(alone), onSite), now, lot.end));
}

function familyText(mode: Mode, machine: string, temperature: boolean): string | null {
  const family = mode.families[mode.machines.indexOf(machine)];
  if (family === null || family === undefined) return null;
  return temperature && typeof family === "number" ? `${family / 1000} °C` : String(family);
}
