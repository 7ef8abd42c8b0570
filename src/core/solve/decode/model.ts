/**
 * The planning problem in dense rows: what the engine works on instead of ids and lists.
 * Built once per problem (build-model.ts) and never changed. All minutes; people in hundredths. `-1` means none.
 */

import type { StepFunction } from "../../calendar/step-function.ts";
import type { Operation, OperationId, RunningLot } from "../../orders/operation.ts";
import type { PlannedLot } from "../../problem/plan.ts";
import type { Problem } from "../../problem/problem.ts";
import type { LagPairs } from "./lag-pairs.ts";
import type { LeanRows } from "./lean-rows.ts";
import type { WorkCalendar } from "./work-calendar.ts";

export const NONE = -1;
/** "No limit" for ends and lags; far beyond any horizon, and sums of two of them stay in 31 bits. */
export const FAR = 0x3fffffff;
/** End and bound of a lot that is not placed: no lag makes it count. */
export const OFF = -2 * FAR;

export type DenseMachine = {
  readonly index: number;
  readonly id: string;
  /** Setup minutes [from x size + to]; families are dense numbers of this machine. */
  readonly setupSize: number;
  readonly setup: Int32Array;
  readonly standsIn: number;
  /** Dense calibration rows of this machine. */
  readonly calibrations: readonly { readonly name: number; readonly due: number; readonly interval: number }[];
  /** Run-hour rules that count this machine. */
  readonly rules: readonly number[];
};

/** Who serves the needs of a phase, and when it may work then. */
export type CrewChoice = {
  readonly index: number;
  /** Crew of each need. */
  readonly crewOfNeed: readonly number[];
  /** Each crew once, with the sum of the needs it serves. */
  readonly crews: readonly number[];
  readonly amounts: readonly number[];
  /** All it takes while it works, by turns: the pool (crews first, supplies behind them) and how much of it. */
  readonly uses: readonly number[];
  readonly calendar: WorkCalendar;
};

/** Pools and amounts of people and supplies as one list. */
export function usesOf(
  crewCount: number,
  crews: readonly number[],
  amounts: readonly number[],
  supplies: readonly number[],
  draws: readonly number[],
): number[] {
  return [
    ...crews.flatMap((crew, i) => [crew, amounts[i]!]),
    ...supplies.flatMap((supply, i) => [crewCount + supply, draws[i]!]),
  ];
}

export const SOLID = 0;
export const PAUSABLE = 1;
export const PIECEWISE = 2;

export type DensePhase = {
  readonly index: number;
  readonly isPrepare: boolean;
  readonly isRun: boolean;
  readonly flow: 0 | 1 | 2;
  /** Fixed minutes, or NONE when the work is per piece. */
  readonly minutes: number;
  readonly secondsPerPiece: number;
  readonly maxWait: number;
  /** Begins and goes on only where somebody starts it (unattended, not self-starting). */
  readonly wantsStarter: boolean;
  readonly supplies: readonly number[];
  readonly draws: readonly number[];
  readonly choices: readonly CrewChoice[];
};

export type DenseMode = {
  readonly index: number;
  readonly op: number;
  readonly machines: readonly number[];
  readonly families: readonly number[];
  /** Machines as a sorted key: "the same set". */
  readonly machineSet: string;
  readonly hasSetup: boolean;
  /** A prepare phase with a family on some machine: it changes length with the work before it. */
  readonly phases: readonly DensePhase[];
  /** Some phase can never work (no crew, never open): offered on paper only. */
  readonly impossible: boolean;
};

export type DenseLink = {
  readonly index: number;
  readonly from: number;
  readonly to: number;
  readonly kind: "lag" | "transfer" | "sameMachine";
  readonly minLag: number;
  /** FAR: any. */
  readonly maxLag: number;
  /** Transfer lots of so many pieces. */
  readonly pieces: number;
};

export type DenseSpan = {
  readonly index: number;
  readonly kit: number;
  readonly count: number;
  readonly from: number;
  readonly to: number;
};

export type DenseOp = {
  readonly index: number;
  readonly id: OperationId;
  readonly source: Operation;
  readonly order: number;
  readonly modes: readonly DenseMode[];
  /** Item rows (lots) of this operation; fixed ones (running) first. */
  readonly items: readonly number[];
  readonly release: number;
  readonly windowStart: number;
  readonly windowEnd: number;
  readonly prepareEarly: boolean;
  readonly kits: readonly number[];
  readonly kitCounts: readonly number[];
  readonly needsCalibrations: readonly number[];
  readonly calibrates: readonly number[];
  readonly before: readonly DenseLink[];
  readonly after: readonly DenseLink[];
  readonly alike: readonly DenseLink[];
  readonly spans: readonly DenseSpan[];
  readonly pinnedSet: string | null;
  readonly pinnedStart: number;
  /** Pieces that still need lots, less those of a running lot. */
  readonly freePieces: number;
  readonly donePieces: number;
  readonly lotsMost: number;
  readonly lotPiecesLeast: number;
  /** Ends of done lots: links and orders count them; NONE without. */
  readonly doneEnd: number;
  readonly doneStart: number;
  readonly finished: boolean;
  readonly published: readonly PlannedLot[];
  readonly nearness: number;
  /** Run-hour rule whose list it stands in, and its place there. */
  readonly rule: number;
  readonly ruleRank: number;
  /** Shortest time from its end to the end of what follows it within its order, calendars minded, machines not. */
  readonly tail: number;
  /** Takes over pieces by a transfer link. */
  readonly byTransfer: boolean;
  /** Hands pieces over by a transfer link. */
  readonly givesPieces: boolean;
  /** Release, and the shortest lags after work that is done. */
  readonly readyAt: number;
  /** Something it follows by a lag has done lots. */
  readonly followsDone: boolean;
  /** Operations that must be placed together with it (longest lags, kit spans), in order of the links; itself alone: empty. */
  readonly block: readonly number[];
};

/** A row for a lot: of what runs, or one that the free pieces may be put into. */
export type DenseItem = { readonly index: number; readonly op: number; readonly running: RunningLot | null };

export type DenseOrder = {
  readonly index: number;
  readonly id: string;
  readonly ops: readonly number[];
  readonly due: number;
  readonly deadline: number;
  readonly weight: number;
  readonly flowFrom: number;
  /** It cannot be complete earlier, were it alone in the shop. */
  readonly aloneEnd: number;
  /** Latest end of done work. */
  readonly doneEnd: number;
  readonly finished: boolean;
};

export type DenseRule = {
  readonly index: number;
  readonly id: string;
  readonly machine: number;
  readonly counter: number;
  readonly limit: number;
  readonly ops: readonly number[];
};

export type DoneWork = {
  readonly op: number;
  readonly mode: DenseMode;
  readonly pieces: number;
  readonly start: number;
  readonly end: number;
};

export type Model = {
  readonly problem: Problem;
  readonly now: number;
  readonly horizon: number;
  readonly machines: readonly DenseMachine[];
  readonly ops: readonly DenseOp[];
  readonly items: readonly DenseItem[];
  readonly orders: readonly DenseOrder[];
  readonly links: readonly DenseLink[];
  /** By lag links: lots that each operation follows, and lots that follow it. */
  readonly earlier: LagPairs;
  readonly later: LagPairs;
  readonly spans: readonly DenseSpan[];
  readonly rules: readonly DenseRule[];
  readonly done: readonly DoneWork[];
  readonly opOfId: ReadonlyMap<OperationId, number>;
  readonly crewOfId: ReadonlyMap<string, number>;
  readonly headcounts: readonly StepFunction[];
  readonly amounts: readonly StepFunction[];
  readonly kitCounts: readonly StepFunction[];
  /** The usual operations side by side, and the traits of all. */
  readonly lean: LeanRows;
  /** Unsocial minutes of each crew: stretches and minutes before them. */
  readonly unsocial: readonly WorkCalendar[];
  readonly anyUnsocial: boolean;
  /** Least time from start to end in each mode with all free pieces in one lot; 0 where nothing is free. */
  readonly leastOfMode: Float64Array;
  /** Worked minutes of each mode with all free pieces in one lot, setup not counted. */
  readonly workOfMode: Int32Array;
  /** Operations in an order that respects all links. */
  readonly topological: readonly number[];
};

/** Worked minutes of the phase for so many pieces; setup not included. */
export function phaseMinutes(phase: DensePhase, pieces: number): number {
  return phase.minutes >= 0 ? phase.minutes : Math.floor((pieces * phase.secondsPerPiece + 59) / 60);
}

/** Setup minutes from family to family on a machine. */
export function setupBetween(machine: DenseMachine, from: number, to: number): number {
  return from < 0 || to < 0 || machine.setupSize === 0 ? 0 : machine.setup[from * machine.setupSize + to]!;
}
