/**
 * Earliest place of one lot in a given plan: every mode, every gap on its machines, every choice of crews, phases laid one after
 * the other, setup counted from the family before the gap, and the setup of what follows re-planned in its place when it changes.
 * Nothing placed is touched; the answer holds in the state it was asked in. Soft rules (windows' ends, longest lags, run hours)
 * are not its business: they are counted by the state and repaired by the caller.
 */
import { linkFloor, startFloor } from "./bounds.ts";
import { earliestPhase, IMPOSSIBLE, latestBegin, shortageOf, stretchesFrom } from "./lay-phase.ts";
import { type DenseMode, type DenseOp, FAR, NONE, phaseMinutes, setupBetween } from "./model.ts";
import { beginOf, endOf, makePlacement, type PlacedPhase, type Placement } from "./placement.ts";
import { planPrepare } from "./prepare.ts";
import { calibrationDue, runMinutes } from "./rule-breaks.ts";
import type { State } from "./state.ts";
import { pieceFloors, piecesBefore, transferEnd } from "./transfer.ts";

/** Gaps looked at for one lot on one mode before giving up; far above what real plans need, a guard against endless loops. */
const TRIES_MOST = 20_000;

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

type Scratch = number[][];
const scratch: Scratch = Array.from({ length: 16 }, () => []);
const spare: number[] = [];
const positions: number[] = [];
const floorOfPhase: number[] = [];

/** The earliest place of the lot in this mode, or null. */
export function placeInMode(state: State, item: number, mode: DenseMode, wish: PlaceWish, latestEnd = FAR): Placement | null {
  if (mode.impossible) return null;
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
    if (wish.exactStart < at) return null;
    at = wish.exactStart;
  }
  let worked = 0;
  for (const phase of mode.phases) worked += phaseMinutes(phase, pieces);
  if (pieces === op.freePieces && at + model.leastOfMode[mode.index]! > horizon) return null;
  const transferred = op.byTransfer;
  const endFloor = transferred ? transferEnd(state, op) : -FAR;
  const machineCount = mode.machines.length;
  const phaseCount = mode.phases.length;
  while (scratch.length < phaseCount) scratch.push([]);
  for (let p = 0; p < phaseCount; p++) floorOfPhase[p] = -FAR;
  while (positions.length < machineCount) positions.push(0);
  for (let k = 0; k < machineCount; k++) positions[k] = state.positionAfter(mode.machines[k]!, at);

  search: for (let tries = 0; tries < TRIES_MOST; tries++) {
    if (at + worked > horizon) return null;
    if (wish.exactStart !== NONE && at !== wish.exactStart) return null;
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
    if (at + worked > horizon) return null;
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
    const phases: PlacedPhase[] = [];
    let reached = at;
    let previousEnd = -1;
    let seenWork = false;
    for (let p = 0; p < phaseCount; p++) {
      const phase = mode.phases[p]!;
      const extra = phase.isPrepare ? setup : 0;
      const minutes = phaseMinutes(phase, pieces) + extra;
      if (minutes === 0) continue;
      let from = Math.max(reached, floorOfPhase[p]!);
      if (early && !phase.isPrepare && !hasAfterPrepare(phases) && atLink > from) from = atLink;
      const floors = transferred && phase.minutes < 0 ? pieceFloors(state, op, piecesBefore(state, op, item, at), pieces) : null;
      const out = scratch[p]!;
      let bestEnd = IMPOSSIBLE;
      let bestChoice = 0;
      for (let c = 0; c < phase.choices.length; c++) {
        const target = bestEnd === IMPOSSIBLE ? out : spare;
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
          out.length = 0;
          for (let i = 0; i < spare.length; i++) out.push(spare[i]!);
        }
        bestEnd = end;
        bestChoice = c;
      }
      if (bestEnd === IMPOSSIBLE) return null;
      if (seenWork && out[0]! - previousEnd > phase.maxWait) {
        // the phase before must end later; begin it later
        const before = previousPhaseIndex(mode, p, pieces, setup);
        const last = phases[phases.length - 1]!;
        const floor = beginForEnd(last, out[0]! - phase.maxWait);
        floorOfPhase[before] = floor;
        if (phases.length === 1 || before === mode.phases.findIndex((earlier) => phaseMinutes(earlier, pieces) > 0)) {
          at = Math.max(at + 1, floor);
          floorOfPhase.fill(-FAR);
        }
        continue search;
      }
      phases.push({ phase, choice: phase.choices[bestChoice]!, stretches: out.slice() });
      reached = bestEnd;
      previousEnd = bestEnd;
      seenWork = true;
      if (bestEnd > limit) {
        at = blockedUntil;
        floorOfPhase.fill(-FAR);
        continue search;
      }
    }
    if (phases.length === 0 && early === false && atLink > at) at = atLink;
    const start = phases.length > 0 ? beginOf(phases[0]!) : at;
    if (wish.exactStart !== NONE && start !== wish.exactStart) return null;
    if (reached < endFloor) {
      at = Math.max(start, at) + 1;
      continue;
    }
    tighten(state, phases, wish.exactStart !== NONE);
    const placement = makePlacement(model, item, mode, pieces, phases, setup, at, null, false);
    let short = -1;
    for (let k = 0; k < op.kits.length; k++) {
      const until =
        placement.end > placement.start
          ? state.kits[op.kits[k]!]!.shortUntil(placement.start, placement.end, op.kitCounts[k]!)
          : -1;
      if (until > short) short = until;
    }
    if (short >= 0) {
      at = Math.max(short, at + 1);
      floorOfPhase.fill(-FAR);
      continue;
    }
    const renewed = op.needsCalibrations.length > 0 ? laterCalibration(state, op, placement) : -1;
    if (renewed > at) {
      at = renewed;
      floorOfPhase.fill(-FAR);
      continue;
    }
    const serviced = laterService(state, placement);
    if (serviced > at) {
      at = serviced;
      floorOfPhase.fill(-FAR);
      continue;
    }
    return placement;
  }
  return null;
}

const hasAfterPrepare = (phases: readonly PlacedPhase[]): boolean =>
  phases.length > 0 && !phases[phases.length - 1]!.phase.isPrepare;

function previousPhaseIndex(mode: DenseMode, p: number, pieces: number, setup: number): number {
  for (let q = p - 1; q >= 0; q--) {
    const phase = mode.phases[q]!;
    if (phaseMinutes(phase, pieces) + (phase.isPrepare ? setup : 0) > 0) return q;
  }
  return 0;
}

/** A begin from which the phase, as long as it is, may end at `end` or later; at least a minute later than now. */
function beginForEnd(placed: PlacedPhase, end: number): number {
  let minutes = 0;
  for (let i = 0; i < placed.stretches.length; i += 2) minutes += placed.stretches[i + 1]! - placed.stretches[i]!;
  const begin = beginOf(placed);
  if (placed.phase.flow === 2) return begin + 1;
  const latest = latestBegin(placed.phase, placed.choice.calendar, end, minutes);
  return latest > begin ? latest : begin + 1;
}

/** The minute by which work before the next one with a family must end on this machine; at `at` or before: no room. */
function followerLimit(state: State, mode: DenseMode, k: number, at: number, nextPosition: number, keepOthers: boolean): number {
  const machine = mode.machines[k]!;
  const list = state.lists[machine]!;
  let position = nextPosition;
  let follower: Placement | undefined;
  let family = NONE;
  for (; position < list.length; position++) {
    const candidate = list[position]!;
    family = candidate.mode.families[candidate.mode.machines.indexOf(machine)]!;
    if (family >= 0) {
      follower = candidate;
      break;
    }
  }
  if (follower === undefined) return FAR;
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
function tighten(state: State, phases: PlacedPhase[], keepStart: boolean): void {
  for (let p = phases.length - 2; p >= (keepStart ? 1 : 0); p--) {
    const placed = phases[p]!;
    const next = beginOf(phases[p + 1]!);
    const end = endOf(placed);
    if (end >= next || placed.phase.flow === 2 || placed.phase.wantsStarter) continue;
    let minutes = 0;
    for (let i = 0; i < placed.stretches.length; i += 2) minutes += placed.stretches[i + 1]! - placed.stretches[i]!;
    const begin = latestBegin(placed.phase, placed.choice.calendar, next, minutes);
    if (begin <= beginOf(placed)) continue;
    if (p > 0 && begin - endOf(phases[p - 1]!) > placed.phase.maxWait) continue;
    const stretches = stretchesFrom(placed.phase, placed.choice.calendar, begin, minutes, 0, 1);
    if (stretches === null || stretches[stretches.length - 1]! > next) continue;
    if (shortageOf(state, placed.phase, placed.choice, stretches) >= 0) continue;
    phases[p] = { phase: placed.phase, choice: placed.choice, stretches };
  }
}

/** Where the next calibration of a lapsed machine ends, when waiting for it helps; -1 when all holds or nothing better comes. */
function laterCalibration(state: State, op: DenseOp, placement: Placement): number {
  for (const machine of placement.mode.machines) {
    for (const entry of state.model.machines[machine]!.calibrations) {
      if (!op.needsCalibrations.includes(entry.name)) continue;
      if (placement.end <= calibrationDue(state, machine, entry.name, entry.due, entry.interval, placement.start)) continue;
      for (const p of state.lists[machine]!) {
        if (p.end > placement.start && state.model.ops[p.op]!.calibrates.includes(entry.name)) return p.end;
      }
    }
  }
  return -1;
}

/** Where the next service of a machine ends, when its run-hour counter would pass the limit here; -1 when all holds or none comes. */
function laterService(state: State, placement: Placement): number {
  const { model } = state;
  for (const machine of placement.mode.machines) {
    for (const index of model.machines[machine]!.rules) {
      const rule = model.rules[index]!;
      if (model.ops[placement.op]!.rule === index) continue;
      let counter = rule.counter + runMinutes(placement);
      for (const p of state.lists[machine]!) {
        counter += runMinutes(p);
        if (model.ops[p.op]!.rule !== index) continue;
        if (p.start < placement.start) {
          counter = runMinutes(placement);
          continue;
        }
        if (counter > rule.limit) return p.end;
        break;
      }
    }
  }
  return -1;
}
