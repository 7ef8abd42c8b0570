/**
 * Work whose unattended part could run into a night of a machine while everything else lies still: not planned yet, planned later,
 * or planned earlier where nobody needs it so soon. Exact places (fit-around); judges nothing, the checker does.
 */
import { clip, type Intervals } from "../calendar/intervals.ts";
import type { Interval, Minute } from "../calendar/minute.ts";
import type { MachineId } from "../plant/machine.ts";
import type { Plan } from "../problem/plan.ts";
import { type DenseMode, type DenseOp, FAR } from "../solve/decode/model.ts";
import type { Placement } from "../solve/decode/placement.ts";
import { lotOf } from "../solve/decode/write-plan.ts";
import { fitInMode, leavesOtherSetup } from "./fit-around.ts";
import { aloneLength, beginsBefore, type Evening, hasAlone, minutesBeforeAlone } from "./night-candidates.ts";
import { aloneMinutes } from "./night-hours.ts";
import { type Completions, latestEnd } from "./night-promises.ts";
import type { OpenPlan } from "./open-plan.ts";

/** One night of one machine, with what the machine may work alone in it. */
export type NightWish = Evening & {
  readonly machine: MachineId;
  readonly night: Interval;
  readonly nights: Intervals;
  readonly least: Minute;
  readonly completions: Completions;
};

export type NightTrial = {
  readonly op: DenseOp;
  readonly mode: DenseMode;
  readonly lot: Placement;
  readonly inNight: Minute;
  readonly gain: Minute;
};

/** The largest gain first; of equal gains the one that is nearest to where it lies. */
export function nightTrials(open: OpenPlan, wish: NightWish): readonly NightTrial[] {
  const machine = open.model.machines.findIndex((candidate) => candidate.id === wish.machine);
  const trials: NightTrial[] = [];
  for (const op of open.model.ops)
    for (const item of movableLots(open, op)) trials.push(...lotTrials(open, wish, op, item, machine));
  const moved = ({ op, lot }: NightTrial): number =>
    Math.abs(lot.start - (open.before[lot.item]?.start ?? lot.start)) + op.index / 1e6;
  return trials.sort((a, b) => b.gain - a.gain || moved(a) - moved(b));
}

function lotTrials(open: OpenPlan, wish: NightWish, op: DenseOp, item: number, machine: number): readonly NightTrial[] {
  const { state, model, problem } = open;
  const pieces = state.pieces[item] ?? 0;
  const modes = op.modes.filter((mode) => mode.machines.includes(machine) && hasAlone(mode, op, pieces));
  if (modes.length === 0) return [];
  const old = state.placed[item] ?? null;
  const before = old === null ? 0 : aloneMinutes(op.source, lotOf(state, old), wish.nights);
  if (modes.every((mode) => Math.min(aloneLength(mode, op, pieces), longest(wish)) - before < wish.least)) return [];
  const order = problem.orders[op.order];
  const latest = order === undefined ? null : latestEnd(order.due, wish.completions.get(order.id) ?? null);
  const trials: NightTrial[] = [];
  const mark = state.mark();
  if (old !== null) state.remove(old);
  if (old === null || !leavesOtherSetup(state, [old])) {
    for (const mode of modes) {
      const alone = aloneLength(mode, op, pieces);
      const attended = minutesBeforeAlone(mode, op, pieces);
      let tried: Minute | null = null;
      for (const begin of beginsBefore(wish, attended, alone, model.now)) {
        const lot = fitInMode(state, op, item, mode, begin, latest ?? FAR);
        if (lot === null || lot.start >= wish.night[0] || lot.start === tried) continue;
        tried = lot.start;
        const planned = lotOf(state, lot);
        const inNight = aloneMinutes(op.source, planned, [wish.night]);
        const gain = aloneMinutes(op.source, planned, wish.nights) - before;
        if (inNight >= wish.least && gain >= wish.least) trials.push({ op, mode, lot, inNight, gain });
      }
    }
  }
  state.undoTo(mark);
  return trials;
}

/** Work that lasts longer than one night gains in those after it, too. */
const longest = ({ night, nights }: NightWish): Minute =>
  clip(nights, night[0], FAR).reduce((sum, [start, end]) => sum + end - start, 0);

/** Its lots, each of which may move by itself while the others lie still. */
const movableLots = ({ state, isMovable }: OpenPlan, op: DenseOp): readonly number[] =>
  !isMovable(op) || op.block.length > 0 ? [] : op.items.filter((item) => (state.pieces[item] ?? 0) > 0);

/** Its only lot, when it may be moved; null otherwise. */
export function wholeLot(open: OpenPlan, op: DenseOp): number | null {
  const lots = movableLots(open, op);
  return lots.length === 1 ? (lots[0] ?? null) : null;
}

export function withTrial(open: OpenPlan, { lot }: NightTrial): Plan {
  const { state } = open;
  const mark = state.mark();
  const old = state.placed[lot.item];
  if (old) state.remove(old);
  state.insert(lot);
  const plan = open.write();
  state.undoTo(mark);
  return plan;
}
