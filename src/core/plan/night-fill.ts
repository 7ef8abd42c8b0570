/**
 * Night fill: work that could start before people leave, so that machines which may work alone do. Looks, night by night, at each
 * machine that stands idle there, for work whose unattended part would run into the night: not yet planned, planned later, or
 * planned earlier than anybody needs it. Takes what gains most night minutes on balance, everything else lying still (night-trials.ts)
 * or, where that gains more, with other work making room (night-room.ts); goes over the nights again while that gains something.
 * Every proposal has passed the checker; no order becomes late or later than it is, one promised to nobody a day later at most.
 * Greedy: it promises no fullest nights; how near it comes is measured against all plans of tiny shops in its tests. Whether a
 * machine may be left alone is for local rules and the people responsible to decide; the plan only knows what the shop has entered.
 */
import { clip, type Intervals, totalMinutes } from "../calendar/intervals.ts";
import type { Interval, Minute } from "../calendar/minute.ts";
import { check } from "../check/checker.ts";
import type { Conflict } from "../check/conflict.ts";
import { present } from "../ground/invariant.ts";
import type { ModeId, OperationId } from "../orders/operation.ts";
import type { MachineId } from "../plant/machine.ts";
import type { Plan, PlannedOperation } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { sameLots } from "../problem/same-plan.ts";
import { lotOf } from "../solve/decode/write-plan.ts";
import { newConflicts } from "./new-conflicts.ts";
import { aloneMinutes, type NightUse, nightsOf, nightUse, possibleAlone } from "./night-hours.ts";
import { keepsPromises } from "./night-promises.ts";
import { withRoom } from "./night-room.ts";
import { type NightTrial, type NightWish, nightTrials, withTrial } from "./night-trials.ts";
import { type OpenPlan, openPlan } from "./open-plan.ts";
import { orderCompletions } from "./plan-difference.ts";

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
  /** Every operation that lies elsewhere than before this proposal, as it then lies: to take it alone. */
  readonly changes: readonly PlannedOperation[];
  /** Other operations that make room for it: where they start now, and then. Empty: everything else lies still. */
  readonly moved: readonly { readonly operation: OperationId; readonly from: Minute | null; readonly to: Minute | null }[];
};

export type NightFill = {
  /** As they were found, each building on those before it; all of them together stand in `plan`. */
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
  /** Whether other work may make room; default yes. */
  readonly moves?: boolean;
  readonly shouldStop?: () => boolean;
  /** Nights of machines looked at, of how many. */
  readonly onProgress?: (done: number, total: number) => void;
};

const GAIN_DEFAULT = 60;
const PROPOSALS_DEFAULT = 20;
const WEEK = 10_080;
/** Best trials of a night and machine that the checker is asked about. */
const CHECKS_MOST = 4;
/** Times it goes over all nights: what one proposal leaves may be what another needs. */
const PASSES_MOST = 3;

export function nightFill(problem: Problem, plan: Plan, options: NightFillOptions = {}): NightFill {
  const from = Math.max(problem.now, options.from ?? problem.now);
  const until = Math.min(problem.horizon, options.until ?? from + WEEK);
  const nights = nightsOf(problem, problem.now, problem.horizon);
  const conflicts = check(problem, plan).conflicts;
  const completions = orderCompletions(problem, plan);
  const most = options.proposalsMost ?? PROPOSALS_DEFAULT;
  const least = options.gainLeast ?? GAIN_DEFAULT;
  const able = problem.machines.filter(
    ({ id, unattended }) => unattended.kind === "allowed" && options.machines?.includes(id) !== false,
  );
  const ahead = nights.filter(([start]) => start >= from && start < until);
  const proposals: NightProposal[] = [];
  let current = plan;
  let open = openPlan(problem, current);
  /** Proposals there were when nothing was found for a night of a machine: looked at again only after another. */
  const inVain = new Map<string, number>();
  const total = ahead.length * able.length * PASSES_MOST;
  for (let pass = 0, found = 1; pass < PASSES_MOST && found > 0; pass++) {
    found = 0;
    for (const [n, night] of ahead.entries()) {
      for (const [m, machine] of able.entries()) {
        if (proposals.length >= most || options.shouldStop?.()) break;
        options.onProgress?.((pass * ahead.length + n) * able.length + m, total);
        const key = `${machine.id} ${night[0]}`;
        if (inVain.get(key) === proposals.length) continue;
        inVain.set(key, proposals.length);
        const room = totalMinutes(clip(possibleAlone(problem, machine, nights), night[0], night[1]));
        if (room - usedAlone(open, machine.id, night) < least) continue;
        const better = bestFor(open, conflicts, options.moves !== false, {
          ...{ machine: machine.id, night, nights, least, completions },
          ...{ come: comeBefore(nights, night, problem.now), leave: night[0], room },
        });
        if (better === null) continue;
        found++;
        proposals.push({ ...better.proposal, changes: changedBetween(current, better.plan) });
        current = better.plan;
        open = openPlan(problem, current);
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

export type Found = { readonly plan: Plan; readonly proposal: Omit<NightProposal, "changes"> };

/** When people came before they leave for this night. */
function comeBefore(nights: Intervals, night: Interval, now: Minute): Minute {
  return nights.findLast(([, end]) => end < night[0])?.[1] ?? now;
}

function bestFor(open: OpenPlan, conflicts: readonly Conflict[], moves: boolean, wish: NightWish): Found | null {
  const still = firstOf(nightTrials(open, wish).slice(0, CHECKS_MOST), (trial): Found | null => {
    const plan = withTrial(open, trial);
    if (newConflicts(conflicts, check(open.problem, plan).conflicts).length > 0) return null;
    if (!keepsPromises(open.problem, wish.completions, orderCompletions(open.problem, plan))) return null;
    return { plan, proposal: proposalOf(open, wish, trial) };
  });
  if (!moves) return still;
  // moving others has to be worth it
  return withRoom(open, conflicts, wish, still === null ? 0 : still.proposal.gain + wish.least) ?? still;
}

function changedBetween(before: Plan, after: Plan): readonly PlannedOperation[] {
  const old = new Map(before.operations.map(({ operation, lots }) => [operation, lots]));
  return after.operations.filter(({ operation, lots }) => {
    const known = old.get(operation);
    return known === undefined || !sameLots(known, lots);
  });
}

function firstOf<T, R>(list: readonly T[], attempt: (one: T) => R | null): R | null {
  for (const one of list) {
    const found = attempt(one);
    if (found !== null) return found;
  }
  return null;
}

/** Minutes that planned work already runs alone on the machine in that night. */
function usedAlone({ state, model }: OpenPlan, id: MachineId, night: Interval): Minute {
  const machine = model.machines.findIndex((candidate) => candidate.id === id);
  let sum = 0;
  for (const lot of state.lists[machine] ?? [])
    if (lot.start < night[1] && lot.end > night[0])
      sum += aloneMinutes(present(model.ops[lot.op], "operation").source, lotOf(state, lot), [night]);
  return sum;
}

function proposalOf(
  open: OpenPlan,
  { machine, night }: NightWish,
  { op, mode, lot, inNight, gain }: NightTrial,
): Found["proposal"] {
  return {
    operation: op.id,
    machine,
    mode: present(op.source.modes[mode.index - present(op.modes[0], "mode").index], "mode").id,
    night,
    start: lot.start,
    end: lot.end,
    plannedStart: open.state.placed[lot.item]?.start ?? null,
    nightMinutes: inNight,
    gain,
    moved: [],
  };
}
