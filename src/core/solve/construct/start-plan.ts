/**
 * A state from an existing plan: every lot that still fits stays exactly where it is, with all its stretches and crews; the others
 * find the earliest place at or after their old start, in the order of their old starts. What the plan lacks is placed last, by due date.
 */
import type { Plan, PlannedOperation } from "../../problem/plan.ts";
import { linkFloor, startFloor } from "../decode/bounds.ts";
import { drain } from "../decode/drain.ts";
import { placeFrozen, placementOfLot, placeRunning } from "../decode/given.ts";
import { shortageOf, stretchesFrom } from "../decode/lay-phase.ts";
import { FAR, type Model, NONE, phaseMinutes } from "../decode/model.ts";
import { type Choosing, PLAIN } from "../decode/place-operation.ts";
import { beginOf, endOf, type Placement } from "../decode/placement.ts";
import { startsByItself } from "../decode/prepare.ts";
import { type Bank, insertSettled } from "../decode/settle.ts";
import { State } from "../decode/state.ts";
import { transferBroken } from "../decode/transfer.ts";
import type { Estimates } from "./priority.ts";

/** How what no longer fits is put back: as early as can be, or not before its old start. */
export type StartManner = "early" | "still";

const LOADS_BETWEEN_LOOKS = 64;

/** Told to stop on the way, it is a plan with work missing. */
export function startFromPlan(
  model: Model,
  kept: readonly PlannedOperation[],
  plan: Plan,
  est: Estimates,
  manner: StartManner = "early",
  shouldStop: () => boolean = () => false,
): State {
  const state = new State(model);
  placeFrozen(state, kept);
  placeRunning(state);
  const bank: Bank = [];
  const keptIds = new Set(kept.map((planned) => planned.operation));
  const loads: Placement[] = [];
  const rank = new Float64Array(model.ops.length).fill(FAR);
  for (const op of model.ops) rank[op.index] = FAR + Math.min(FAR, est.due[op.index]!);
  const oldStart = new Float64Array(model.ops.length).fill(-FAR);
  for (const planned of plan.operations) {
    const index = model.opOfId.get(planned.operation);
    if (index === undefined) continue;
    const op = model.ops[index]!;
    if (op.finished || keptIds.has(op.id)) continue;
    const free = op.items.filter((item) => !model.items[item]!.running);
    const lots = planned.lots.slice(op.source.progress.running.length);
    if (lots.length > free.length || lots.reduce((sum, lot) => sum + lot.pieces, 0) !== op.freePieces) continue;
    free.forEach((item, i) => {
      state.setPieces(item, lots[i]?.pieces ?? 0);
    });
    lots.forEach((lot, i) => {
      if (op.source.modes.some((mode) => mode.id === lot.mode)) loads.push(placementOfLot(state, op, free[i]!, lot, false));
    });
    rank[op.index] = lots[0]?.start ?? FAR;
    oldStart[op.index] = lots[0]?.start ?? -FAR;
  }
  loads.sort((a, b) => a.start - b.start || a.item - b.item);
  let loaded = 0;
  for (const p of loads) {
    if (loaded++ % LOADS_BETWEEN_LOOKS === 0 && shouldStop()) return state;
    if (fitsAsItIs(state, p)) insertSettled(state, p, bank);
  }
  bank.length = 0;
  for (const op of model.ops) {
    if (op.rule !== NONE) continue;
    for (const item of op.items) if (state.pieces[item]! > 0 && state.placed[item] === null) bank.push(item);
  }
  const choosing: Choosing = manner === "early" ? PLAIN : { ...PLAIN, notBefore: (op) => oldStart[op.index]! };
  drain(state, bank, (op) => rank[op]!, choosing, Infinity, 60 * model.ops.length + 200);
  state.forget();
  return state;
}

/** Whether the lot may lie exactly there beside what is placed: calendars, capacity, machines, setup, links from before it. */
export function fitsAsItIs(state: State, p: Placement): boolean {
  const op = state.model.ops[p.op]!;
  if (p.start < startFloor(state, op) || p.bound < linkFloor(state, op) || p.end > state.model.horizon) return false;
  for (const machine of p.mode.machines) {
    const next = state.lists[machine]![state.positionAfter(machine, p.start)];
    if (next !== undefined && next.start < p.end) return false;
  }
  if (!flowHolds(p)) return false;
  for (const placed of p.phases) {
    if (shortageOf(state, placed.choice, placed.stretches) >= 0) return false;
  }
  for (let k = 0; k < op.kits.length; k++)
    if (state.kits[op.kits[k]!]!.shortUntil(p.start, p.end, op.kitCounts[k]!) >= 0) return false;
  if (p.mode.hasSetup && state.setupAt(p.mode, p.start) !== p.setup) return false;
  if (!op.byTransfer) return true;
  const mark = state.mark();
  state.insert(p);
  const holds = !transferBroken(state, p);
  state.undoTo(mark);
  return holds;
}

/** Whether every phase works just where today's calendars, its flow and who may start it let it work. */
function flowHolds(p: Placement): boolean {
  let previousEnd = -1;
  let at = 0;
  for (const phase of p.mode.phases) {
    const extra = phase.isPrepare ? p.setup : 0;
    const minutes = phaseMinutes(phase, p.pieces) + extra;
    if (minutes === 0) continue;
    const placed = p.phases[at++];
    if (placed === undefined || placed.phase !== phase || placed.choice.index < 0) return false;
    const begin = beginOf(placed);
    if (previousEnd >= 0 && (begin < previousEnd || begin - previousEnd > phase.maxWait)) return false;
    const expected = stretchesFrom(phase, placed.choice.calendar, begin, minutes, extra, p.pieces);
    if (expected === null || expected.length !== placed.stretches.length) return false;
    if (expected.some((minute, i) => minute !== placed.stretches[i])) return false;
    if (phase.wantsStarter && begin !== previousEnd && !startsByItself(placed)) return false;
    previousEnd = endOf(placed);
  }
  return at === p.phases.length;
}
