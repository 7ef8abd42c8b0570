/**
 * A bar in the hand. Where it is asked to go, where the mover would put it, and what the checker says of that: at once for its own
 * machines and links, shop-wide when the worker answers. Begun work cannot be lifted; frozen work can, for a reason. Pure given a mover.
 */
import { check } from "../../src/core/check/checker.ts";
import type { Conflict } from "../../src/core/check/conflict.ts";
import { hasBegun, type Mode, type ModeId, type Operation } from "../../src/core/orders/operation.ts";
import type { Mover } from "../../src/core/plan/move.ts";
import type { Plan, PlannedOperation } from "../../src/core/problem/plan.ts";
import { asAsked, PUSH_MAX } from "./as-asked.ts";
import type { Bar } from "./bar.ts";
import { type BoardModel, barsAsPlaced } from "./board-model.ts";
import { newConflicts } from "./conflict-list.ts";
import { applyEdit } from "./plan-edit.ts";
import { neighbourhood, restricted, restrictedPlan, WHOLE_SHOP_MAX } from "./row-problem.ts";

export type Verdict = {
  /** Conflicts that the place makes and that were not there before. */
  readonly conflicts: readonly Conflict[];
  /** Judged with everybody's people, supplies and later work; until then only its own machines and links are known. */
  readonly wholeShop: boolean;
};

export type Lift = {
  readonly operation: Operation;
  readonly number: string;
  /** Key of the bar it was lifted by. */
  readonly key: string;
  readonly byKeys: boolean;
  /** Minutes from the bar's start to the pointer. */
  readonly grab: number;
  readonly frozen: boolean;
  readonly mode: Mode;
  readonly lane: number;
  readonly start: number;
  readonly planned: PlannedOperation;
  readonly plan: Plan;
  readonly bars: readonly Bar[];
  readonly old: readonly Bar[];
  readonly verdict: Verdict;
  /** First fits by mode, as far as known; null: none. */
  readonly fits: ReadonlyMap<ModeId, number | null>;
  /** Lanes that can take it. */
  readonly can: ReadonlySet<number>;
};

export type Lifter = {
  readonly first: Lift;
  /** The lift with its bar at another place. Cheap enough for every frame. */
  carried(lift: Lift, mode: Mode, start: number): Lift;
};

export const canBeLifted = (bar: Bar): boolean => bar.state === "planned" && !hasBegun(bar.operation.progress);

/** Modes by the lanes they occupy: the current one first, so that a lane keeps its mode while it can. */
export function modeForLane(
  model: BoardModel,
  operation: Operation,
  current: Mode,
  lane: number,
  fits: ReadonlyMap<ModeId, number | null>,
): Mode | null {
  const entry = model.lanes.list[lane];
  if (!entry || entry.kind === "group") return null;
  const takes = (mode: Mode): boolean =>
    entry.kind === "bench" ? mode.machines.length === 0 : mode.machines.includes(entry.machine.id);
  if (takes(current)) return current;
  const options = operation.modes.filter(takes);
  const rank = (mode: Mode): number => fits.get(mode.id) ?? Number.POSITIVE_INFINITY;
  return options.sort((a, b) => rank(a) - rank(b))[0] ?? null;
}

export const lanesOfMode = (model: BoardModel, mode: Mode): readonly number[] =>
  mode.machines.length === 0 ? model.lanes.bench : mode.machines.map((machine) => model.lanes.ofMachine.get(machine) ?? -1);

export function lifter(model: BoardModel, mover: Mover, bar: Bar, byKeys: boolean, grab: number): Lifter {
  const { problem } = model.shop;
  const { operation } = bar;
  const whole = problem.operations.length <= WHOLE_SHOP_MAX;
  const near = neighbourhood(problem, model.plan, operation.id);
  const small = whole ? problem : restricted(problem, near);
  const judged = (plan: Plan): readonly Conflict[] => check(small, whole ? plan : restrictedPlan(plan, near)).conflicts;
  const before = whole ? model.check.conflicts : judged(model.plan);
  const old = model.bars.filter((each) => each.operation.id === operation.id);
  const planned = model.planned.get(operation.id) ?? { operation: operation.id, lots: [] };
  const first: Lift = {
    operation,
    number: bar.number,
    key: bar.key,
    byKeys,
    grab,
    frozen: bar.frozen,
    mode: bar.mode,
    lane: bar.lanes[0] ?? 0,
    start: bar.start,
    planned,
    plan: model.plan,
    bars: old,
    old,
    verdict: { conflicts: [], wholeShop: true },
    fits: new Map(),
    can: new Set(operation.modes.flatMap((mode) => lanesOfMode(model, mode))),
  };
  return {
    first,
    carried(lift, mode, start) {
      if (mode.id === bar.mode.id && start === bar.start) return { ...first, fits: lift.fits, byKeys: lift.byKeys };
      const nearest = mover.place(model.plan, operation.id, mode.id, start);
      const laid = nearest.operations.find((each) => each.operation === operation.id) ?? planned;
      const moved = (laid.lots[0]?.start ?? start) - start > PUSH_MAX ? asAsked(laid, 0, start) : laid;
      const plan =
        moved === laid ? nearest : applyEdit(model.plan, { note: "", changes: [{ operation: operation.id, planned: moved }] });
      const conflicts = newConflicts(before, judged(plan));
      const mine = conflicts.filter(({ operations }) => operations.includes(operation.id));
      const bars = barsAsPlaced(
        model,
        operation,
        moved,
        mine.map(({ interval }) => interval),
      );
      return {
        ...lift,
        mode,
        lane: lanesOfMode(model, mode)[0] ?? lift.lane,
        start,
        plan,
        planned: moved,
        bars,
        verdict: { conflicts, wholeShop: whole },
      };
    },
  };
}

export const isAtHome = (lift: Lift): boolean => lift.bars === lift.old;
/** Where the bar really begins: it may be pushed on a little from where it was asked, to the begin of a shift. */
export const realStart = (lift: Lift): number => lift.planned.lots[0]?.start ?? lift.start;
