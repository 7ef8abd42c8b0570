/**
 * Makes room for some operations by moving others no further than needed: the wanted work is placed first, as if what may be
 * displaced were not there; then everything else goes back exactly where it was, and only what no longer fits there moves, to the
 * first gap at or after its old start, what follows it by a link with it. Never a domino: whoever is not hit and does not follow
 * one who is stays; with too many moves the attempt is given up. Judges nothing: the caller checks the plan it gets.
 * Bounded push after the engine study of this project; a batch in the way may be cut at a piece end instead of moving whole.
 */
import { present } from "../ground/invariant.ts";
import type { Plan } from "../problem/plan.ts";
import { fitsAsItIs } from "../solve/construct/start-plan.ts";
import { type DenseOp, FAR } from "../solve/decode/model.ts";
import { EARLIEST, placeInMode } from "../solve/decode/place.ts";
import { PLAIN, placeBlock, placeOperation, takeOff } from "../solve/decode/place-operation.ts";
import type { Placement } from "../solve/decode/placement.ts";
import { type Bank, insertSettled, removeSettled } from "../solve/decode/settle.ts";
import type { State } from "../solve/decode/state.ts";
import { fitLot } from "./fit-around.ts";
import type { OpenPlan } from "./open-plan.ts";

export type RoomWish = {
  /** Whether this work may be asked to move. */
  readonly displaceable: (op: DenseOp) => boolean;
  /** A wanted operation begins no earlier: a later begin hurts fewer. */
  readonly notBefore: (op: DenseOp) => number;
  /** Operations moved at most. */
  readonly movesMost: number;
  /** Displaced work goes to its first gap at or after its old start; false: to its first gap anywhere. */
  readonly keepNear: boolean;
  /** Batches in the way may be cut. */
  readonly mayCut: boolean;
  /** Work in the way keeps its begin where it can, and only its later phases wait: it is told of less, and stays begun longer. */
  readonly mayWait: boolean;
};

/** The plan with the wanted operations in it; null when they, or what they displace, find no place. Leaves the state as it was. */
export function makeRoom(open: OpenPlan, wanted: readonly DenseOp[], wish: RoomWish): Plan | null {
  const mark = open.state.mark();
  const lifted = lift(open, wish.displaceable);
  const plan = placeThenReturn(open, wanted, lifted, wish) ? open.write() : null;
  open.state.undoTo(mark);
  return plan;
}

/** Takes off what may be displaced; the lots in the order of their starts. */
export function lift({ state, model, isMovable }: OpenPlan, displaceable: RoomWish["displaceable"]): readonly Placement[] {
  const lifted: Placement[] = [];
  for (const op of model.ops) {
    if (!isMovable(op) || !displaceable(op)) continue;
    for (const item of op.items) {
      const lot = state.placed[item];
      if (lot && !lot.fixed) lifted.push(lot);
    }
  }
  lifted.sort((a, b) => a.start - b.start || a.item - b.item);
  for (const lot of [...lifted].reverse()) state.remove(lot);
  return lifted;
}

function placeThenReturn(open: OpenPlan, wanted: readonly DenseOp[], lifted: readonly Placement[], wish: RoomWish): boolean {
  const { state } = open;
  const bank: Bank = [];
  if (!placeWanted(state, wanted, wish, bank)) return false;
  const isWanted = new Set(wanted.map((op) => op.index));
  const oldStart = new Map<number, number>();
  for (const lot of open.before) {
    if (!lot) continue;
    oldStart.set(lot.op, Math.min(oldStart.get(lot.op) ?? FAR, lot.start));
  }
  for (const lot of lifted) {
    if (state.placed[lot.item]) continue; // it belongs to a block with wanted work and was placed with it
    if ((state.pieces[lot.item] ?? 0) !== lot.pieces) continue; // cut meanwhile with its first lot
    if (fitsAsItIs(state, lot) && keeps(state, isWanted, bank, () => inserted(state, lot, bank))) continue;
    if (wish.mayWait && keeps(state, isWanted, bank, () => waitsBegun(state, lot, bank))) continue;
    if (!(wish.mayCut && cutAround(state, lot, isWanted, bank))) bank.push(lot.item);
  }
  return returnBank(state, bank, { oldStart, wish, isWanted });
}

const inserted = (state: State, lot: Placement, bank: Bank): boolean => {
  insertSettled(state, lot, bank);
  return true;
};

/** The lot begun when it was, its later phases as early as what lies there allows. False: not so. */
function waitsBegun(state: State, lot: Placement, bank: Bank): boolean {
  const later = placeInMode(state, lot.item, lot.mode, { ...EARLIEST, exactStart: lot.start, keepOthers: true });
  return later !== null && inserted(state, later, bank);
}

/** Does it, unless the wanted work would have to leave its place for it (its setup would change): then nothing is done. False: not done. */
function keeps(state: State, isWanted: ReadonlySet<number>, bank: Bank, act: () => boolean): boolean {
  const mark = state.mark();
  const known = bank.length;
  const done = act();
  if (done && bank.slice(known).every((item) => !isWanted.has(present(state.model.items[item], "lot").op))) return true;
  state.undoTo(mark);
  bank.length = known;
  return false;
}

/** The wanted operations in the order of their links, blocks together. */
export function placeWanted(state: State, wanted: readonly DenseOp[], wish: Pick<RoomWish, "notBefore">, bank: Bank): boolean {
  for (const op of wanted) {
    if (op.items.every((item) => (state.pieces[item] ?? 0) === 0 || state.placed[item])) continue;
    const placed =
      op.block.length > 0 ? placeBlock(state, op.block, PLAIN, bank) : placeOperation(state, op, wish.notBefore(op), PLAIN, bank);
    if (!placed) return false;
  }
  return wanted.every((op) => op.items.every((item) => (state.pieces[item] ?? 0) === 0 || state.placed[item]));
}

type Return = {
  readonly oldStart: ReadonlyMap<number, number>;
  readonly wish: RoomWish;
  readonly isWanted: ReadonlySet<number>;
};

/** After so many times off, an operation takes a gap in which nobody else is touched. */
const TIMES_GENTLE = 2;
const TIMES_MOST = 6;

/** Puts back what was hit, the earliest first and never before what it follows. False: too many moves, or no place. */
function returnBank(state: State, bank: Bank, { oldStart, wish, isWanted }: Return): boolean {
  const { model } = state;
  const startOf = (op: number): number => oldStart.get(op) ?? FAR;
  const opOfItem = (item: number): number => present(model.items[item], "lot").op;
  const returned = new Map<number, number>();
  const moved = new Set<number>();
  while (bank.length > 0) {
    const waiting = new Set(bank.map(opOfItem));
    let next = -1;
    for (const op of waiting) {
      const follows = present(model.ops[op], "operation").before.some(
        (link) => link.kind !== "sameMachine" && waiting.has(link.from),
      );
      if (!follows && (next < 0 || startOf(op) < startOf(next))) next = op;
    }
    if (next < 0) next = present([...waiting][0], "waiting operation");
    const op = present(model.ops[next], "operation");
    const members = op.block.length > 0 ? op.block : [next];
    const inBlock = new Set(members);
    const rest = bank.filter((item) => !inBlock.has(opOfItem(item)));
    bank.length = 0;
    bank.push(...rest);
    const times = (returned.get(next) ?? 0) + 1;
    returned.set(next, times);
    for (const member of members) moved.add(member);
    if (moved.size > wish.movesMost || times > TIMES_MOST) return false;
    if (op.block.length > 0) {
      for (const member of members) takeOff(state, present(model.ops[member], "operation"), bank);
      const others = bank.filter((item) => !inBlock.has(opOfItem(item)));
      bank.length = 0;
      bank.push(...others);
      if (!placeBlock(state, op.block, PLAIN, bank)) return false;
      continue;
    }
    const from = wish.keepNear ? startOf(next) : -FAR;
    const anyhow = (): boolean => keeps(state, isWanted, bank, () => placeOperation(state, op, from, PLAIN, bank));
    const gently = (): boolean => keeps(state, isWanted, bank, () => fitsIn(state, op, from));
    const withFollowers = (): boolean =>
      keeps(state, isWanted, bank, () => {
        takeFollowersOff(state, op, bank);
        return fitsIn(state, op, from);
      });
    const placed = times <= TIMES_GENTLE ? anyhow() || gently() : gently() || anyhow();
    if (!(placed || withFollowers())) return false;
  }
  return true;
}

/** All lots of it that are off, each in a gap where nothing else changes. */
function fitsIn(state: State, op: DenseOp, notBefore: number): boolean {
  return op.items.every((item) => {
    if ((state.pieces[item] ?? 0) === 0 || state.placed[item]) return true;
    const lot = fitLot(state, op, item, notBefore, null);
    if (lot !== null) state.insert(lot);
    return lot !== null;
  });
}

/** What follows it by a link, so that it may end later: to be put back after it. */
function takeFollowersOff(state: State, op: DenseOp, bank: Bank): void {
  for (const link of op.after) {
    if (link.kind === "sameMachine") continue;
    for (const item of present(state.model.ops[link.to], "next operation").items) {
      const next = state.placed[item];
      if (!next || next.fixed) continue;
      bank.push(item);
      removeSettled(state, next, bank);
    }
  }
}

/**
 * A whole batch that no longer fits is cut at the last piece end that still does: its first lot keeps its start, the rest goes to
 * the bank as a second lot. False: it may not be cut, or nothing fits.
 */
function cutAround(state: State, lot: Placement, isWanted: ReadonlySet<number>, bank: Bank): boolean {
  const { model } = state;
  const op = present(model.ops[lot.op], "operation");
  const { split } = op.source;
  if (split === null || isWanted.has(op.index) || op.lotsMost < 2 || op.block.length > 0) return false;
  if ([...op.before, ...op.after].some((link) => link.kind === "transfer")) return false;
  const used = op.items.filter((item) => (state.pieces[item] ?? 0) > 0);
  const second = op.items.find((item) => (state.pieces[item] ?? 0) === 0);
  if (used.length !== 1 || second === undefined || op.items[0] !== lot.item) return false;
  const tryPieces = (pieces: number): Placement | null => {
    state.setPieces(lot.item, pieces);
    return placeInMode(state, lot.item, lot.mode, { ...EARLIEST, exactStart: lot.start, keepOthers: true });
  };
  const mark = state.mark();
  let low = split.minPieces - 1;
  let high = lot.pieces - split.minPieces;
  let best: Placement | null = null;
  while (low < high) {
    const middle = Math.ceil((low + high) / 2);
    const found = tryPieces(middle);
    if (found === null) high = middle - 1;
    else {
      best = found;
      low = middle;
    }
  }
  if (best === null) {
    state.undoTo(mark);
    return false;
  }
  state.setPieces(lot.item, best.pieces);
  state.setPieces(second, lot.pieces - best.pieces);
  insertSettled(state, best, bank);
  bank.push(second);
  return true;
}
