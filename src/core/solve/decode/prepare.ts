/**
 * Re-plans the prepare phase of a placed lot in its place when the setup before it becomes longer or shorter: as late as its
 * next phase allows, everything after it untouched. Promises a placement that fits the present state once the old one is off,
 * or null when there is none. Leaves the state as it was.
 */
import { linkFloor, startFloor } from "./bounds.ts";
import { latestBegin, shortageOf, stretchesFrom } from "./lay-phase.ts";
import { FAR, NONE, phaseMinutes } from "./model.ts";
import { beginOf, endOf, makePlacement, type PlacedPhase, type Placement } from "./placement.ts";
import type { State } from "./state.ts";

/** Earlier places looked at for one prepare phase. */
const PLACES_MOST = 40;

/** `gapFrom`: minute from which its machines are free for it. */
export function planPrepare(state: State, placement: Placement, setup: number, gapFrom: number): Placement | null {
  const { model } = state;
  const { mode } = placement;
  const op = model.ops[placement.op]!;
  const prepare = mode.phases[0];
  if (prepare === undefined || !prepare.isPrepare || prepare.flow === 2 || prepare.wantsStarter) return null;
  const had = placement.phases[0]?.phase === prepare ? placement.phases[0] : undefined;
  const rest = had ? placement.phases.slice(1) : placement.phases;
  const next = rest[0];
  const minutes = phaseMinutes(prepare, placement.pieces) + setup;
  const endBy = next ? beginOf(next) : placement.end;
  const mustTouch = next?.phase.wantsStarter && !startsByItself(next);
  const early = op.prepareEarly && next !== undefined;
  const floor = Math.max(startFloor(state, op), gapFrom, early ? -FAR : linkFloor(state, op));
  const pinned = op.pinnedStart !== NONE && op.items[0] === placement.item;
  if (minutes === 0) {
    if (mustTouch || (pinned && endBy !== op.pinnedStart)) return null;
    return makePlacement(model, placement.item, mode, placement.pieces, rest, setup, endBy, null, false);
  }
  const choices = had ? [had.choice, ...prepare.choices.filter((choice) => choice !== had.choice)] : prepare.choices;
  if (had) state.charge(had, 1);
  const found = latestFit(state, prepare, choices, minutes, endBy, floor, mustTouch, next);
  if (had) state.charge(had, -1);
  if (found === null) return null;
  const planned = makePlacement(model, placement.item, mode, placement.pieces, [found, ...rest], setup, 0, null, false);
  if (pinned && planned.start !== op.pinnedStart) return null;
  if (planned.start < op.windowStart && placement.start >= op.windowStart) return null;
  for (let k = 0; k < op.kits.length; k++) {
    if (
      planned.start < placement.start &&
      state.kits[op.kits[k]!]!.shortFrom(planned.start, placement.start, op.kitCounts[k]!) >= 0
    )
      return null;
  }
  return planned;
}

/** Whether the phase could begin where it does though the phase before ended earlier. */
export function startsByItself(placed: PlacedPhase): boolean {
  const { startable } = placed.choice.calendar;
  if (startable === null) return true;
  const begin = beginOf(placed);
  for (let low = 0, high = startable.count; low < high; ) {
    const middle = (low + high) >>> 1;
    if (startable.ends[middle]! <= begin) low = middle + 1;
    else if (startable.starts[middle]! > begin) high = middle;
    else return true;
  }
  return false;
}

function latestFit(
  state: State,
  phase: PlacedPhase["phase"],
  choices: readonly PlacedPhase["choice"][],
  minutes: number,
  endBy: number,
  floor: number,
  mustTouch: boolean,
  next: PlacedPhase | undefined,
): PlacedPhase | null {
  for (const choice of choices) {
    let until = endBy;
    for (let place = 0; place < PLACES_MOST; place++) {
      const begin = latestBegin(phase, choice.calendar, until, minutes);
      if (begin < floor) break;
      const stretches = stretchesFrom(phase, choice.calendar, begin, minutes, 0, 1);
      if (stretches === null) break;
      const placed: PlacedPhase = { phase, choice, stretches };
      const end = endOf(placed);
      if (mustTouch && end !== endBy) break;
      if (next !== undefined && endBy - end > next.phase.maxWait) break;
      if (shortageOf(state, choice, stretches) < 0) return placed;
      // end before the first shortage, or at least a minute earlier
      const first = firstShort(state, placed);
      until = Math.min(end - 1, Math.max(first, begin));
      if (mustTouch) break;
    }
  }
  return null;
}

function firstShort(state: State, placed: PlacedPhase): number {
  let first = FAR;
  const { uses } = placed.choice;
  for (let i = 0; i < placed.stretches.length; i += 2) {
    const start = placed.stretches[i]!;
    const end = placed.stretches[i + 1]!;
    for (let u = 0; u < uses.length; u += 2) {
      const at = state.pools[uses[u]!]!.shortFrom(start, end, uses[u + 1]!);
      if (at >= 0 && at < first) first = at;
    }
  }
  return first;
}
