/**
 * Operations, their modes and phases, and what is already decided about them.
 * Meanings: the planning problem, sections 3 and 4. All times whole minutes, people in hundredths.
 */

import type { Minute } from "../calendar/minute.ts";
import type { CalendarId } from "../calendar/specification.ts";
import type { Flavour } from "../ground/flavour.ts";
import { ceilDivide } from "../ground/rounding.ts";
import type { CrewId, Skill } from "../plant/crew.ts";
import type { MachineId } from "../plant/machine.ts";
import type { Family } from "../plant/setup.ts";
import type { KitId, SupplyId } from "../plant/supply.ts";
import type { OrderId } from "./order.ts";

export type OperationId = Flavour<string, "operation">;
export type ModeId = Flavour<string, "mode">;

export type PhaseKind = "prepare" | "run" | "clear";
/** solid: never interrupted; pausable: rests in unworkable minutes; piecewise: rests only between pieces. */
export type Flow = "solid" | "pausable" | "piecewise";

/** Whatever the quantity, or per piece (at least 60 s; the first i pieces take ceil(i x seconds / 60) worked minutes). */
export type Work = { readonly kind: "fixed"; readonly minutes: number } | { readonly kind: "perPiece"; readonly seconds: number };

/** People of one skill for the whole phase, served by one crew. Amount in hundredths of a person. */
export type Need = { readonly skill: Skill; readonly amount: number };
/** Amount drawn while the phase works. */
export type Draw = { readonly supply: SupplyId; readonly amount: number };

export type Phase = {
  /** At most one prepare, the first. */
  readonly kind: PhaseKind;
  readonly flow: Flow;
  readonly work: Work;
  readonly needs: readonly Need[];
  readonly draws: readonly Draw[];
  /** Longest wait in minutes after the phase before it ended; null: any. */
  readonly maxWait: Minute | null;
};

export type Mode = {
  /** Unique within the operation. */
  readonly id: ModeId;
  /** All occupied together; empty: bench work or an outside process. */
  readonly machines: readonly MachineId[];
  /** Family per machine (same index as `machines`); null: changes nothing there. */
  readonly families: readonly (Family | null)[];
  /** Only for a mode without machines: its work counts in the open minutes of this calendar; null: elapsed time. */
  readonly calendar: CalendarId | null;
  readonly phases: readonly Phase[];
};

/** At most `lots` lots of at least `minPieces` pieces (one lot is always allowed). */
export type Split = { readonly lots: number; readonly minPieces: number };

/** Held from start to end of the operation, each lot for itself. */
export type KitHold = { readonly kit: KitId; readonly count: number };

/** Fixed by a planner: the set of machines (of every lot) and/or the start of the first lot. */
export type Pin = { readonly machines: readonly MachineId[] | null; readonly start: Minute | null };

/** `scrap`: pieces of it that came out bad, as reported; left out: none. It changes no plan: whether to make more is for people. */
export type DoneLot = {
  readonly mode: ModeId;
  readonly pieces: number;
  readonly start: Minute;
  readonly end: Minute;
  readonly scrap?: number;
};

export type RunningLot = {
  readonly mode: ModeId;
  /** Pieces it was started with. A splittable batch may be cut earlier, at a piece end from now on. */
  readonly pieces: number;
  readonly start: Minute;
  /** Index of the current phase in the mode. */
  readonly phase: number;
  /** Crew of each need of the current phase. */
  readonly crews: readonly CrewId[];
  /** Worked minutes still to do in the current phase (setup within; piece ends count back from its end). */
  readonly remaining: Minute;
  /** It works right now, so nobody need start it. */
  readonly working: boolean;
};

/**
 * What really happened so far. Free operations have no lots; an operation is done when done lots hold all pieces. Lots of a split
 * batch may run side by side: `running` has them in the order of their starts, as the first lots of a plan have them.
 */
export type Progress = { readonly done: readonly DoneLot[]; readonly running: readonly RunningLot[] };

export const NOTHING_BEGUN: Progress = { done: [], running: [] };

export const hasBegun = ({ done, running }: Progress): boolean => running.length > 0 || done.length > 0;

/** Pieces in done and running lots; no other lot may hold them. */
export const piecesBegun = ({ done, running }: Progress): number =>
  [...done, ...running].reduce((sum, { pieces }) => sum + pieces, 0);

export type Operation = {
  readonly id: OperationId;
  readonly order: OrderId;
  readonly name: string;
  readonly piecesPerUnit: number;
  /** Pieces to start of its order x piecesPerUnit. */
  readonly pieces: number;
  /** Starts and ends inside; either side may be open. */
  readonly window: { readonly start: Minute | null; readonly end: Minute | null };
  readonly modes: readonly Mode[];
  /** Who may start an unattended phase; null: any crew. */
  readonly startSkill: Skill | null;
  /** Needs nobody to start (pallet changer). */
  readonly selfStart: boolean;
  /** Release and links bind the first phase after prepare instead of the start. */
  readonly prepareEarly: boolean;
  readonly split: Split | null;
  /** Names of calibrations that must be valid to its end on each machine that has them. */
  readonly needsCalibrations: readonly string[];
  /** Names of calibrations it renews on its machines. */
  readonly calibrates: readonly string[];
  readonly kits: readonly KitHold[];
  readonly pin: Pin | null;
  readonly progress: Progress;
};

/** Worked minutes of the first `pieces` pieces, or of the whole phase when the work is fixed. Setup not included. */
export const workMinutes = (work: Work, pieces: number): number =>
  work.kind === "fixed" ? work.minutes : ceilDivide(pieces * work.seconds, 60);
