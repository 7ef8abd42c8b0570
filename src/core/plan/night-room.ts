/**
 * Night fill where something is in the way: other work makes room, so that unattended work can start before people leave. What lies
 * where the wanted work should goes to its first gap anywhere, or to its first gap behind its old place, as long as no order becomes
 * late or later than it is (without a due date: a day later at most), and all of it together must gain night minutes.
 * Bounded; finds a few good moves, not the best.
 */

import type { Minute } from "../calendar/minute.ts";
import { check } from "../check/checker.ts";
import type { Conflict } from "../check/conflict.ts";
import { present } from "../ground/invariant.ts";
import type { Plan } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { type DenseOp, FAR } from "../solve/decode/model.ts";
import { lotOf } from "../solve/decode/write-plan.ts";
import { makeRoom } from "./make-room.ts";
import { newConflicts } from "./new-conflicts.ts";
import { aloneLength, beginsBefore, minutesBeforeAlone } from "./night-candidates.ts";
import type { Found } from "./night-fill.ts";
import { aloneMinutes, nightMinutes } from "./night-hours.ts";
import { type Completions, keepsPromises } from "./night-promises.ts";
import { type NightWish, wholeLot } from "./night-trials.ts";
import { type OpenPlan, openPlan } from "./open-plan.ts";
import { orderCompletions, planDifference } from "./plan-difference.ts";

/** Candidates tried for a night of a machine, and operations that may move for one of them. */
const CANDIDATES_MOST = 8;
const MOVES_MOST = 6;
/** An order with at least so much slack may be asked to give way. */
const SLACK_LEAST = 480;

/** The largest gain that making room finds, above `over`; null: none. */
export function withRoom(open: OpenPlan, conflicts: readonly Conflict[], wish: NightWish, over: Minute): Found | null {
  const { problem, plan } = open;
  const usedBefore = nightMinutes(problem, plan);
  let best: Found | null = null;
  let least = Math.max(wish.least, over + 1);
  for (const { op, attended, alone, most } of candidates(open, wish)) {
    if (most < least) continue;
    const without = openPlan(problem, plan, new Set([op.id]));
    for (const begin of beginsBefore(wish, attended, alone, problem.now)) {
      for (const keepNear of [false, true]) {
        const next = makeRoom(without, [without.opOf(op.id)], {
          displaceable: (other) => hasSlack(problem, other, wish.completions),
          notBefore: () => begin,
          movesMost: MOVES_MOST,
          keepNear,
          mayCut: false,
          mayWait: false,
        });
        const found = next === null ? null : judged(open, conflicts, wish, op, next, usedBefore);
        if (found === null || found.proposal.gain < least) continue;
        best = found;
        least = found.proposal.gain + 1;
      }
      if (best !== null && best.proposal.gain >= most) break;
    }
  }
  return best;
}

function judged(
  open: OpenPlan,
  conflicts: readonly Conflict[],
  wish: NightWish,
  op: DenseOp,
  next: Plan,
  usedBefore: Minute,
): Found | null {
  const { problem, plan } = open;
  const lot = next.operations.find(({ operation }) => operation === op.id)?.lots[0];
  const mode = op.source.modes.find(({ id }) => id === lot?.mode);
  if (!lot || !mode?.machines.includes(wish.machine) || lot.start >= wish.night[0]) return null;
  const inNight = aloneMinutes(op.source, lot, [wish.night]);
  const gain = nightMinutes(problem, next) - usedBefore;
  if (inNight < wish.least || gain < wish.least) return null;
  if (!keepsPromises(problem, wish.completions, orderCompletions(problem, next))) return null;
  if (newConflicts(conflicts, check(problem, next).conflicts).length > 0) return null;
  const moved = planDifference(problem, plan, next).moved.filter(({ operation }) => operation !== op.id);
  return {
    plan: next,
    proposal: {
      operation: op.id,
      machine: wish.machine,
      mode: mode.id,
      night: wish.night,
      start: lot.start,
      end: lot.end,
      plannedStart: plan.operations.find(({ operation }) => operation === op.id)?.lots[0]?.start ?? null,
      nightMinutes: inNight,
      gain,
      moved: moved.map(({ operation, from, to }) => ({ operation, from, to })),
    },
  };
}

type Candidate = {
  readonly op: DenseOp;
  readonly attended: Minute;
  readonly alone: Minute;
  /** No place can gain more. */
  readonly most: Minute;
};

/** Whole work with an unattended part on the machine, that gains by this night and could be there before it. */
function candidates(open: OpenPlan, { machine: id, night, nights, least }: NightWish): readonly Candidate[] {
  const { state, model } = open;
  const machine = model.machines.findIndex((candidate) => candidate.id === id);
  const ahead = nights.reduce((sum, [start, end]) => sum + (start < night[0] ? 0 : end - start), 0);
  const list: Candidate[] = [];
  for (const op of model.ops) {
    const item = wholeLot(open, op);
    if (item === null) continue;
    const pieces = state.pieces[item] ?? 0;
    const mode = op.modes.find((one) => one.machines.includes(machine) && aloneLength(one, op, pieces) >= least);
    if (mode === undefined) continue;
    const old = state.placed[item] ?? null;
    const alone = aloneLength(mode, op, pieces);
    const most = Math.min(alone, ahead) - (old === null ? 0 : aloneMinutes(op.source, lotOf(state, old), nights));
    const attended = minutesBeforeAlone(mode, op, pieces);
    if (most < least || readyAt(open, op) + attended > night[0]) continue;
    list.push({ op, attended, alone, most });
  }
  return list.sort((a, b) => b.most - a.most || a.op.index - b.op.index).slice(0, CANDIDATES_MOST);
}

/** When what comes before it is over and its material is there. */
function readyAt({ state, model }: OpenPlan, op: DenseOp): Minute {
  let ready = op.release;
  for (const link of op.before) {
    if (link.kind !== "lag") continue;
    const from = present(model.ops[link.from], "operation before");
    if (from.finished) continue;
    for (const item of from.items) {
      if ((state.pieces[item] ?? 0) === 0) continue;
      const lot = state.placed[item];
      ready = Math.max(ready, lot ? lot.end + link.minLag : FAR);
    }
  }
  return ready;
}

function hasSlack(problem: Problem, op: DenseOp, completions: Completions): boolean {
  const order = problem.orders.find(({ id }) => id === op.source.order);
  const end = completions.get(op.source.order) ?? null;
  return order?.due == null || (end !== null && order.due - end >= SLACK_LEAST);
}
