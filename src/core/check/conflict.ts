/** A conflict: one broken rule of the planning problem, with whom and what it concerns and a sentence for people. */
import type { Interval } from "../calendar/minute.ts";
import type { OperationId } from "../orders/operation.ts";
import type { Cost } from "../problem/objective.ts";

export const CONFLICT_KINDS = [
  "machineDoubleUse",
  "crewShort",
  "supplyShort",
  "kitShort",
  "machineClosed",
  "nobodyThere",
  "unattendedNotAllowed",
  "unattendedTooLong",
  "phaseOrder",
  "phaseWait",
  "flowBroken",
  "restedThoughWorkable",
  "wrongWork",
  "setupShort",
  "crewNotOffered",
  "notPlanned",
  "modeNotOffered",
  "lotsWrong",
  "beforeRelease",
  "beforeNow",
  "pastHorizon",
  "outsideWindow",
  "calibrationLapsed",
  "pinMoved",
  "runningMoved",
  "frozenMoved",
  "lagShort",
  "lagLong",
  "transferEarly",
  "otherMachine",
  "afterDeadline",
  "maintenanceOverdue",
] as const;

export type ConflictKind = (typeof CONFLICT_KINDS)[number];

export type Conflict = {
  readonly kind: ConflictKind;
  /** Operations concerned, sorted by id, without repetition. */
  readonly operations: readonly OperationId[];
  /** Machine, crew, supply, kit, link, order or run-hour rule concerned; null: none. */
  readonly resource: string | null;
  /** The first stretch concerned. */
  readonly interval: Interval;
  /** Minutes unless said (people in hundredths, supply and kit amounts). */
  readonly amount: number;
  readonly sentence: string;
};

export type CheckResult = { readonly conflicts: readonly Conflict[]; readonly cost: Cost };
