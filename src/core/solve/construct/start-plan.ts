/**
 * A state from an existing plan: every lot that still fits stays exactly where it is, with all its stretches and crews; the others
 * find the earliest place at or after their old start, in the order of their old starts. What the plan lacks is placed last, by due date.
 */
import type { Plan, PlannedOperation } from "../../problem/plan.ts";
import { linkFloor, startFloor } from "../decode/bounds.ts";
import { drain } from "../decode/drain.ts";
import { placeFrozen, placementOfLot, placeRunning } from "../decode/given.ts";
import { shortageOf } from "../decode/lay-phase.ts";
import { FAR, type Model, NONE } from "../decode/model.ts";
import { PLAIN } from "../decode/place-operation.ts";
import type { Placement } from "../decode/placement.ts";
import { type Bank, insertSettled } from "../decode/settle.ts";
import { State } from "../decode/state.ts";
import type { Estimates } from "./priority.ts";

export function startFromPlan(model: Model, kept: readonly PlannedOperation[], plan: Plan, est: Estimates): State {
  const state = new State(model);
  placeFrozen(state, kept);
  placeRunning(state);
  const bank: Bank = [];
  const keptIds = new Set(kept.map((planned) => planned.operation));
  const loads: Placement[] = [];
  const rank = new Float64Array(model.ops.length).fill(FAR);
  for (const op of model.ops) rank[op.index] = FAR + Math.min(FAR, est.due[op.index]!);
  for (const planned of plan.operations) {
    const index = model.opOfId.get(planned.operation);
    if (index === undefined) continue;
    const op = model.ops[index]!;
    if (op.finished || keptIds.has(op.id)) continue;
    const free = op.items.filter((item) => !model.items[item]!.running);
    const lots = op.source.progress.running ? planned.lots.slice(1) : planned.lots;
    if (lots.length > free.length || lots.reduce((sum, lot) => sum + lot.pieces, 0) !== op.freePieces) continue;
    free.forEach((item, i) => {
      state.setPieces(item, lots[i]?.pieces ?? 0);
    });
    lots.forEach((lot, i) => {
      if (op.source.modes.some((mode) => mode.id === lot.mode)) loads.push(placementOfLot(state, op, free[i]!, lot, false));
    });
    rank[op.index] = lots[0]?.start ?? FAR;
  }
  loads.sort((a, b) => a.start - b.start || a.item - b.item);
  for (const p of loads) {
    if (fitsAsItIs(state, p)) insertSettled(state, p, bank);
  }
  bank.length = 0;
  for (const op of model.ops) {
    if (op.rule !== NONE) continue;
    for (const item of op.items) if (state.pieces[item]! > 0 && state.placed[item] === null) bank.push(item);
  }
  drain(state, bank, (op) => rank[op]!, PLAIN, Infinity, 60 * model.ops.length + 200);
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
  for (const placed of p.phases) {
    if (placed.choice.index < 0) return false;
    if (shortageOf(state, placed.phase, placed.choice, placed.stretches) >= 0) return false;
  }
  for (let k = 0; k < op.kits.length; k++)
    if (state.kits[op.kits[k]!]!.shortUntil(p.start, p.end, op.kitCounts[k]!) >= 0) return false;
  if (p.mode.hasSetup) {
    const mark = state.mark();
    state.insert(p);
    const needed = state.setupNeeded(p);
    state.undoTo(mark);
    if (needed !== p.setup) return false;
  }
  return true;
}
