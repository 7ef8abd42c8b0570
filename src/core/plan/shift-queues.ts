/**
 * Fits operations in by shifting queues a little: what is wanted goes to the first place on its machines where the work behind it
 * can begin later without making any order later than it may be. Whatever begins after that place is put back in its old order, each
 * lot exactly where it was while it still fits there, else at its first place after its old begin; machines are kept. One wanted
 * operation after the other, so the last may come later than it had to. Where no shift is allowed, the wanted work takes free time.
 * Right shift of what follows (Abumaizar, Svestka, Int. J. Production Research 35(7), 1997), bounded by the slack of whom it hits.
 * Judges no rules: the caller checks the plan. Cost: a few hundred places for each try, some ten tries for each operation.
 */
import { present } from "../ground/invariant.ts";
import type { Plan } from "../problem/plan.ts";
import { fitsAsItIs } from "../solve/construct/start-plan.ts";
import { type DenseMode, type DenseOp, FAR } from "../solve/decode/model.ts";
import { EARLIEST, placeInMode } from "../solve/decode/place.ts";
import { PLAIN, placeBlock, takeOff } from "../solve/decode/place-operation.ts";
import type { Placement } from "../solve/decode/placement.ts";
import { type Bank, insertSettled } from "../solve/decode/settle.ts";
import type { State } from "../solve/decode/state.ts";
import { fitLot } from "./fit-around.ts";
import type { OpenPlan } from "./open-plan.ts";

/** Places tried for one operation before it takes free time. */
const TRIES_MOST = 12;

export type ShiftWish = {
  /** The latest completion of each order that hurts nobody, by its row. */
  readonly limits: ArrayLike<number>;
  /** Wanted work begins no earlier. */
  readonly notBefore: number;
  readonly shouldStop: () => boolean;
};

/** The plan with the wanted operations (in the order of their links) in it; null: some found no place. Leaves the state as it was. */
export function shiftQueues(open: OpenPlan, wanted: readonly DenseOp[], wish: ShiftWish): Plan | null {
  const { state } = open;
  const mark = state.mark();
  const latest = latestStarts(open, wish.limits);
  let all = true;
  for (const op of wanted) {
    for (const item of op.items) {
      if (!all || (state.pieces[item] ?? 0) === 0 || state.placed[item]) continue;
      all = !wish.shouldStop() && placeLot(open, op, item, wish, latest);
    }
  }
  const plan = all ? open.write() : null;
  state.undoTo(mark);
  return plan;
}

type Try = { readonly mode: DenseMode; readonly at: number; readonly end: number };

function placeLot(open: OpenPlan, op: DenseOp, item: number, wish: ShiftWish, latest: ReadonlyMap<number, number>): boolean {
  const { state } = open;
  const free = fitLot(state, op, item, wish.notBefore, null);
  const tries = op.block.length > 0 ? [] : triesFor(open, op, item, wish, latest, free?.end ?? FAR);
  for (const one of tries.slice(0, TRIES_MOST)) {
    if (wish.shouldStop()) return false;
    const mark = state.mark();
    if (shiftFor(open, item, one, wish.limits, free?.end ?? FAR)) return true;
    state.undoTo(mark);
  }
  if (free === null) return false;
  insertSettled(state, free, []);
  return true;
}

/** Behind which lot of its machines the work may go so that the next there can still begin in time; the earliest end first. */
function triesFor(
  open: OpenPlan,
  op: DenseOp,
  item: number,
  wish: ShiftWish,
  latest: ReadonlyMap<number, number>,
  before: number,
): readonly Try[] {
  const { state } = open;
  const mark = state.mark();
  for (const lot of movableFrom(open, -FAR).reverse()) state.remove(lot);
  const alone = op.modes.flatMap((mode): { readonly mode: DenseMode; readonly lot: Placement }[] => {
    const lot = placeInMode(state, item, mode, { ...EARLIEST, notBefore: wish.notBefore });
    return lot === null || (op.pinnedSet !== null && mode.machineSet !== op.pinnedSet) ? [] : [{ mode, lot }];
  });
  state.undoTo(mark);
  const tries: Try[] = [];
  for (const { mode, lot } of alone) {
    const length = lot.end - lot.start;
    const begins = new Set([lot.start]);
    for (const machine of mode.machines)
      for (const other of state.lists[machine] ?? []) if (other.end > lot.start) begins.add(other.end);
    for (const at of begins) {
      const end = at + length;
      if (end >= before) continue;
      const allowed = mode.machines.every((machine) => {
        const next = state.lists[machine]?.[state.positionAfter(machine, at)];
        return next === undefined || next.start >= end || workedEnd(lot, at) <= (latest.get(next.item) ?? next.start);
      });
      if (allowed) tries.push({ mode, at, end });
    }
  }
  return tries.sort((a, b) => a.end - b.end || a.at - b.at);
}

/** Never later than it can end when it begins at the minute. */
function workedEnd(lot: Placement, at: number): number {
  let worked = 0;
  for (const { stretches } of lot.phases)
    for (let i = 0; i < stretches.length; i += 2) worked += (stretches[i + 1] ?? 0) - (stretches[i] ?? 0);
  return at + worked;
}

function movableFrom(open: OpenPlan, minute: number): Placement[] {
  const { model, state } = open;
  const lots: Placement[] = [];
  for (const op of model.ops) {
    if (!open.isMovable(op)) continue;
    for (const item of op.items) {
      const lot = state.placed[item];
      if (lot && !lot.fixed && lot.start >= minute) lots.push(lot);
    }
  }
  return lots.sort((a, b) => a.start - b.start || a.item - b.item);
}

/** Puts the lot there and everything that begins later back behind it. False: somebody would be hurt; the state is then to be undone. */
function shiftFor(open: OpenPlan, item: number, { mode, at }: Try, limits: ArrayLike<number>, before: number): boolean {
  const { state, model } = open;
  const conflicts = state.conflicts;
  const lifted = movableFrom(open, at);
  for (const lot of [...lifted].reverse()) state.remove(lot);
  const placed = placeInMode(state, item, mode, { ...EARLIEST, notBefore: at });
  if (placed === null || placed.end >= before) return false;
  const bank: Bank = [];
  insertSettled(state, placed, bank);
  const old = new Map(lifted.map((lot) => [lot.item, lot]));
  const inTime = (op: number): boolean => {
    const { order } = present(model.ops[op], "operation");
    return (state.completion[order] ?? 0) <= (limits[order] ?? FAR);
  };
  let turns = 0;
  const queue = lifted.map((lot) => lot.item);
  for (let i = 0; i < queue.length || bank.length > 0; ) {
    if (turns++ > 3 * lifted.length + 50) return false;
    const next = bank.length > 0 ? (bank.shift() ?? 0) : (queue[i++] ?? 0);
    if (state.placed[next]) continue;
    const lot = old.get(next);
    if (lot === undefined || !putBack(state, lot, bank) || !inTime(lot.op)) return false;
  }
  return state.conflicts <= conflicts;
}

/** Where it was, else at its first place after that, on the same machines; a block of work that belongs together as a whole. */
function putBack(state: State, lot: Placement, bank: Bank): boolean {
  if (fitsAsItIs(state, lot)) {
    insertSettled(state, lot, bank);
    return true;
  }
  const op = present(state.model.ops[lot.op], "operation");
  if (op.block.length === 0) {
    const later = placeInMode(state, lot.item, lot.mode, { ...EARLIEST, notBefore: lot.start });
    if (later === null) return false;
    insertSettled(state, later, bank);
    return true;
  }
  const off: Bank = [];
  for (const member of op.block) takeOff(state, present(state.model.ops[member], "operation"), off);
  const choosing = { ...PLAIN, notBefore: (one: DenseOp) => (one.index === op.index ? lot.start : -FAR) };
  const members = new Set(op.block);
  for (const item of off) if (!members.has(present(state.model.items[item], "lot").op)) bank.push(item);
  return placeBlock(state, op.block, choosing, bank);
}

/**
 * How late each placed lot may begin, by its machines' and its order's queues, in planned lengths: nights that make work longer are
 * not seen, nor are people, so it may promise too much. Trying it shows.
 */
function latestStarts(open: OpenPlan, limits: ArrayLike<number>): ReadonlyMap<number, number> {
  const { state, model } = open;
  const lots = state.placed.filter((lot): lot is Placement => lot !== null).sort((a, b) => b.start - a.start || b.item - a.item);
  const latest = new Map<number, number>();
  const onMachine = new Map<number, number>();
  for (const lot of lots) {
    const op = present(model.ops[lot.op], "operation");
    let end = Math.min(limits[op.order] ?? FAR, op.windowEnd);
    for (const machine of lot.mode.machines) end = Math.min(end, onMachine.get(machine) ?? FAR);
    for (const link of op.after) {
      if (link.kind !== "lag") continue;
      for (const item of present(model.ops[link.to], "next operation").items) {
        const next = state.placed[item];
        if (next) end = Math.min(end, (latest.get(item) ?? next.start) + (next.bound - next.start) - link.minLag);
      }
    }
    const start = open.isMovable(op) && !lot.fixed ? Math.max(lot.start, end - (lot.end - lot.start)) : lot.start;
    latest.set(lot.item, start);
    for (const machine of lot.mode.machines) onMachine.set(machine, start);
  }
  return latest;
}
