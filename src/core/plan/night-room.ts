/**
 * A night filled by making room: work whose unattended part would run into the night is set up before people leave, and what lies
 * in its way gives way, no further than needed (make-room.ts). Only work with slack is asked to. Taken only if the checker finds
 * nothing new, no order becomes late or later than it is, nothing due to nobody waits over a day more, and the nights of all
 * machines together gain enough. Tries a few candidates, the longest unattended work first.
 */
import type { Intervals } from "../calendar/intervals.ts";
import type { Interval, Minute } from "../calendar/minute.ts";
import { check } from "../check/checker.ts";
import type { Conflict } from "../check/conflict.ts";
import { present } from "../ground/invariant.ts";
import type { OrderId } from "../orders/order.ts";
import type { MachineId } from "../plant/machine.ts";
import type { Plan } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { type DenseOp, FAR, phaseMinutes } from "../solve/decode/model.ts";
import { makeRoom } from "./make-room.ts";
import { newConflicts } from "./new-conflicts.ts";
import { hasAlone, LEAVING, minutesBeforeAlone } from "./night-candidates.ts";
import type { Found } from "./night-fill.ts";
import { aloneMinutes, nightMinutes } from "./night-hours.ts";
import { type OpenPlan, openPlan } from "./open-plan.ts";
import { orderCompletions, planDifference } from "./plan-difference.ts";

export type NightWish = {
  readonly machine: MachineId;
  readonly night: Interval;
  readonly nights: Intervals;
  readonly least: Minute;
};

/** Candidates tried for a night of a machine, and operations that may move for one of them. */
const CANDIDATES_MOST = 6;
const MOVES_MOST = 6;
/** An order with at least so much slack may be asked to give way. */
const SLACK_LEAST = 480;
/** What was promised to nobody may end so much later. */
const UNDUE_MOST = 1440;

export function withRoom(open: OpenPlan, conflicts: readonly Conflict[], wish: NightWish): Found | null {
  const { problem, plan } = open;
  const before = orderCompletions(problem, plan);
  const usedBefore = nightMinutes(problem, plan);
  for (const { op, attended } of candidates(open, wish)) {
    const without = openPlan(problem, plan, new Set([op.id]));
    for (const leaving of LEAVING) {
      const notBefore = Math.max(problem.now, wish.night[0] - leaving - attended);
      const next = makeRoom(without, [without.opOf(op.id)], {
        displaceable: (other) => hasSlack(problem, other, before),
        notBefore: () => notBefore,
        movesMost: MOVES_MOST,
        keepNear: true,
        mayCut: false,
      });
      if (next === null) continue;
      const lot = next.operations.find(({ operation }) => operation === op.id)?.lots[0];
      const mode = op.source.modes.find(({ id }) => id === lot?.mode);
      if (!lot || !mode?.machines.includes(wish.machine) || lot.start >= wish.night[0]) continue;
      const inNight = aloneMinutes(op.source, lot, [wish.night]);
      const gain = nightMinutes(problem, next) - usedBefore;
      if (inNight < wish.least || gain < wish.least || !keepsPromises(problem, before, next)) continue;
      if (newConflicts(conflicts, check(problem, next).conflicts).length > 0) continue;
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
  }
  return null;
}

/** Whole work with an unattended part on the machine, that lies after the night or nowhere and could be there before it. */
function candidates(open: OpenPlan, { machine: id, night }: NightWish): readonly { op: DenseOp; attended: Minute }[] {
  const { state, model } = open;
  const machine = model.machines.findIndex((candidate) => candidate.id === id);
  const list: { op: DenseOp; attended: Minute; alone: Minute }[] = [];
  for (const op of model.ops) {
    if (!open.isMovable(op) || op.block.length > 0) continue;
    const items = op.items.filter((item) => (state.pieces[item] ?? 0) > 0);
    const [item] = items;
    if (item === undefined || items.length > 1) continue;
    const old = state.placed[item] ?? null;
    if (old !== null && old.start < night[1]) continue;
    const pieces = state.pieces[item] ?? 0;
    const mode = op.modes.find((one) => one.machines.includes(machine) && hasAlone(one, op, pieces));
    if (mode === undefined) continue;
    const attended = minutesBeforeAlone(mode, pieces);
    if (readyAt(open, op) + attended > night[0]) continue;
    const whole = mode.phases.reduce(
      (sum, phase) => sum + (phase.choices.every(({ crews }) => crews.length === 0) ? phaseMinutes(phase, pieces) : 0),
      0,
    );
    list.push({ op, attended, alone: Math.min(whole, night[1] - night[0]) });
  }
  return list.sort((a, b) => b.alone - a.alone || a.op.index - b.op.index).slice(0, CANDIDATES_MOST);
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

function hasSlack(problem: Problem, op: DenseOp, completions: ReadonlyMap<OrderId, Minute | null>): boolean {
  const order = problem.orders.find(({ id }) => id === op.source.order);
  const end = completions.get(op.source.order) ?? null;
  return order?.due == null || (end !== null && order.due - end >= SLACK_LEAST);
}

function keepsPromises(problem: Problem, before: ReadonlyMap<OrderId, Minute | null>, next: Plan): boolean {
  const after = orderCompletions(problem, next);
  return problem.orders.every(({ id, due }) => {
    const [old, end] = [before.get(id) ?? null, after.get(id) ?? null];
    if (end === null) return old === null;
    if (due !== null) return end <= Math.max(due, old ?? due);
    return old === null || end <= old + UNDUE_MOST;
  });
}
