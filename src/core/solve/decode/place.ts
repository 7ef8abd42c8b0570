/**
 * Earliest place of one lot in a given plan: every mode, every gap on its machines, every choice of crews, phases laid one after
 * the other, setup counted from the family before the gap, and the setup of what follows re-planned in its place when it changes.
 * Nothing placed is touched; the answer holds in the state it was asked in. Soft rules (windows' ends, longest lags, run hours)
 * are not its business: they are counted by the state and repaired by the caller.
 */
import { linkFloor, startFloor } from "./bounds.ts";
import { type Draft, draftBegin, draftEnd, draftEndOf, draftStart, newDraft, nextLaid, placementOf } from "./draft.ts";
import { earliestPhase, IMPOSSIBLE, type Laid, latestBegin, layExactly, newLaid, shortageOf, workedOf } from "./lay-phase.ts";
import { type DenseMode, type DenseOp, FAR, NONE, phaseMinutes, setupBetween } from "./model.ts";
import type { Placement } from "./placement.ts";
import { planPrepare } from "./prepare.ts";
import { laterForRenewal } from "./renewals.ts";
import type { State } from "./state.ts";
import { pieceFloors, piecesBefore, transferEnd } from "./transfer.ts";

/** Gaps looked at for one lot on one mode before giving up; far above what real plans need, a guard against endless loops. */
export const TRIES_MOST = 20_000;

export type PlaceWish = {
  /** Not before this minute, besides what the plan itself demands. */
  readonly notBefore: number;
  /** Ends after this minute are of no use. */
  readonly latestEnd: number;
  /** Only this start will do; NONE: any. */
  readonly exactStart: number;
  /** Chance of passing over a gap that would fit (0 with no generator): variety for the search. */
  readonly skip: (() => boolean) | null;
  /** The setup of the work after it must stay as it is: nothing else may change. */
  readonly keepOthers: boolean;
};

export const EARLIEST: PlaceWish = { notBefore: -FAR, latestEnd: FAR, exactStart: NONE, skip: null, keepOthers: false };

let spare = newLaid();
const scratch = newDraft();
const positions: number[] = [];
const floorOfPhase: number[] = [];

/** The earliest place of the lot in this mode, or null. */
export function placeInMode(state: State, item: number, mode: DenseMode, wish: PlaceWish, latestEnd = FAR): Placement | null {
  return findInMode(state, item, mode, wish, latestEnd, scratch) ? placementOf(state.model, scratch) : null;
}

/** Looks for the earliest place of the lot in this mode; the draft holds it when there is one. */
export function findInMode(
  state: State,
  item: number,
  mode: DenseMode,
  wish: PlaceWish,
  latestEnd: number,
  draft: Draft,
): boolean {
  if (mode.impossible) return false;
  const { model } = state;
  const op = model.ops[mode.op]!;
  const pieces = state.pieces[item]!;
  const horizon = Math.min(model.horizon, wish.latestEnd, latestEnd);
  const atLink = linkFloor(state, op);
  const early =
    op.prepareEarly &&
    mode.phases.length > 0 &&
    mode.phases[0]!.isPrepare &&
    mode.phases.some((phase) => !phase.isPrepare && phaseMinutes(phase, pieces) > 0);
  let at = Math.max(startFloor(state, op), wish.notBefore, early ? -FAR : atLink);
  if (wish.exactStart !== NONE) {
    if (wish.exactStart < at) return false;
    at = wish.exactStart;
  }
  let worked = 0;
  if (pieces === op.freePieces) {
    if (at + model.leastOfMode[mode.index]! > horizon) return false;
    worked = model.workOfMode[mode.index]!;
  } else for (const phase of mode.phases) worked += phaseMinutes(phase, pieces);
  const transferred = op.byTransfer;
  const endFloor = transferred ? transferEnd(state, op) : -FAR;
  const machineCount = mode.machines.length;
  const phaseCount = mode.phases.length;
  for (let p = 0; p < phaseCount; p++) floorOfPhase[p] = -FAR;
  draft.mode = mode;
  draft.item = item;
  draft.pieces = pieces;
  while (positions.length < machineCount) positions.push(0);
  for (let k = 0; k < machineCount; k++) positions[k] = state.positionAfter(mode.machines[k]!, at);

  search: for (let tries = 0; tries < TRIES_MOST; tries++) {
    if (at + worked > horizon) return false;
    if (wish.exactStart !== NONE && at !== wish.exactStart) return false;
    // a minute at which every machine is free for the whole work, and the end of the gap there
    for (let settled = 0, k = 0; settled < machineCount; k = k + 1 === machineCount ? 0 : k + 1) {
      const machine = mode.machines[k]!;
      const starts = state.starts[machine]!;
      const ends = state.ends[machine]!;
      const count = state.lists[machine]!.length;
      let position = positions[k]!;
      const before = at;
      while (position < count && ends[position]! <= at) position++;
      while (position < count && starts[position]! < at + worked) {
        if (ends[position]! > at) at = ends[position]!;
        position++;
      }
      positions[k] = position;
      settled = at === before ? settled + 1 : 1;
    }
    if (at + worked > horizon) return false;
    let setup = 0;
    let limit = FAR;
    let blockedUntil = FAR;
    for (let k = 0; k < machineCount; k++) {
      const machine = mode.machines[k]!;
      const position = positions[k]!;
      if (position < state.lists[machine]!.length && state.starts[machine]![position]! < limit) {
        limit = state.starts[machine]![position]!;
        blockedUntil = Math.max(state.ends[machine]![position]!, at + 1);
      }
      const family = mode.families[k]!;
      if (family >= 0) {
        const minutes = setupBetween(model.machines[machine]!, state.familyBefore(machine, position), family);
        if (minutes > setup) setup = minutes;
      }
    }
    if (at + worked + setup > limit) {
      at = blockedUntil;
      continue;
    }
    if (mode.hasSetup) {
      // the setup of the next work with a family changes when this comes before it
      for (let k = 0; k < machineCount; k++) {
        if (mode.families[k]! < 0) continue;
        const room = followerLimit(state, mode, k, at, positions[k]!, wish.keepOthers);
        if (room < limit) {
          limit = room;
          blockedUntil = Math.max(state.ends[mode.machines[k]!]![positions[k]!]!, at + 1);
        }
      }
      if (at + worked + setup > limit) {
        at = blockedUntil;
        continue;
      }
    }
    if (wish.skip?.()) {
      at = limit < FAR ? blockedUntil : at + worked + setup;
      continue;
    }

    // phases one after the other
    draft.count = 0;
    draft.worked = 0;
    draft.setup = setup;
    let reached = at;
    let previousEnd = -1;
    let seenWork = false;
    for (let p = 0; p < phaseCount; p++) {
      const phase = mode.phases[p]!;
      const extra = phase.isPrepare ? setup : 0;
      const minutes = phaseMinutes(phase, pieces) + extra;
      if (minutes === 0) continue;
      let from = Math.max(reached, floorOfPhase[p]!);
      if (early && !phase.isPrepare && (draft.count === 0 || draft.phases[draft.count - 1]!.isPrepare) && atLink > from)
        from = atLink;
      const floors = transferred && phase.minutes < 0 ? pieceFloors(state, op, piecesBefore(state, op, item, at), pieces) : null;
      let laid = nextLaid(draft);
      let bestEnd = IMPOSSIBLE;
      let bestChoice = 0;
      for (let c = 0; c < phase.choices.length; c++) {
        const target: Laid = bestEnd === IMPOSSIBLE ? laid : spare;
        const latest = bestEnd === IMPOSSIBLE ? horizon : bestEnd - 1;
        const end = earliestPhase(
          state,
          phase,
          phase.choices[c]!,
          from,
          previousEnd,
          minutes,
          extra,
          pieces,
          floors,
          latest,
          target,
        );
        if (end === IMPOSSIBLE) continue;
        if (target === spare) {
          spare = laid;
          laid = target;
          draft.laid[draft.count] = laid;
        }
        bestEnd = end;
        bestChoice = c;
      }
      if (bestEnd === IMPOSSIBLE) return false;
      const begin = laid.stretches[0]!;
      if (seenWork && begin - previousEnd > phase.maxWait) {
        // the phase before must end later; begin it later
        const before = previousPhaseIndex(mode, p, pieces, setup);
        const floor = beginForEnd(draft, draft.count - 1, begin - phase.maxWait);
        floorOfPhase[before] = floor;
        if (draft.count === 1 || before === mode.phases.findIndex((earlier) => phaseMinutes(earlier, pieces) > 0)) {
          at = Math.max(at + 1, floor);
          floorOfPhase.fill(-FAR);
        }
        continue search;
      }
      draft.phases[draft.count] = phase;
      draft.choices[draft.count] = phase.choices[bestChoice]!;
      draft.count++;
      draft.worked += minutes;
      reached = bestEnd;
      previousEnd = bestEnd;
      seenWork = true;
      if (bestEnd > limit) {
        at = blockedUntil;
        floorOfPhase.fill(-FAR);
        continue search;
      }
    }
    if (draft.count === 0 && early === false && atLink > at) at = atLink;
    draft.instantAt = at;
    const start = draftStart(draft);
    if (wish.exactStart !== NONE && start !== wish.exactStart) return false;
    if (reached < endFloor) {
      at = Math.max(start, at) + 1;
      continue;
    }
    tighten(state, draft, wish.exactStart !== NONE);
    const later = laterForKits(state, op, draft, at);
    const renewed = later > at ? later : laterForRenewal(state, op, draft, at);
    if (renewed > at) {
      at = renewed;
      for (let p = 0; p < phaseCount; p++) floorOfPhase[p] = -FAR;
      continue;
    }
    return true;
  }
  return false;
}

/** Where every kit it holds is back, when one is short; -1 when none is. */
function laterForKits(state: State, op: DenseOp, draft: Draft, at: number): number {
  if (op.kits.length === 0) return -1;
  const start = draftStart(draft);
  const end = draftEnd(draft);
  let short = -1;
  for (let k = 0; k < op.kits.length; k++) {
    const until = end > start ? state.kits[op.kits[k]!]!.shortUntil(start, end, op.kitCounts[k]!) : -1;
    if (until > short) short = until;
  }
  return short < 0 ? -1 : Math.max(short, at + 1);
}

function previousPhaseIndex(mode: DenseMode, p: number, pieces: number, setup: number): number {
  for (let q = p - 1; q >= 0; q--) {
    const phase = mode.phases[q]!;
    if (phaseMinutes(phase, pieces) + (phase.isPrepare ? setup : 0) > 0) return q;
  }
  return 0;
}

/** A begin from which the phase, as long as it is, may end at `end` or later; at least a minute later than now. */
function beginForEnd(draft: Draft, k: number, end: number): number {
  const phase = draft.phases[k]!;
  const begin = draftBegin(draft, k);
  if (phase.flow === 2) return begin + 1;
  const latest = latestBegin(phase, draft.choices[k]!.calendar, end, workedOf(draft.laid[k]!));
  return latest > begin ? latest : begin + 1;
}

/** The minute by which work before the next one with a family must end on this machine; at `at` or before: no room. */
export function followerLimit(
  state: State,
  mode: DenseMode,
  k: number,
  at: number,
  nextPosition: number,
  keepOthers: boolean,
): number {
  const machine = mode.machines[k]!;
  const list = state.lists[machine]!;
  const families = state.families[machine]!;
  let position = nextPosition;
  while (position < list.length && families[position]! < 0) position++;
  if (position === list.length) return FAR;
  const follower = list[position]!;
  const family = families[position]!;
  // its setup after this work, the other machines of its own mode as they stand
  let needed = setupBetween(state.model.machines[machine]!, mode.families[k]!, family);
  if (follower.mode.machines.length > 1) {
    for (let m = 0; m < follower.mode.machines.length; m++) {
      const other = follower.mode.machines[m]!;
      const shared = mode.machines.indexOf(other);
      const before =
        shared >= 0 && mode.families[shared]! >= 0
          ? mode.families[shared]!
          : state.familyBefore(other, state.positionOf(other, follower));
      needed = Math.max(needed, setupBetween(state.model.machines[other]!, before, follower.mode.families[m]!));
    }
  }
  if (needed === follower.setup) return FAR;
  if (follower.fixed || keepOthers) return at;
  if (needed < follower.setup) return FAR;
  const planned = planPrepare(state, follower, needed, at);
  if (planned === null) return at;
  return position === nextPosition ? planned.start : FAR;
}

/** Moves what comes before a wait later, up to the wait's end, where its calendar and other work allow: the machine is taken later. */
export function tighten(state: State, draft: Draft, keepStart: boolean): void {
  for (let k = draft.count - 2; k >= (keepStart ? 1 : 0); k--) {
    const next = draftBegin(draft, k + 1);
    if (draftEndOf(draft, k) >= next) continue;
    const phase = draft.phases[k]!;
    if (phase.flow === 2 || phase.wantsStarter) continue;
    const choice = draft.choices[k]!;
    const minutes = workedOf(draft.laid[k]!);
    const begin = latestBegin(phase, choice.calendar, next, minutes);
    if (begin <= draftBegin(draft, k)) continue;
    if (k > 0 && begin - draftEndOf(draft, k - 1) > phase.maxWait) continue;
    if (!layExactly(phase, choice.calendar, begin, minutes, 0, 1, spare)) continue;
    if (spare.stretches[spare.count - 1]! > next) continue;
    if (shortageOf(state, choice, spare.stretches, spare.count) >= 0) continue;
    const before = draft.laid[k]!;
    draft.laid[k] = spare;
    spare = before;
  }
}
