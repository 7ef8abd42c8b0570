/**
 * The earliest place of an operation of the usual kind (lean-rows.ts): the same answer as findInMode and pick give, to the minute,
 * from rows that lie side by side, with nothing asked that such an operation cannot have. Touches nothing placed.
 * Shown by: tests/core/solve/lean-place.test.ts (every answer compared with the general way).
 */
import { type Draft, draftBegin, draftEndOf, newDraft, nextLaid, placedPhases } from "./draft.ts";
import { IMPOSSIBLE, type Laid, layFrom, newLaid, retryFrom, shortageOf } from "./lay-phase.ts";
import {
  FAMILY,
  IS_PREPARE,
  IS_RUN,
  LEAST,
  type LeanRows,
  MACHINE,
  MODE,
  MODE_CELLS,
  NEXT,
  OP_CELLS,
  PHASE_CELLS,
  PHASES,
  WANTS_STARTER,
  WORK,
} from "./lean-rows.ts";
import { type CrewChoice, FAR, NONE, setupBetween } from "./model.ts";
import { followerLimit, TRIES_MOST, tighten } from "./place.ts";
import type { Choosing } from "./place-operation.ts";
import { type Placement, placementRow, unsocialOf } from "./placement.ts";
import type { State } from "./state.ts";
import { nextMinute, stretchAt } from "./work-calendar.ts";

let best = newDraft();
let tried = newDraft();
let spare = newLaid();

/** The best place of the operation whose cells begin at `row`, not before the minute, or null when there is none. */
export function leanPlace(
  state: State,
  row: number,
  op: number,
  notBefore: number,
  choosing: Choosing,
  only: number,
): Placement | null {
  const { model } = state;
  const { cells } = model.lean;
  const { noise } = choosing;
  let floor = cells[row + 2]!;
  if (model.now > floor) floor = model.now;
  if (notBefore > floor) floor = notBefore;
  const { from, item, minLag } = model.earlier;
  for (let k = from[op]!, until = from[op + 1]!; k < until; k++) {
    const ready = state.endOf[item[k]!]! + minLag[k]!;
    if (ready > floor) floor = ready;
  }
  let found = false;
  let bestScore = Infinity;
  let at = row + OP_CELLS;
  for (let m = cells[row + 3]!; m > 0; m--, at = cells[at + NEXT]!) {
    if (only !== NONE && cells[at + MODE] !== only) continue;
    let horizon = model.horizon;
    // small integers throughout: one floating-point number makes every sum with it one
    if (found && noise === null && bestScore < horizon) horizon = Math.floor(bestScore) | 0;
    if (!findLean(state, model.lean, at, cells[row + 1]!, floor, horizon, choosing.skip, tried)) continue;
    const end = draftEndOf(tried, tried.count - 1);
    let score =
      end + choosing.setupBias * tried.setup + choosing.waitBias * Math.max(0, end - draftBegin(tried, 0) - tried.worked);
    if (noise !== null) score += noise();
    if (score < bestScore) {
      found = true;
      bestScore = score;
      const before = best;
      best = tried;
      tried = before;
    }
  }
  if (!found) return null;
  const mode = model.lean.modes[best.modeRow]!;
  namePhases(model.lean, best);
  const phases = placedPhases(best);
  const start = draftBegin(best, 0);
  const end = draftEndOf(best, best.count - 1);
  const waiting = Math.max(0, end - start - best.worked);
  const unsocial = model.anyUnsocial ? unsocialOf(model, phases) : 0;
  return placementRow(
    cells[row]!,
    op,
    mode,
    cells[row + 1]!,
    start,
    end,
    best.setup,
    start,
    phases,
    false,
    false,
    waiting,
    unsocial,
    best.run,
  );
}

/** Whether the mode is one of the operation's cells. */
export function offersMode(cells: Int32Array, row: number, mode: number): boolean {
  let at = row + OP_CELLS;
  for (let m = cells[row + 3]!; m > 0; m--, at = cells[at + NEXT]!) if (cells[at + MODE] === mode) return true;
  return false;
}

function namePhases({ phases, choices }: LeanRows, draft: Draft): void {
  for (let k = 0; k < draft.count; k++) {
    draft.phases[k] = phases[draft.rows[k]!]!;
    draft.choices[k] = choices[draft.choiceRows[k]!]!;
  }
}

function findLean(
  state: State,
  lean: LeanRows,
  row: number,
  pieces: number,
  floor: number,
  horizon: number,
  skip: (() => boolean) | null,
  draft: Draft,
): boolean {
  const { cells } = lean;
  if (floor + cells[row + LEAST]! > horizon) return false;
  const worked = cells[row + WORK]!;
  const machine = cells[row + MACHINE]!;
  const family = cells[row + FAMILY]!;
  const starts = state.starts[machine]!;
  const ends = state.ends[machine]!;
  const count = state.lists[machine]!.length;
  draft.modeRow = cells[row + MODE]!;
  let at = floor;
  let position = count > 0 && ends[count - 1]! <= at ? count : state.positionAfter(machine, at);

  search: for (let tries = 0; tries < TRIES_MOST; tries++) {
    if (at + worked > horizon) return false;
    // a minute at which the machine is free for the whole work, and the end of the gap there
    while (position < count && ends[position]! <= at) position++;
    while (position < count && starts[position]! < at + worked) {
      if (ends[position]! > at) at = ends[position]!;
      position++;
    }
    if (at + worked > horizon) return false;
    let limit = FAR;
    let blockedUntil = FAR;
    if (position < count) {
      limit = starts[position]!;
      blockedUntil = ends[position]!;
      if (blockedUntil <= at) blockedUntil = at + 1;
    }
    let setup = 0;
    if (family >= 0) {
      setup = setupBetween(state.model.machines[machine]!, state.familyBefore(machine, position), family);
      if (setup < 0) setup = 0;
    }
    if (at + worked + setup > limit) {
      at = blockedUntil;
      continue;
    }
    if (family >= 0 && position < count) {
      // the setup of the next work with a family changes when this comes before it
      const room = followerLimit(state, lean.modes[draft.modeRow]!, 0, at, position, false);
      if (room < limit) limit = room;
      if (at + worked + setup > limit) {
        at = blockedUntil;
        continue;
      }
    }
    if (skip?.()) {
      at = limit < FAR ? blockedUntil : at + worked + setup;
      continue;
    }

    // phases one after the other
    draft.count = 0;
    draft.worked = 0;
    draft.setup = setup;
    draft.run = 0;
    let reached = at;
    let previousEnd = -1;
    let cell = row + MODE_CELLS;
    for (let p = cells[row + PHASES]!; p > 0; p--) {
      const choiceCount = cells[cell + 3]!;
      const flags = cells[cell + 1]!;
      const extra = (flags & IS_PREPARE) === 0 ? 0 : setup;
      const minutes = cells[cell + 2]! + extra;
      if (minutes === 0) {
        cell += PHASE_CELLS + choiceCount;
        continue;
      }
      let laid = nextLaid(draft);
      let bestEnd = IMPOSSIBLE;
      let chosen = NONE;
      for (let c = 0; c < choiceCount; c++) {
        const choiceRow = cells[cell + PHASE_CELLS + c]!;
        const choice = lean.choices[choiceRow]!;
        const target: Laid = bestEnd === IMPOSSIBLE ? laid : spare;
        const latest = bestEnd === IMPOSSIBLE ? horizon : bestEnd - 1;
        const end = earliest(state, cells[cell]!, flags, choice, reached, previousEnd, minutes, extra, pieces, latest, target);
        if (end === IMPOSSIBLE) continue;
        if (target === spare) {
          spare = laid;
          laid = target;
          draft.laid[draft.count] = laid;
        }
        bestEnd = end;
        chosen = choiceRow;
      }
      if (chosen === NONE) return false;
      draft.rows[draft.count] = cells[cell]!;
      draft.choiceRows[draft.count] = chosen;
      draft.count++;
      draft.worked += minutes;
      if ((flags & IS_RUN) !== 0) draft.run += minutes;
      reached = bestEnd;
      previousEnd = bestEnd;
      if (bestEnd > limit) {
        at = blockedUntil;
        continue search;
      }
      cell += PHASE_CELLS + choiceCount;
    }
    if (draft.worked < reached - draftBegin(draft, 0)) {
      namePhases(lean, draft);
      tighten(state, draft, false);
    }
    return true;
  }
  return false;
}

/** As earliestPhase, for a phase that waits for no pieces; the phase itself is looked at only where its work does not fit one stretch. */
function earliest(
  state: State,
  phase: number,
  flags: number,
  choice: CrewChoice,
  from: number,
  previousEnd: number,
  minutes: number,
  setup: number,
  pieces: number,
  latestEnd: number,
  out: Laid,
): number {
  const { calendar, uses } = choice;
  const { pools } = state;
  let at = from;
  for (;;) {
    let i = stretchAt(calendar, at);
    if (i >= calendar.count) return IMPOSSIBLE;
    let begin = calendar.bounds[2 * i]!;
    if (at > begin) begin = at;
    if ((flags & WANTS_STARTER) !== 0 && calendar.startable !== null && begin !== previousEnd) {
      const startable = nextMinute(calendar.startable, begin);
      if (startable < 0) return IMPOSSIBLE;
      if (startable > begin) i = stretchAt(calendar, startable);
      begin = startable;
    }
    let end = begin + minutes;
    if (end > latestEnd) return IMPOSSIBLE;
    let until = -1;
    if (end <= calendar.bounds[2 * i + 1]!) {
      // whatever its flow, it fits as a whole
      for (let u = 0; u < uses.length; u += 2) {
        const short = pools[uses[u]!]!.shortUntil(begin, end, uses[u + 1]!);
        if (short > until) until = short;
      }
      if (until < 0) {
        out.count = 2;
        out.stretches[0] = begin;
        out.stretches[1] = end;
        return end;
      }
    } else {
      end = layFrom(state.model.lean.phases[phase]!, calendar, begin, i, minutes, setup, pieces, out);
      if (end === IMPOSSIBLE) {
        const retry = retryFrom();
        if (retry < 0) return IMPOSSIBLE;
        at = retry > begin ? retry : begin + 1;
        continue;
      }
      if (end > latestEnd) return IMPOSSIBLE;
      until = shortageOf(state, choice, out.stretches, out.count);
      if (until < 0) return end;
    }
    at = until > begin ? until : begin + 1;
  }
}
