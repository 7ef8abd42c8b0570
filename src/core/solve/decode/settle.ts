/**
 * Changes to the placed plan with their consequences: the setup of the next work is re-planned in its place after every
 * insertion and removal, and what no longer fits (its setup, or a link from what now ends later) is taken off into the bank.
 * Promises that whatever stays placed has the right setup and keeps its links to placed work; nothing given is ever touched.
 */
import { runningPlacement } from "./given.ts";
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

/** Brings the setup of the first work with a family at or after the position in line with what now comes before it. */
function settleFollower(state: State, machine: number, position: number, bank: Bank): void {
  const list = state.lists[machine]!;
  for (let i = position; i < list.length; i++) {
    const follower = list[i]!;
    if (follower.mode.families[follower.mode.machines.indexOf(machine)]! < 0) continue;
    if (follower.fixed) return;
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
    return;
  }
}

/** Takes off placed work that a link now forbids where it is. */
function pushSuccessors(state: State, placement: Placement, bank: Bank): void {
  const op = state.model.ops[placement.op]!;
  for (const link of op.after) {
    for (const item of state.model.ops[link.to]!.items) {
      const next = state.placed[item];
      if (!next || (next.fixed && !next.running)) continue;
      const broken = link.kind === "transfer" ? transferBroken(state, next) : next.bound < placement.end + link.minLag;
      if (!broken) continue;
      if (next.running) {
        layRunningAnew(state, next, bank);
        continue;
      }
      bank.push(item);
      removeSettled(state, next, bank);
    }
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
