/**
 * Takes waiting out of a finished plan: work that is set up long before it can go on (a part that comes later, a night in
 * between) begins later where that is worth more than what its end loses, if anything. Earliest placement never does that by
 * itself. Promises a plan of no greater value in which no other work is moved; changes nothing else. Deterministic.
 * Cost: a few placements for each lot that waits, and never more than LOTS_MOST lots, those that wait longest: a run that is
 * told to stop must end within a tenth of a second.
 */
import { EARLIEST, placeInMode } from "../decode/place.ts";
import type { Placement } from "../decode/placement.ts";
import { type Bank, insertSettled, removeSettled } from "../decode/settle.ts";
import type { State } from "../decode/state.ts";

/**
 * A later start may free room for another to begin later, too: two sweeps take nearly all there is. Where more lots wait than are
 * looked at, one must do: the second wins a tenth of what the first does (measured on 300 and 1,500 operations), for as much time.
 */
const SWEEPS = 2;
const LOTS_MOST = 150;
/** Tries for one lot: all of the wait, a half of it, a quarter, ... */
const SHIFTS_MOST = 5;

export function tighten(state: State): void {
  if (state.weights.waiting === 0) return;
  for (let sweep = 0, sweeps = SWEEPS; sweep < sweeps; sweep++) {
    const waiting = state.placed.filter((p): p is Placement => p !== null && !p.fixed && p.waiting > 0);
    if (waiting.length > LOTS_MOST) {
      sweeps = 1;
      waiting.sort((a, b) => b.waiting - a.waiting || a.item - b.item);
      waiting.length = LOTS_MOST;
    }
    // The last first: what follows on a machine makes room for what comes before it.
    waiting.sort((a, b) => b.start - a.start || b.item - a.item);
    let better = false;
    for (const p of waiting) if (state.placed[p.item] === p && beginLater(state, p)) better = true;
    if (!better) return;
  }
}

/** Tries starts later by all of the wait, by half of it, and so on; keeps the first that makes the plan worth less. */
function beginLater(state: State, p: Placement): boolean {
  const before = state.value;
  const bank: Bank = [];
  const longest = Math.ceil(p.waiting / Math.max(1, p.mode.machines.length));
  for (let shift = longest, tries = 0; shift > 0 && tries < SHIFTS_MOST; shift = Math.floor(shift / 2), tries++) {
    const mark = state.mark();
    bank.length = 0;
    removeSettled(state, p, bank);
    const later =
      bank.length === 0
        ? placeInMode(state, p.item, p.mode, { ...EARLIEST, notBefore: p.start + shift, keepOthers: true })
        : null;
    if (later !== null) insertSettled(state, later, bank);
    if (later !== null && bank.length === 0 && state.value < before) return true;
    state.undoTo(mark);
  }
  return false;
}
