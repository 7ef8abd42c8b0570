/**
 * Places whole operations and blocks: picks the mode, handles pins, machines that must be the same, lots in turn, and repeats a
 * block (longest lags, kits held from one operation to another) with later begins until it holds together or the tries are spent.
 */
import { draftEnd, draftWaiting, newDraft, placementOf } from "./draft.ts";
import { leanPlace, offersMode } from "./lean-place.ts";
import { type DenseMode, type DenseOp, FAR, NONE } from "./model.ts";
import { EARLIEST, findInMode, type PlaceWish } from "./place.ts";
import type { Placement } from "./placement.ts";
import { type Bank, insertSettled, removeSettled } from "./settle.ts";
import type { State } from "./state.ts";

/** Rounds of "begin the earlier one later" for one block. */
const BLOCK_ROUNDS_MOST = 60;

export type Choosing = {
  /** Minutes of delay that one minute of setup is worth when modes are compared. */
  readonly setupBias: number;
  /** Minutes of delay that one minute of waiting is worth. */
  readonly waitBias: number;
  readonly skip: (() => boolean) | null;
  /** Random minutes added to an end when modes are compared, or null. */
  readonly noise: (() => number) | null;
  /** Not before this minute, besides what the plan demands; null: as early as can be. */
  readonly notBefore: ((op: DenseOp) => number) | null;
  /** Keep this mode if it is offered; NONE: free choice. */
  readonly modeOf: ((op: DenseOp) => number) | null;
};

export const PLAIN: Choosing = { setupBias: 1, waitBias: 0.1, skip: null, noise: null, notBefore: null, modeOf: null };

/** The set of machines that a placed partner of "same machine" prescribes, or null. */
function prescribedSet(state: State, op: DenseOp): string | null {
  for (const link of op.alike) {
    const other = state.model.ops[link.from === op.index ? link.to : link.from]!;
    for (const item of other.items) {
      const p = state.placed[item];
      if (p) return p.mode.machineSet;
    }
    for (const lot of other.source.progress.done) {
      const at = other.source.modes.findIndex((mode) => mode.id === lot.mode);
      const set = other.modes[at]?.machineSet;
      if (set !== undefined) return set;
    }
  }
  return null;
}

function modesToTry(state: State, op: DenseOp, choosing: Choosing): readonly DenseMode[] {
  if (op.pinnedSet === null && op.alike.length === 0 && choosing.modeOf === null) return op.modes;
  let modes = op.modes;
  const narrow = (set: string | null): void => {
    if (set === null) return;
    const kept = modes.filter((mode) => mode.machineSet === set && !mode.impossible);
    if (kept.length > 0) modes = kept;
  };
  if (op.pinnedSet !== null) narrow(op.pinnedSet);
  if (op.alike.length > 0) narrow(prescribedSet(state, op));
  if (choosing.modeOf !== null && modes.length > 1) {
    const wanted = choosing.modeOf(op);
    if (wanted >= 0) {
      const kept = modes.filter((mode) => mode.index === wanted && !mode.impossible);
      if (kept.length > 0) modes = kept;
    }
  }
  return modes;
}

/** The best place of one lot now, or null when there is none before the horizon. Changes nothing. */
export function bestPlace(state: State, item: number, notBefore: number, choosing: Choosing): Placement | null {
  const op = state.model.ops[state.model.items[item]!.op]!;
  const modes = modesToTry(state, op, choosing);
  const floor = choosing.notBefore === null ? notBefore : Math.max(notBefore, choosing.notBefore(op));
  if (op.pinnedStart !== NONE) {
    const first = op.items[0] === item;
    const wish: PlaceWish = first
      ? { ...EARLIEST, exactStart: op.pinnedStart }
      : { ...EARLIEST, notBefore: Math.max(floor, op.pinnedStart) };
    const pinned = pick(state, item, modes, wish, choosing);
    if (pinned !== null) return pinned;
    // a pin that cannot hold: as near behind it as possible, and the conflict says so
    const behind = pick(state, item, modes, { ...EARLIEST, notBefore: Math.max(floor, op.pinnedStart) }, choosing);
    if (behind !== null) return behind;
  }
  return pick(
    state,
    item,
    modes,
    { notBefore: floor, latestEnd: FAR, exactStart: NONE, skip: choosing.skip, keepOthers: false },
    choosing,
  );
}

let best = newDraft();
let tried = newDraft();

function pick(state: State, item: number, modes: readonly DenseMode[], wish: PlaceWish, choosing: Choosing): Placement | null {
  let found = false;
  let bestScore = Infinity;
  for (let m = 0; m < modes.length; m++) {
    const latestEnd = !found || choosing.noise !== null ? FAR : Math.floor(bestScore);
    if (!findInMode(state, item, modes[m]!, wish, latestEnd, tried)) continue;
    let score = draftEnd(tried) + choosing.setupBias * tried.setup + choosing.waitBias * draftWaiting(tried);
    if (choosing.noise !== null) score += choosing.noise();
    if (score < bestScore) {
      found = true;
      bestScore = score;
      const before = best;
      best = tried;
      tried = before;
    }
  }
  return found ? placementOf(state.model, best) : null;
}

/** The same for an operation of the usual kind. */
export function placeLean(state: State, row: number, op: number, notBefore: number, choosing: Choosing, bank: Bank): boolean {
  const { cells } = state.model.lean;
  const item = cells[row]!;
  if (state.pieces[item]! === 0 || state.placed[item] !== null) return true;
  let floor = notBefore;
  let only = NONE;
  if (choosing.notBefore !== null) floor = Math.max(floor, choosing.notBefore(state.model.ops[op]!));
  if (choosing.modeOf !== null) {
    only = choosing.modeOf(state.model.ops[op]!);
    if (only !== NONE && !offersMode(cells, row, only)) only = NONE;
  }
  const found = leanPlace(state, row, op, floor, choosing, only);
  if (found === null) return false;
  insertSettled(state, found, bank);
  return true;
}

/**
 * Places every lot in use that is off. Where one of several finds no place, all pieces are tried as one lot, and when that finds none
 * either the whole operation stays off: a plan holds all pieces of an operation or none. False when it is not all placed.
 */
export function placeOperation(state: State, op: DenseOp, notBefore: number, choosing: Choosing, bank: Bank): boolean {
  const row = state.model.lean.rowOf[op.index]!;
  if (row !== NONE) return placeLean(state, row, op.index, notBefore, choosing, bank);
  if (placeLots(state, op, notBefore, choosing, bank)) return true;
  if (op.items.length === 1 || op.items.some((item) => state.placed[item]?.fixed === true)) return false;
  takeOff(state, op, bank);
  state.cutEvenly(op, 1);
  return placeLots(state, op, notBefore, choosing, bank);
}

function placeLots(state: State, op: DenseOp, notBefore: number, choosing: Choosing, bank: Bank): boolean {
  let all = true;
  let floor = notBefore;
  const byPieces = op.byTransfer;
  for (const item of op.items) {
    if (state.pieces[item]! === 0 || state.placed[item] !== null) continue;
    const found = bestPlace(state, item, floor, choosing);
    if (found === null) {
      all = false;
      continue;
    }
    insertSettled(state, found, bank);
    // numbered pieces of the next operation go through its lots in order
    if (byPieces && found.start > floor) floor = found.start;
  }
  return all;
}

/** Takes off every lot of the operation that is not given. */
export function takeOff(state: State, op: DenseOp, bank: Bank): void {
  for (const item of op.items) {
    const p = state.placed[item];
    if (p && !p.fixed) removeSettled(state, p, bank);
  }
}

/** What comes too late after it, or too long holds a kit: the operation to begin later, and from when; null when all holds. */
function looseEnd(
  state: State,
  op: DenseOp,
  inBlock: (op: number) => boolean,
): { readonly op: number; readonly by: number } | null {
  for (const link of op.before) {
    if (link.kind !== "lag" || link.maxLag >= FAR || !inBlock(link.from)) continue;
    for (const item of op.items) {
      const to = state.placed[item];
      if (!to) continue;
      for (const earlier of state.model.ops[link.from]!.items) {
        const from = state.placed[earlier];
        if (from && !from.fixed && to.bound - from.end > link.maxLag)
          return { op: link.from, by: to.bound - from.end - link.maxLag };
      }
    }
  }
  for (const span of op.spans) {
    if (span.to !== op.index || !inBlock(span.from)) continue;
    const [start, end] = state.spanHold(span.index);
    if (start >= end) continue;
    const until = state.kits[span.kit]!.shortUntil(start, end, 0);
    if (until < 0) continue;
    const from = state.model.ops[span.from]!.items.map((item) => state.placed[item]).find((p) => p && !p.fixed);
    if (from) return { op: span.from, by: Math.max(1, until - from.start) };
  }
  return null;
}

/** Puts a whole block in place, earlier operations later where a longest lag or a kit asks for it. */
export function placeBlock(state: State, block: readonly number[], choosing: Choosing, bank: Bank): boolean {
  const { model } = state;
  const members = new Set(block);
  const inBlock = (op: number): boolean => members.has(op);
  const floors = new Map<number, number>();
  const mark = state.mark();
  const kept = bank.length;
  let rounds = 0;
  for (let i = 0; i < block.length; ) {
    const op = model.ops[block[i]!]!;
    if (!op.finished && !placeOperation(state, op, floors.get(op.index) ?? -FAR, choosing, bank)) {
      if (rounds < BLOCK_ROUNDS_MOST) {
        // the rest may have no room after so late a begin: keep what fits without minding the limits
        state.undoTo(mark);
        bank.length = kept;
      }
      return placeLoosely(state, block, choosing, bank);
    }
    const loose = looseEnd(state, op, inBlock);
    if (loose === null) {
      i++;
      continue;
    }
    if (++rounds > BLOCK_ROUNDS_MOST) {
      state.undoTo(mark);
      bank.length = kept;
      return placeLoosely(state, block, choosing, bank);
    }
    const earlier = model.ops[loose.op]!;
    const start = earlier.items.reduce((least, item) => Math.min(least, state.placed[item]?.start ?? FAR), FAR);
    floors.set(loose.op, Math.max(floors.get(loose.op) ?? -FAR, start) + loose.by);
    const back = block.indexOf(loose.op);
    for (let k = i; k >= back; k--) takeOff(state, model.ops[block[k]!]!, bank);
    i = back;
  }
  return true;
}

function placeLoosely(state: State, block: readonly number[], choosing: Choosing, bank: Bank): boolean {
  let all = true;
  for (const index of block) {
    const op = state.model.ops[index]!;
    if (!op.finished && !placeOperation(state, op, -FAR, choosing, bank)) all = false;
  }
  return all;
}
