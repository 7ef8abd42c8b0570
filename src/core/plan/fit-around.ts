/**
 * Places operations around everything that is placed already: the earliest begin of each in turn at which no rule is broken and
 * nothing else changes, not even another's setup. A longest lag or a kit held across operations sends the earlier one later until
 * it holds. Exact for one operation; a chain is placed link by link, each as early as it can end.
 */
import { present } from "../ground/invariant.ts";
import { type DenseMode, type DenseOp, FAR, NONE } from "../solve/decode/model.ts";
import { EARLIEST, placeInMode } from "../solve/decode/place.ts";
import type { Placement } from "../solve/decode/placement.ts";
import { brokenPairs, lotConflicts } from "../solve/decode/rule-breaks.ts";
import type { State } from "../solve/decode/state.ts";
import { transferBroken } from "../solve/decode/transfer.ts";

/** Gaps tried for one lot, and rounds of "the earlier one later" for a chain, before giving up. */
const GAPS_MOST = 2_000;
const ROUNDS_MOST = 80;

export type FitWish = {
  readonly notBefore: number;
  /** Only these modes; null: all. */
  readonly modes: ((mode: DenseMode) => boolean) | null;
};
export const ANYWHERE: FitWish = { notBefore: -FAR, modes: null };

/** Puts the operations (in the order of their links) into the state. False: no place; the state is then as before. */
export function fitAround(state: State, ops: readonly DenseOp[], wish: FitWish): boolean {
  const begin = state.mark();
  const marks: number[] = [];
  const floors = new Map<number, number>();
  let rounds = 0;
  for (let i = 0; i < ops.length; ) {
    const op = present(ops[i], "operation");
    marks[i] = state.mark();
    const placed = fitOperation(state, op, Math.max(wish.notBefore, floors.get(op.index) ?? -FAR), wish.modes);
    const later = placed ? null : tooFarBehind(state, op, ops.slice(0, i), wish);
    if (placed) {
      i++;
      continue;
    }
    rounds++;
    if (later === null || rounds > ROUNDS_MOST) {
      state.undoTo(begin);
      return false;
    }
    floors.set(later.op, later.floor);
    const back = ops.findIndex((candidate) => candidate.index === later.op);
    state.undoTo(present(marks[back], "mark"));
    i = back;
  }
  return true;
}

/** All lots of one operation that are off, each at its earliest. False: it stays off. */
function fitOperation(state: State, op: DenseOp, notBefore: number, modes: FitWish["modes"]): boolean {
  const mark = state.mark();
  let floor = notBefore;
  const byPieces = op.before.some((link) => link.kind === "transfer");
  for (const item of op.items) {
    if ((state.pieces[item] ?? 0) === 0 || state.placed[item]) continue;
    const lot = fitLot(state, op, item, floor, modes);
    if (lot === null) {
      state.undoTo(mark);
      return false;
    }
    state.insert(lot);
    if (byPieces && lot.start > floor) floor = lot.start;
  }
  return true;
}

/** The place of one lot with the earliest end over the modes. */
export function fitLot(state: State, op: DenseOp, item: number, notBefore: number, modes: FitWish["modes"]): Placement | null {
  let best: Placement | null = null;
  for (const mode of op.modes) {
    if (mode.impossible || (modes !== null && !modes(mode))) continue;
    const found = fitInMode(state, op, item, mode, notBefore, best === null ? FAR : best.end - 1);
    if (found !== null) best = found;
  }
  return best;
}

/** The earliest place of one lot in one mode without any conflict and without a change to others. */
export function fitInMode(
  state: State,
  op: DenseOp,
  item: number,
  mode: DenseMode,
  notBefore: number,
  latestEnd: number,
): Placement | null {
  if (op.pinnedSet !== null && mode.machineSet !== op.pinnedSet) return null;
  const pinned = op.pinnedStart !== NONE && op.items[0] === item;
  const end = Math.min(latestEnd, op.windowEnd, latestEndForOthers(state, op));
  let from = notBefore;
  for (let tries = 0; tries < GAPS_MOST; tries++) {
    if (pinned && from > op.pinnedStart) return null;
    const found = placeInMode(state, item, mode, {
      ...EARLIEST,
      notBefore: pinned ? -FAR : from,
      exactStart: pinned ? op.pinnedStart : NONE,
      latestEnd: end,
      keepOthers: true,
    });
    if (found === null) return null;
    const next = nextTry(state, op, found);
    if (next === null) return found;
    if (pinned || next >= FAR) return null;
    from = Math.max(next, from + 1);
  }
  return null;
}

/** What comes after it by a link and lies already must not be overtaken. */
function latestEndForOthers(state: State, op: DenseOp): number {
  let latest = FAR;
  for (const link of op.after) {
    if (link.kind !== "lag") continue;
    for (const item of present(state.model.ops[link.to], "next operation").items) {
      const next = state.placed[item];
      if (next) latest = Math.min(latest, next.bound - link.minLag);
    }
  }
  return latest;
}

/** null: nothing is broken there. Else the minute from which another try makes sense; FAR: none does. */
function nextTry(state: State, op: DenseOp, lot: Placement): number | null {
  if (lotConflicts(state.model, lot) > 0) return FAR;
  if (brokenPairs(state, lot) > 0) {
    // only a longest lag to what follows is helped by waiting
    let missing = 0;
    for (const link of op.after) {
      if (link.kind !== "lag" || link.maxLag >= FAR) continue;
      for (const item of present(state.model.ops[link.to], "next operation").items) {
        const next = state.placed[item];
        if (next) missing = Math.max(missing, next.bound - lot.end - link.maxLag);
      }
    }
    return missing > 0 ? lot.start + 1 : FAR;
  }
  const before = state.conflicts;
  const mark = state.mark();
  state.insert(lot);
  const more = state.conflicts > before;
  const overtaken = op.after.some(
    (link) =>
      link.kind === "transfer" &&
      present(state.model.ops[link.to], "next operation").items.some((item) => {
        const next = state.placed[item];
        return next ? transferBroken(state, next) : false;
      }),
  );
  const kitMissing = op.spans.some((span) => {
    const [from, until] = state.spanHold(span.index);
    return from < until && present(state.kits[span.kit], "kit").shortUntil(from, until, 0) >= 0;
  });
  const tooLate = more && (state.completion[op.order] ?? 0) > present(state.model.orders[op.order], "order").deadline;
  state.undoTo(mark);
  if (overtaken || tooLate) return FAR;
  if (kitMissing) return lot.start + 1;
  if (!more) return null;
  // calibrations and run hours: the same holds until the next work on one of its machines
  let next = FAR;
  for (const machine of lot.mode.machines) {
    const position = state.positionAfter(machine, lot.start);
    const other = state.lists[machine]?.[position];
    if (other !== undefined) next = Math.min(next, Math.max(other.end, lot.start + 1));
  }
  return next;
}

/** An operation that found no place may be too far behind one before it: that one, and from when it should be tried. */
function tooFarBehind(
  state: State,
  op: DenseOp,
  earlier: readonly DenseOp[],
  wish: FitWish,
): { readonly op: number; readonly floor: number } | null {
  const limits = op.before.filter(
    (link) => link.kind === "lag" && link.maxLag < FAR && earlier.some((candidate) => candidate.index === link.from),
  );
  const spans = op.spans.filter((span) => span.to === op.index && earlier.some((candidate) => candidate.index === span.from));
  if (limits.length === 0 && spans.length === 0) return null;
  // where it could begin if nothing bound it from behind
  let free = FAR;
  for (const item of op.items) {
    if ((state.pieces[item] ?? 0) === 0 || state.placed[item]) continue;
    for (const mode of op.modes) {
      if (mode.impossible || (wish.modes !== null && !wish.modes(mode))) continue;
      const found = placeInMode(state, item, mode, { ...EARLIEST, notBefore: wish.notBefore, keepOthers: true });
      if (found !== null) free = Math.min(free, found.bound);
    }
  }
  for (const link of limits) {
    const from = present(state.model.ops[link.from], "earlier operation");
    const lots = from.items.flatMap((item) => state.placed[item] ?? []);
    const end = lots.reduce((latest, lot) => Math.max(latest, lot.end), -FAR);
    const start = lots.reduce((least, lot) => Math.min(least, lot.start), FAR);
    if (free < FAR && free - end > link.maxLag) return { op: link.from, floor: start + Math.max(1, free - end - link.maxLag) };
  }
  const first = limits[0]?.from ?? spans[0]?.from;
  if (first === undefined) return null;
  const start = present(state.model.ops[first], "earlier operation").items.reduce(
    (least, item) => Math.min(least, state.placed[item]?.start ?? FAR),
    FAR,
  );
  return start >= FAR ? null : { op: first, floor: start + 15 };
}

/** Whether work behind the places these lots have left would now need another setup than it has: then leaving them changes others. */
export function leavesOtherSetup(state: State, lots: readonly Placement[]): boolean {
  return lots.some((lot) =>
    lot.mode.machines.some((machine) => {
      const next = state.lists[machine]
        ?.slice(state.positionFrom(machine, lot.start))
        .find((candidate) => candidate.mode.families[candidate.mode.machines.indexOf(machine)] !== NONE);
      return next !== undefined && !next.running && state.setupNeeded(next) !== next.setup;
    }),
  );
}
