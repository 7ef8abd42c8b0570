/**
 * One lot laid out from a start by its calendars and flow alone, whatever else lies there: what a dragged bar becomes. Where a
 * phase could never work at all it is laid without a break, so that the checker has something to say about it.
 */
import { copyOf, earliestPhase, IMPOSSIBLE, newLaid, shortageOf } from "./lay-phase.ts";
import { type DenseMode, FAR, NONE, phaseMinutes, setupBetween, usesOf } from "./model.ts";
import { makePlacement, type PlacedPhase, type Placement } from "./placement.ts";
import type { State } from "./state.ts";
import { NEVER } from "./work-calendar.ts";

export function layAt(state: State, item: number, mode: DenseMode, pieces: number, start: number): Placement {
  let setup = setupAt(state, mode, start);
  let placed = layWithSetup(state, item, mode, pieces, start, setup);
  // the first begin that calendars allow may lie behind other work, which leaves another family
  let from = start;
  for (let round = 0; round < 6; round++) {
    const needed = setupAt(state, mode, placed.start);
    if (needed === setup) break;
    // two setups may each lead to the begin that asks for the other: settle on the later begin
    if (round > 1) from = Math.max(from, placed.start);
    setup = needed;
    placed = layWithSetup(state, item, mode, pieces, from, setup);
  }
  return placed;
}

function setupAt(state: State, mode: DenseMode, start: number): number {
  let setup = 0;
  mode.machines.forEach((machine, k) => {
    if (mode.families[k]! < 0) return;
    const list = state.lists[machine]!;
    let position = list.findIndex((p) => p.start >= start);
    if (position < 0) position = list.length;
    const minutes = setupBetween(state.model.machines[machine]!, state.familyBefore(machine, position), mode.families[k]!);
    setup = Math.max(setup, minutes);
  });
  return setup;
}

function layWithSetup(state: State, item: number, mode: DenseMode, pieces: number, start: number, setup: number): Placement {
  const { model } = state;
  const phases: PlacedPhase[] = [];
  let reached = start;
  let previousEnd = NONE;
  for (const phase of mode.phases) {
    const extra = phase.isPrepare ? setup : 0;
    const minutes = phaseMinutes(phase, pieces) + extra;
    if (minutes === 0) continue;
    let best: PlacedPhase | null = null;
    let bestEnd = FAR;
    let bestFree = false;
    for (const choice of phase.choices) {
      const laid = newLaid();
      const end = earliestPhase(null, phase, choice, reached, previousEnd, minutes, extra, pieces, null, FAR - minutes, laid);
      if (end === IMPOSSIBLE) continue;
      const out = copyOf(laid);
      const free = shortageOf(state, choice, out) < 0;
      if (best === null || (free && !bestFree) || (free === bestFree && end < bestEnd)) {
        best = { phase, choice, stretches: out };
        bestEnd = end;
        bestFree = free;
      }
    }
    best ??= { phase, choice: phase.choices[0] ?? unserved(state, mode, phase), stretches: [reached, reached + minutes] };
    phases.push(best);
    reached = best.stretches[best.stretches.length - 1]!;
    previousEnd = reached;
  }
  return makePlacement(model, item, mode, pieces, phases, setup, start, null, false);
}

/** Crews by name for a phase that nobody can ever serve: the first that has each skill, or the first there is. */
function unserved(state: State, mode: DenseMode, phase: PlacedPhase["phase"]): PlacedPhase["choice"] {
  const op = state.model.ops[mode.op]!;
  const { needs } = op.source.modes[mode.index - op.modes[0]!.index]!.phases[mode.phases.indexOf(phase)]!;
  const { crews } = state.model.problem;
  const crewOfNeed = needs.map((need) =>
    Math.max(
      0,
      crews.findIndex((crew) => crew.skills.includes(need.skill)),
    ),
  );
  const uses = usesOf(crews.length, [], [], phase.supplies, phase.draws);
  return { index: NONE, crewOfNeed: crews.length === 0 ? [] : crewOfNeed, crews: [], amounts: [], uses, calendar: NEVER };
}
