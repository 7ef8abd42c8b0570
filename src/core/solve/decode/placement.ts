/**
 * One lot in its place: mode, phases with their worked stretches and crews, and what it costs by itself. Never changed once made, but
 * for its written form, which is made when a plan is asked for.
 */
import type { PlannedLot } from "../../problem/plan.ts";
import { type CrewChoice, type DenseMode, type DensePhase, FAR, type Model } from "./model.ts";
import { stretchAt, type WorkCalendar } from "./work-calendar.ts";

export type PlacedPhase = {
  readonly phase: DensePhase;
  readonly choice: CrewChoice;
  /** start, end, start, end, ... */
  readonly stretches: readonly number[];
};

export type Placement = {
  readonly item: number;
  readonly op: number;
  readonly mode: DenseMode;
  readonly pieces: number;
  readonly start: number;
  readonly end: number;
  /** Setup minutes within the prepare phase. */
  readonly setup: number;
  /** Where release and links bind: the start, or the begin of what follows prepare. */
  readonly bound: number;
  readonly phases: readonly PlacedPhase[];
  /** Running or frozen: stays where it is. */
  readonly fixed: boolean;
  /** Began before now: what it waits and sets up is counted from now on only. */
  readonly running: boolean;
  /** Waiting minutes times machines. */
  readonly waiting: number;
  /** Person-minutes (hundredths) in unsocial shifts. */
  readonly unsocial: number;
  /** Worked minutes of its run phases, which run-hour counters count. */
  readonly run: number;
  /** The lot as plans have it, once one was written. */
  written: PlannedLot | null;
};

export const beginOf = (placed: PlacedPhase): number => placed.stretches[0]!;
export const endOf = (placed: PlacedPhase): number => placed.stretches[placed.stretches.length - 1]!;

export function workedMinutes(stretches: readonly number[]): number {
  let sum = 0;
  for (let i = 0; i < stretches.length; i += 2) sum += stretches[i + 1]! - stretches[i]!;
  return sum;
}

/** Minutes of the calendar in [start, end). */
function minutesWithin(calendar: WorkCalendar, start: number, end: number): number {
  let sum = 0;
  for (let i = stretchAt(calendar, start); i < calendar.count && calendar.starts[i]! < end; i++) {
    sum += Math.min(end, calendar.ends[i]!) - Math.max(start, calendar.starts[i]!);
  }
  return sum;
}

export function unsocialOf(model: Model, phases: readonly PlacedPhase[]): number {
  let sum = 0;
  for (let k = 0; k < phases.length; k++) {
    const placed = phases[k]!;
    const { crews, amounts } = placed.choice;
    for (let c = 0; c < crews.length; c++) {
      const calendar = model.unsocial[crews[c]!]!;
      if (calendar.count === 0) continue;
      for (let i = 0; i < placed.stretches.length; i += 2)
        sum += amounts[c]! * minutesWithin(calendar, placed.stretches[i]!, placed.stretches[i + 1]!);
    }
  }
  return sum;
}

export function makePlacement(
  model: Model,
  item: number,
  mode: DenseMode,
  pieces: number,
  phases: readonly PlacedPhase[],
  setup: number,
  instantAt: number,
  running: { readonly start: number } | null,
  fixed: boolean,
): Placement {
  const first = phases[0];
  const start = running ? running.start : first ? beginOf(first) : instantAt;
  const end = phases.length > 0 ? endOf(phases[phases.length - 1]!) : running ? Math.max(running.start, model.now) : instantAt;
  let worked = 0;
  let run = 0;
  for (let k = 0; k < phases.length; k++) {
    const minutes = workedMinutes(phases[k]!.stretches);
    worked += minutes;
    if (phases[k]!.phase.isRun) run += minutes;
  }
  // what a running lot worked or waited before now costs nothing
  const countedFrom = running ? Math.max(start, Math.min(model.now, end)) : start;
  const op = model.ops[mode.op]!;
  const second = first?.phase.isPrepare ? phases[1] : undefined;
  const bound = op.prepareEarly && second !== undefined ? beginOf(second) : start;
  const waiting = Math.max(0, end - countedFrom - worked) * mode.machines.length;
  const unsocial = unsocialOf(model, phases);
  return placementRow(
    item,
    mode.op,
    mode,
    pieces,
    start,
    end,
    setup,
    bound,
    phases,
    fixed,
    running !== null,
    waiting,
    unsocial,
    run,
  );
}

/** Made here alone, so that all placements are of one shape. */
export function placementRow(
  item: number,
  op: number,
  mode: DenseMode,
  pieces: number,
  start: number,
  end: number,
  setup: number,
  bound: number,
  phases: readonly PlacedPhase[],
  fixed: boolean,
  running: boolean,
  waiting: number,
  unsocial: number,
  run: number,
): Placement {
  return {
    item,
    op,
    mode,
    pieces,
    start,
    end,
    setup,
    bound,
    phases,
    fixed,
    running,
    waiting,
    unsocial,
    run,
    written: null,
  };
}

/** Worked minutes after which piece i (counted from 1) of such a phase is done; `extra` minutes of setup come first. */
export const pieceMinutes = (secondsPerPiece: number, pieces: number): number => Math.floor((pieces * secondsPerPiece + 59) / 60);

/** The minute at which so many minutes of the stretches are worked (its end), FAR beyond them. */
export function minuteAfterWorked(stretches: readonly number[], worked: number): number {
  let left = worked;
  for (let i = 0; i < stretches.length; i += 2) {
    const length = stretches[i + 1]! - stretches[i]!;
    if (left <= length) return stretches[i]! + left;
    left -= length;
  }
  return FAR;
}

/** The minute at which the next minute after so many worked ones begins. */
export function minuteOfNext(stretches: readonly number[], worked: number): number {
  let left = worked;
  for (let i = 0; i < stretches.length; i += 2) {
    const length = stretches[i + 1]! - stretches[i]!;
    if (left < length) return stretches[i]! + left;
    left -= length;
  }
  return FAR;
}
