/**
 * Changes to the placed plan with their consequences: the setup of the next work is re-planned in its place after every
 * insertion and removal, and what no longer fits (its setup, or a link from what now ends later) is taken off into the bank.
 * Promises that whatever stays placed has the right setup and keeps its links to placed work; nothing given is ever touched.
 */
import { runningPlacement } from "./given.ts";
import { GIVES_PIECES } from "./lean-rows.ts";
import { OFF } from "./model.ts";
import type { Placement } from "./placement.ts";
import { planPrepare } from "./prepare.ts";
import type { State } from "./state.ts";
import { transferBroken } from "./transfer.ts";

/** Lots waiting to be put back. */
export type Bank = number[];

export function insertSettled(state: State, placement: Placement, bank: Bank): void {
  state.insert(placement);
  for (const machine of placement.mode.machines) {
    if (state.placed[placement.item] !== placement) return;
    settleFollower(state, machine, state.positionOf(machine, placement) + 1, bank);
  }
  pushSuccessors(state, placement, bank);
}

export function removeSettled(state: State, placement: Placement, bank: Bank): void {
  const { machines } = placement.mode;
  state.remove(placement);
  for (const machine of machines) settleFollower(state, machine, state.positionFrom(machine, placement.start), bank);
}

/** The first free work with a family at or after the position on the machine, or null. */
function followerAt(state: State, machine: number, position: number): Placement | null {
  const list = state.lists[machine]!;
  const families = state.families[machine]!;
  for (let i = position; i < list.length; i++) {
    if (families[i]! < 0) continue;
    const follower = list[i]!;
    return follower.fixed ? null : follower;
  }
  return null;
}

/** Brings the setup of the first work with a family at or after the position in line with what now comes before it. */
function settleFollower(state: State, machine: number, position: number, bank: Bank): void {
  const follower = followerAt(state, machine, position);
  if (follower !== null) settle(state, follower, bank);
}

function settle(state: State, follower: Placement, bank: Bank): void {
  const needed = state.setupNeeded(follower);
  if (needed === follower.setup) return;
  let gapFrom = state.model.now;
  for (const other of follower.mode.machines) {
    const before = state.lists[other]![state.positionOf(other, follower) - 1];
    if (before !== undefined && before.end > gapFrom) gapFrom = before.end;
  }
  const planned = planPrepare(state, follower, needed, gapFrom);
  if (planned === null) {
    bank.push(follower.item);
    removeSettled(state, follower, bank);
  } else {
    state.remove(follower);
    state.insert(planned);
  }
}

/** Takes a lot off and only notes whose setup may be wrong now: most steps of a search are undone before it matters. */
export function removeLoose(state: State, placement: Placement, stale: number[]): void {
  state.remove(placement);
  for (const machine of placement.mode.machines) {
    const follower = followerAt(state, machine, state.positionFrom(machine, placement.start));
    if (follower?.mode.hasSetup) stale.push(follower.item);
  }
}

/** Settles what removeLoose noted, as far as it still stands. */
export function settleStale(state: State, stale: number[], bank: Bank): void {
  for (let item = stale.pop(); item !== undefined; item = stale.pop()) {
    const placement = state.placed[item];
    if (placement && !placement.fixed) settle(state, placement, bank);
  }
}

/** Takes off placed work that a link now forbids where it is. */
function pushSuccessors(state: State, placement: Placement, bank: Bank): void {
  const { model } = state;
  if ((model.lean.traits[placement.op]! & GIVES_PIECES) === 0) {
    const { from, item, minLag } = model.later;
    for (let k = from[placement.op]!, until = from[placement.op + 1]!; k < until; k++) {
      const bound = state.boundOf[item[k]!]!;
      if (bound !== OFF && bound < placement.end + minLag[k]!) pushBack(state, item[k]!, bank);
    }
    return;
  }
  for (const link of model.ops[placement.op]!.after) {
    for (const item of model.ops[link.to]!.items) {
      const next = state.placed[item];
      if (!next || (next.fixed && !next.running)) continue;
      const broken = link.kind === "transfer" ? transferBroken(state, next) : next.bound < placement.end + link.minLag;
      if (broken) pushBack(state, item, bank);
    }
  }
}

/** Takes off what now begins too early; what is given stays. */
function pushBack(state: State, item: number, bank: Bank): void {
  const next = state.placed[item]!;
  if (next.running) layRunningAnew(state, next, bank);
  else if (!next.fixed) {
    bank.push(item);
    removeSettled(state, next, bank);
  }
}

/** A running lot whose later phases wait for what comes before by a link: they are laid anew, others make room. */
function layRunningAnew(state: State, old: Placement, bank: Bank): void {
  state.remove(old);
  const anew = runningPlacement(state, state.model.ops[old.op]!, old.item);
  for (const machine of anew.mode.machines) {
    for (const other of [...state.lists[machine]!]) {
      if (other.fixed || other.start >= anew.end || other.end <= anew.start || state.placed[other.item] !== other) continue;
      bank.push(other.item);
      removeSettled(state, other, bank);
    }
  }
  state.insert(anew);
}
