/**
 * What is already decided, put into the state first: running lots go on as their flow allows, frozen lots lie as published.
 * Also loads any plan's lots as they are. Rule: the planning problem, section 4.
 */
import { present } from "../../ground/invariant.ts";
import type { PlannedLot, PlannedOperation } from "../../problem/plan.ts";
import { linkFloor } from "./bounds.ts";
import { copyOf, earliestPhase, IMPOSSIBLE, newLaid } from "./lay-phase.ts";
import { type CrewChoice, type DenseMode, type DenseOp, type DensePhase, FAR, phaseMinutes, usesOf } from "./model.ts";
import { endOf, makePlacement, type PlacedPhase, type Placement, pieceMinutes, workedMinutes } from "./placement.ts";
import type { State } from "./state.ts";
import { pieceFloors } from "./transfer.ts";
import { NEVER, nextMinute, stretchAt } from "./work-calendar.ts";

/** The choice with these crews; one made up (never workable) when the problem offers no such choice any more. */
function choiceOf(state: State, op: DenseOp, phase: DensePhase, mode: DenseMode, crews: readonly string[]): CrewChoice {
  const wanted = crews.map((crew) => present(state.model.crewOfId.get(crew), crew));
  const known = phase.choices.find(
    (choice) => choice.crewOfNeed.length === wanted.length && choice.crewOfNeed.every((crew, i) => crew === wanted[i]),
  );
  if (known) return known;
  const needs = op.source.modes[mode.index - op.modes[0]!.index]!.phases[mode.phases.indexOf(phase)]!.needs;
  const sums = new Map<number, number>();
  for (const [i, crew] of wanted.entries()) sums.set(crew, (sums.get(crew) ?? 0) + (needs[i]?.amount ?? 0));
  const crewsOf = [...sums.keys()];
  const amounts = [...sums.values()];
  const uses = usesOf(state.crews.length, crewsOf, amounts, phase.supplies, phase.draws);
  return { index: -1, crewOfNeed: wanted, crews: crewsOf, amounts, uses, calendar: NEVER };
}

const modeOf = (op: DenseOp, id: string): DenseMode => present(op.modes[op.source.modes.findIndex((mode) => mode.id === id)], id);

/** A lot exactly as a plan has it. */
export function placementOfLot(state: State, op: DenseOp, item: number, lot: PlannedLot, fixed: boolean): Placement {
  const mode = modeOf(op, lot.mode);
  const phases: PlacedPhase[] = lot.phases
    .filter((planned) => planned.work.length > 0)
    .map((planned) => {
      const phase = present(mode.phases[planned.phase], "phase of the plan");
      return {
        phase,
        choice: choiceOf(state, op, phase, mode, planned.crews),
        stretches: planned.work.flat(),
      };
    });
  const prepare = phases[0]?.phase.isPrepare ? phases[0] : undefined;
  const setup = prepare ? Math.max(0, workedMinutes(prepare.stretches) - phaseMinutes(prepare.phase, lot.pieces)) : 0;
  const running = state.model.items[item]!.running ? { start: lot.start } : null;
  return makePlacement(state.model, item, mode, lot.pieces, phases, running ? 0 : setup, lot.start, running, fixed);
}

/** Lays frozen operations as they were published. */
export function placeFrozen(state: State, kept: readonly PlannedOperation[]): void {
  for (const planned of kept) {
    const op = state.model.ops[present(state.model.opOfId.get(planned.operation), planned.operation)]!;
    op.items.forEach((item, i) => {
      state.setPieces(item, planned.lots[i]?.pieces ?? 0);
    });
    planned.lots.forEach((lot, i) => {
      const item = op.items[i];
      if (item !== undefined) state.insert(placementOfLot(state, op, item, lot, true));
    });
  }
}

/**
 * Lays what runs, and the phases that follow, as early as they can. What has begun goes on whatever else there is, so all
 * of that is laid first: a phase that is still to begin must find the people taken whom other running work goes on with.
 */
export function placeRunning(state: State): void {
  const running = state.model.items.filter((item) => item.running);
  const opOf = (item: { readonly op: number }): DenseOp => state.model.ops[item.op]!;
  const begun = running.map((item) => {
    if ((item.running?.remaining ?? 0) <= 0) return null;
    const placement = runningPlacement(state, opOf(item), item.index, "begun");
    state.insert(placement);
    return placement;
  });
  for (const [i, item] of running.entries()) {
    const known = begun[i];
    if (known) state.remove(known);
    state.insert(runningPlacement(state, opOf(item), item.index));
  }
}

/** Pieces of the operation that come before this running lot: done ones and those of lots that began before it. */
function runningBefore(state: State, op: DenseOp, item: number): number {
  const earlier = op.items.slice(0, op.items.indexOf(item));
  return earlier.reduce((sum, other) => sum + (state.model.items[other]?.running?.pieces ?? 0), op.donePieces);
}

/** The running lot as it goes on now, beside what else is placed; it must be off itself. `begun`: only the phase it is in. */
export function runningPlacement(state: State, op: DenseOp, item: number, extent: "whole" | "begun" = "whole"): Placement {
  const running = present(state.model.items[item]?.running ?? undefined, "running lot");
  const mode = modeOf(op, running.mode);
  const { now } = state.model;
  const phases: PlacedPhase[] = [];
  let reached = now;
  let previousEnd = -1;
  const firstAfterPrepare = mode.phases.findIndex((phase) => !phase.isPrepare && phaseMinutes(phase, running.pieces) > 0);
  mode.phases.forEach((phase, index) => {
    if (index < running.phase) return;
    if (index === running.phase) {
      if (running.remaining <= 0) return;
      const choice = choiceOf(state, op, phase, mode, running.crews);
      const stretches = goOn(phase, choice, now, running.working, running.remaining, running.pieces);
      phases.push({ phase, choice, stretches });
      reached = stretches[stretches.length - 1]!;
      previousEnd = reached;
      return;
    }
    const minutes = phaseMinutes(phase, running.pieces);
    if (minutes === 0 || extent === "begun") return;
    const from = op.prepareEarly && index === firstAfterPrepare ? Math.max(reached, linkFloor(state, op)) : reached;
    const floors = phase.minutes < 0 ? pieceFloors(state, op, runningBefore(state, op, item), running.pieces) : null;
    let best: PlacedPhase | null = null;
    for (const profiles of [state, null]) {
      for (const choice of phase.choices) {
        const out = newLaid();
        const end = earliestPhase(
          profiles,
          phase,
          choice,
          from,
          previousEnd,
          minutes,
          0,
          running.pieces,
          floors,
          best ? endOf(best) - 1 : FAR,
          out,
        );
        if (end !== IMPOSSIBLE) best = { phase, choice, stretches: copyOf(out) };
      }
      if (best) break;
    }
    if (!best) return;
    phases.push(best);
    reached = endOf(best);
    previousEnd = reached;
  });
  return makePlacement(state.model, item, mode, running.pieces, phases, 0, now, { start: running.start }, true);
}

/** Worked stretches of the phase that has begun, from the first minute its flow allows. */
function goOn(phase: DensePhase, choice: CrewChoice, now: number, working: boolean, remaining: number, pieces: number): number[] {
  const out: number[] = [];
  if (phase.flow === 0 || choice.calendar.count === 0) return [now, now + remaining];
  if (phase.flow === 1) {
    const laid = newLaid();
    const end = earliestPhase(null, phase, choice, now, working ? now : -1, remaining, 0, pieces, null, FAR, laid);
    return end === IMPOSSIBLE ? [now, now + remaining] : copyOf(laid);
  }
  // whole pieces count back from the end; the one in work comes first with what is left of it
  const total = pieceMinutes(phase.secondsPerPiece, pieces);
  let left = 0;
  while (left < pieces && remaining - (total - pieceMinutes(phase.secondsPerPiece, pieces - left - 1)) > 0) left++;
  const ends: number[] = [];
  for (let k = left; k >= 0; k--) ends.push(remaining - (total - pieceMinutes(phase.secondsPerPiece, pieces - k)));
  let done = 0;
  let at = now;
  const { calendar } = choice;
  for (const end of ends.filter((minute) => minute > 0)) {
    const length = end - done;
    for (;;) {
      let begin = nextMinute(calendar, at);
      if (begin < 0) return out.length > 0 ? out : [now, now + remaining];
      const resumed = out.length > 0 ? out[out.length - 1] !== begin : !(working && begin === now);
      if (resumed && phase.wantsStarter && calendar.startable !== null) begin = nextMinute(calendar.startable, begin);
      if (begin < 0) return out.length > 0 ? out : [now, now + remaining];
      const i = stretchAt(calendar, begin);
      if (begin + length <= calendar.ends[i]!) {
        if (out.length > 0 && out[out.length - 1] === begin) out[out.length - 1] = begin + length;
        else out.push(begin, begin + length);
        at = begin + length;
        break;
      }
      at = calendar.ends[i]!;
    }
    done = end;
  }
  return out;
}
