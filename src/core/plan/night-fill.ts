/**
 * Night fill: work that could start before people leave, so that machines which may work alone do. Looks, night by night, at each
 * machine that stands idle there, for work not yet planned, or planned later, whose unattended part would then run into the night;
 * takes the one that gains most night minutes on balance, everything else lying still. Every proposal has passed the checker and
 * makes no order late or later. Greedy: it promises no fullest nights. Whether a machine may be left alone is for local rules and
 * the people responsible to decide; the plan only knows what the shop has entered.
 */
import { clip, type Intervals, totalMinutes } from "../calendar/intervals.ts";
import type { Interval, Minute } from "../calendar/minute.ts";
import { check } from "../check/checker.ts";
import { present } from "../ground/invariant.ts";
import type { ModeId, OperationId } from "../orders/operation.ts";
import type { MachineId } from "../plant/machine.ts";
import type { Plan } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { type DenseMode, type DenseOp, FAR, phaseMinutes } from "../solve/decode/model.ts";
import type { Placement } from "../solve/decode/placement.ts";
import { lotOf } from "../solve/decode/write-plan.ts";
import { fitInMode, leavesOtherSetup } from "./fit-around.ts";
import { newConflicts } from "./new-conflicts.ts";
import { aloneMinutes, type NightUse, nightsOf, nightUse, possibleAlone } from "./night-hours.ts";
import { type OpenPlan, openPlan } from "./open-plan.ts";

export type NightProposal = {
  readonly operation: OperationId;
  readonly machine: MachineId;
  readonly mode: ModeId;
  /** The night it runs into: from the last minute on site to the next. */
  readonly night: Interval;
  readonly start: Minute;
  readonly end: Minute;
  /** Where it stands in the plan in hand; null: not planned. */
  readonly plannedStart: Minute | null;
  /** Minutes worked alone in that night, and how many more night minutes the whole operation then works than before. */
  readonly nightMinutes: Minute;
  readonly gain: Minute;
};

export type NightFill = {
  /** In the order of the nights; all of them together stand in `plan`. */
  readonly proposals: readonly NightProposal[];
  readonly plan: Plan;
  /** Over the nights looked at, by machine and calendar week. */
  readonly before: readonly NightUse[];
  readonly after: readonly NightUse[];
};

export type NightFillOptions = {
  readonly from?: Minute;
  /** Nights that begin before this minute; default: a week from `from`. */
  readonly until?: Minute;
  readonly machines?: readonly MachineId[];
  /** Less than so many night minutes are not worth a change; default 60. */
  readonly gainLeast?: Minute;
  readonly proposalsMost?: number;
  readonly shouldStop?: () => boolean;
};

const GAIN_DEFAULT = 60;
const PROPOSALS_DEFAULT = 20;
const WEEK = 10_080;
/** Minutes before people leave at which the run is tried to begin. */
const LEAVING = [0, 15, 60, 180, 420] as const;
/** Best trials of a night and machine that the checker is asked about. */
const CHECKS_MOST = 4;

export function nightFill(problem: Problem, plan: Plan, options: NightFillOptions = {}): NightFill {
  const from = Math.max(problem.now, options.from ?? problem.now);
  const until = Math.min(problem.horizon, options.until ?? from + WEEK);
  const nights = nightsOf(problem, problem.now, problem.horizon);
  const proposals: NightProposal[] = [];
  const conflicts = check(problem, plan).conflicts;
  const most = options.proposalsMost ?? PROPOSALS_DEFAULT;
  let current = plan;
  let open = openPlan(problem, current);
  for (const night of nights) {
    if (night[0] < from || night[0] >= until) continue;
    for (const machine of problem.machines) {
      if (machine.unattended.kind === "never" || options.machines?.includes(machine.id) === false) continue;
      const possible = clip(possibleAlone(problem, machine, nights), night[0], night[1]);
      const least = options.gainLeast ?? GAIN_DEFAULT;
      if (totalMinutes(possible) < least) continue;
      if (proposals.length >= most || options.shouldStop?.()) break;
      const trials = trialsFor(open, machine.id, night, nights, least).slice(0, CHECKS_MOST);
      for (const trial of trials) {
        const next = applied(open, trial);
        if (newConflicts(conflicts, check(problem, next).conflicts).length > 0) continue;
        proposals.push(proposalOf(open, machine.id, night, trial));
        current = next;
        open = openPlan(problem, current);
        break;
      }
    }
  }
  const end = Math.max(from, ...nights.filter(([start]) => start < until).map(([, stop]) => stop));
  return {
    proposals,
    plan: current,
    before: nightUse(problem, plan, from, end),
    after: nightUse(problem, current, from, end),
  };
}

type Trial = {
  readonly op: DenseOp;
  readonly mode: DenseMode;
  readonly lot: Placement;
  readonly inNight: Minute;
  readonly gain: Minute;
};

/** What could run into the night on the machine, the largest gain first. */
function trialsFor(open: OpenPlan, id: MachineId, night: Interval, nights: Intervals, least: Minute): readonly Trial[] {
  const { state, model } = open;
  const machine = model.machines.findIndex((candidate) => candidate.id === id);
  const trials: Trial[] = [];
  for (const op of model.ops) {
    if (!open.isMovable(op) || op.block.length > 0) continue;
    const items = op.items.filter((item) => (state.pieces[item] ?? 0) > 0);
    const [item] = items;
    if (item === undefined || items.length > 1) continue;
    const old = state.placed[item] ?? null;
    if (old !== null && (old.start < night[0] || old.end <= night[1])) continue; // it runs then, or earlier, already
    const modes = op.modes.filter((mode) => mode.machines.includes(machine) && hasAlone(mode, op, state.pieces[item] ?? 0));
    if (modes.length === 0) continue;
    const before = old === null ? 0 : aloneMinutes(op.source, lotOf(state, old), nights);
    const mark = state.mark();
    if (old !== null) state.remove(old);
    if (old === null || !leavesOtherSetup(state, [old])) {
      for (const mode of modes) {
        const attended = minutesBeforeAlone(mode, state.pieces[item] ?? 0);
        for (const leaving of LEAVING) {
          const notBefore = Math.max(model.now, night[0] - leaving - attended);
          const lot = fitInMode(state, op, item, mode, notBefore, old === null ? FAR : old.end - 1);
          if (lot === null || lot.start >= night[0]) continue;
          const planned = lotOf(state, lot);
          const inNight = aloneMinutes(op.source, planned, [night]);
          const gain = aloneMinutes(op.source, planned, nights) - before;
          if (inNight >= least && gain >= least) trials.push({ op, mode, lot, inNight, gain });
        }
      }
    }
    state.undoTo(mark);
  }
  return trials.sort((a, b) => b.gain - a.gain || a.lot.start - b.lot.start || a.op.index - b.op.index);
}

const hasAlone = (mode: DenseMode, op: DenseOp, pieces: number): boolean =>
  mode.phases.some((phase, i) => phaseMinutes(phase, pieces) > 0 && needsNobody(op, mode, i));

const needsNobody = (op: DenseOp, mode: DenseMode, phase: number): boolean =>
  op.source.modes[mode.index - present(op.modes[0], "mode").index]?.phases[phase]?.needs.length === 0;

/** Attended minutes that come first, setup apart. */
function minutesBeforeAlone(mode: DenseMode, pieces: number): Minute {
  let sum = 0;
  for (const phase of mode.phases) {
    if (phase.choices.every((choice) => choice.crews.length === 0)) break;
    sum += phaseMinutes(phase, pieces);
  }
  return sum;
}

function applied(open: OpenPlan, { op, lot }: Trial): Plan {
  const { state } = open;
  const mark = state.mark();
  const old = op.items.flatMap((item) => state.placed[item] ?? []);
  for (const placed of old) state.remove(placed);
  state.insert(lot);
  const plan = open.write();
  state.undoTo(mark);
  return plan;
}

function proposalOf(open: OpenPlan, machine: MachineId, night: Interval, { op, mode, lot, inNight, gain }: Trial): NightProposal {
  const old = op.items.flatMap((item) => open.state.placed[item] ?? [])[0];
  return {
    operation: op.id,
    machine,
    mode: present(op.source.modes[mode.index - present(op.modes[0], "mode").index], "mode").id,
    night,
    start: lot.start,
    end: lot.end,
    plannedStart: old?.start ?? null,
    nightMinutes: inNight,
    gain,
  };
}
