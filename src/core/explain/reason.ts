/**
 * Why work is not earlier: one rule of the checker that stands in the way, and whom or what it concerns. Reasons come from
 * conflicts of a trial place (why-here.ts) or from calendars that allow no trial place; this file names them and puts them into words.
 */
import type { Interval } from "../calendar/minute.ts";
import type { Conflict, ConflictKind } from "../check/conflict.ts";
import { type SayMinute, sayDuration, sayInterval, sayNames, sayOperation } from "../check/wording.ts";
import { present } from "../ground/invariant.ts";
import type { OperationId } from "../orders/operation.ts";
import type { Problem } from "../problem/problem.ts";

export type ReasonKind =
  | "now"
  | "release"
  | "window"
  | "pinned"
  | "frozen"
  | "running"
  | "done"
  | "link"
  | "transfer"
  /** What follows it may not wait so long. */
  | "useWithin"
  /** With the setup it would need there it would end later than what follows allows. */
  | "endsLater"
  | "machineBusy"
  /** On an earlier place it would lengthen the setup of other work. */
  | "setup"
  | "crewBusy"
  | "supplyTaken"
  | "kitHeld"
  | "calibration"
  | "runHours"
  /** The longest wait between its own phases. */
  | "phaseWait"
  | "machineClosed"
  | "crewAway"
  | "supplyLow"
  | "unattended"
  | "nobodyToStart"
  | "other";

export type Reason = {
  readonly kind: ReasonKind;
  /** Other work concerned: with it gone the reason is gone. Of links, the work before it. */
  readonly operations: readonly OperationId[];
  /** Machine, crew, supply, kit, link, calendar or run-hour rule. */
  readonly resource: string | null;
  /** The first stretch in which an earlier place meets it. */
  readonly interval: Interval | null;
  readonly sentence: string;
};

/** Kinds of conflicts, as reasons seen from the operation that was moved. */
const KIND_OF: Readonly<Partial<Record<ConflictKind, ReasonKind>>> = {
  beforeNow: "now",
  beforeRelease: "release",
  outsideWindow: "window",
  pinMoved: "pinned",
  frozenMoved: "frozen",
  runningMoved: "running",
  machineDoubleUse: "machineBusy",
  crewShort: "crewBusy",
  supplyShort: "supplyTaken",
  kitShort: "kitHeld",
  calibrationLapsed: "calibration",
  maintenanceOverdue: "runHours",
  phaseWait: "phaseWait",
  setupShort: "setup",
  wrongWork: "setup",
};

export type Naming = { readonly problem: Problem; readonly at: SayMinute };

export function reasonOf(conflict: Conflict, operation: OperationId, naming: Naming): Reason {
  const kind = kindOf(conflict, operation, naming.problem);
  const others = conflict.operations.filter((id) => id !== operation);
  // Lots of a split operation stand in each other's way, too.
  const operations = others.length === 0 && kind === "machineBusy" ? [operation] : others;
  return withSentence(
    { kind, operations, resource: conflict.resource, interval: conflict.interval, sentence: conflict.sentence },
    naming,
  );
}

function kindOf(conflict: Conflict, operation: OperationId, problem: Problem): ReasonKind {
  const link = problem.links.find(({ id }) => id === conflict.resource);
  if (conflict.kind === "lagShort") return link?.to === operation ? "link" : "endsLater";
  if (conflict.kind === "transferEarly") return link?.to === operation ? "transfer" : "endsLater";
  if (conflict.kind === "lagLong") return "useWithin";
  if ((conflict.kind === "setupShort" || conflict.kind === "wrongWork") && conflict.operations.includes(operation))
    return "other";
  return KIND_OF[conflict.kind] ?? "other";
}

export function withSentence(reason: Omit<Reason, "sentence"> & { readonly sentence?: string }, naming: Naming): Reason {
  return { ...reason, sentence: sentenceOf(reason, naming) };
}

function sentenceOf(reason: Omit<Reason, "sentence"> & { readonly sentence?: string }, { problem, at }: Naming): string {
  const { kind, operations, interval, resource } = reason;
  const until = interval === null ? "" : ` until ${at(interval[1])}`;
  const during = interval === null ? "" : ` ${sayInterval(at, interval)}`;
  const who = sayNames(operations.map((id) => nameOf(problem, id)));
  const what = resourceName(problem, resource);
  switch (kind) {
    case "now":
      return "Nothing can start before now.";
    case "release":
      return `The material of its order is there${interval === null ? "" : ` from ${at(interval[1])}`} on, not earlier.`;
    case "window":
      return `Its window opens${interval === null ? "" : ` at ${at(interval[1])}`}.`;
    case "pinned":
      return "A planner pinned its start.";
    case "frozen":
      return "It is frozen as published.";
    case "running":
      return "It is running already.";
    case "done":
      return "It is done.";
    case "link": {
      const link = problem.links.find(({ id }) => id === resource);
      const wait = link?.kind === "lag" && link.minLag > 0 ? `, and ${sayDuration(link.minLag)} have to pass after it` : "";
      return `It follows ${who}${wait}: not before ${interval === null ? "that" : at(interval[1])}.`;
    }
    case "transfer":
      return `It takes over pieces from ${who}, which has them ready${interval === null ? " later" : ` at ${at(interval[1])}`}.`;
    case "useWithin": {
      const link = problem.links.find(({ id }) => id === resource);
      const limit = link?.kind === "lag" && link.maxLag !== null ? sayDuration(link.maxLag) : "so long";
      return `${who} must begin within ${limit} after it, so it may not end earlier by itself.`;
    }
    case "endsLater":
      return `On an earlier place its setup would be longer and it would end too late for ${who}.`;
    case "machineBusy":
      return operations.length === 1 && interval !== null
        ? `${what} is busy with ${who}${until}.`
        : `${what} is busy with ${who}${during}.`;
    case "setup":
      return `On an earlier place it would change the setup of ${who}.`;
    case "crewBusy":
      return `${what} works on ${who}${during}.`;
    case "supplyTaken":
      return `${what} is taken by ${who}${during}.`;
    case "kitHeld":
      return operations.length === 0 ? `There is not enough of ${what}${during}.` : `${what} is held for ${who}${during}.`;
    case "calibration":
      return `The calibration of ${what} would not be valid${during}.`;
    case "runHours":
      return `The run hours of ${what} would pass their limit before the maintenance.`;
    case "phaseWait":
      return "Its own phases may not wait so long for each other.";
    case "machineClosed":
      return `${what} is closed${during}.`;
    case "crewAway":
      return `${what} is not there, or not in the number it needs,${during}.`;
    case "supplyLow":
      return `${what} gives less than it draws${during}.`;
    case "unattended":
      return `${what} may not run alone${during}.`;
    case "nobodyToStart":
      return `Nobody is there to start it${during}.`;
    case "other":
      return reason.sentence ?? "Another rule stands in the way.";
  }
}

export function nameOf(problem: Problem, id: OperationId): string {
  const operation = problem.operations.find((candidate) => candidate.id === id);
  if (operation === undefined) return id;
  return sayOperation(
    operation,
    problem.orders.find((order) => order.id === operation.order),
  );
}

/** Every id of a resource is of one kind only; whichever list has it gives the name. */
function resourceName(problem: Problem, id: string | null): string {
  if (id === null) return "It";
  const lists: readonly (readonly { readonly id: string; readonly name: string }[])[] = [
    ...[problem.machines, problem.crews, problem.supplies, problem.kits, problem.calendars],
  ];
  const found = lists.flat().find((candidate) => candidate.id === id);
  if (found !== undefined) return found.name;
  const rule = problem.runHourRules.find((candidate) => candidate.id === id);
  return rule === undefined
    ? id
    : present(
        problem.machines.find((machine) => machine.id === rule.machine),
        "machine",
      ).name;
}
