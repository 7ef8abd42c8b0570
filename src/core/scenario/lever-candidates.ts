/**
 * What might help a late order: more hours of the crews and machines that serve it or the work that holds it up, a closed day opened,
 * another machine allowed, a batch split, a part bought instead of made. Only tries worth a re-plan; none is promised to help.
 * Hours lie between now and the end of the order, next to shifts that are there. Pure; O(order's work x days).
 */
import { clip, type Intervals, indexAtOrAfter, intersect, subtract, totalMinutes, union } from "../calendar/intervals.ts";
import type { Interval, Minute } from "../calendar/minute.ts";
import { type WallClock, wallClock } from "../calendar/wall-clock.ts";
import { whyLate } from "../explain/why-late.ts";
import { hasBegun, type ModeId, type Operation, type OperationId } from "../orders/operation.ts";
import type { OrderId } from "../orders/order.ts";
import type { CrewId } from "../plant/crew.ts";
import type { MachineId } from "../plant/machine.ts";
import type { Plan } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";

export type Lever =
  /** A crew comes, with machines opened that are closed then. `day`: on a day it would not come at all. */
  | {
      readonly kind: "crewHours";
      readonly span: "hour" | "day";
      readonly crew: CrewId;
      readonly machines: readonly MachineId[];
      readonly start: Minute;
      readonly end: Minute;
    }
  | { readonly kind: "machineHours"; readonly machine: MachineId; readonly start: Minute; readonly end: Minute }
  /** The mode done on another machine in place of one of its own. */
  | {
      readonly kind: "qualify";
      readonly operation: OperationId;
      readonly mode: ModeId;
      readonly instead: MachineId;
      readonly machine: MachineId;
    }
  | { readonly kind: "split"; readonly operation: OperationId; readonly lots: number; readonly minPieces: number }
  | { readonly kind: "buy"; readonly operation: OperationId; readonly minutes: Minute };

export type CandidateOptions = {
  /** Lead time of a bought part; null: buying is not tried. */
  readonly buyMinutes: Minute | null;
  /** At most so many; the hours nearest to the end of the order come first. */
  readonly most: number;
};

const HOUR = 60;
/** A closed day is opened for a usual shift at most. */
const SHIFT_MOST = 480;
const DAY = 1440;

export type Candidates = {
  readonly levers: readonly Lever[] /** Not tried, because there are too many. */;
  readonly leftOut: number;
  /** The order's work and that which holds it up. */
  readonly concerned: ReadonlySet<OperationId>;
};

export function leverCandidates(problem: Problem, plan: Plan, order: OrderId, options: CandidateOptions): Candidates {
  const lots = new Map(plan.operations.map((planned) => [planned.operation, planned.lots]));
  const own = problem.operations.filter((operation) => operation.order === order && !hasBegun(operation.progress));
  const chain = new Set(whyLate(problem, plan, order)?.steps.map(({ operation }) => operation));
  const concerned = problem.operations.filter(
    (operation) => !hasBegun(operation.progress) && (operation.order === order || chain.has(operation.id)),
  );
  const ends = own.flatMap(({ id }) => lots.get(id)?.map(({ end }) => end) ?? []);
  const finish = ends.length === 0 ? problem.horizon : Math.max(...ends);
  const within: Interval = [problem.now, Math.min(finish, problem.horizon)];
  const modes = concerned.flatMap((operation) => operation.modes);
  const machines = new Set(modes.flatMap((mode) => mode.machines));
  const skills = new Set(modes.flatMap((mode) => mode.phases.flatMap(({ needs }) => needs.map(({ skill }) => skill))));
  for (const { startSkill } of concerned) if (startSkill !== null) skills.add(startSkill);
  const crews = problem.crews.filter((crew) => crew.skills.some((skill) => skills.has(skill)));
  const clock = wallClock(problem.zone, problem.origin);

  const things: Lever[] = [
    ...concerned.flatMap((operation) => qualifications(problem, operation)),
    ...own.flatMap((operation) => splits(operation)),
    ...(options.buyMinutes === null ? [] : own.flatMap((operation) => purchases(problem, operation, options.buyMinutes ?? 0))),
  ];
  const opening = (start: Minute, end: Minute): readonly MachineId[] =>
    problem.machines.flatMap(({ id, open }) =>
      machines.has(id) && totalMinutes(clip(open, start, end)) < end - start ? [id] : [],
    );
  const hours: Lever[] = crews.flatMap(({ id, present }) => [
    ...hoursBeside(present, within).map(
      ([start, end]): Lever => ({ kind: "crewHours", span: "hour", crew: id, machines: opening(start, end), start, end }),
    ),
    ...closedDays(present, within, clock).map(
      ([start, end]): Lever => ({ kind: "crewHours", span: "day", crew: id, machines: opening(start, end), start, end }),
    ),
  ]);
  const people = union(...crews.map(({ present }) => present));
  for (const { id, open } of problem.machines)
    if (machines.has(id))
      for (const [start, end] of hoursBeside(open, within))
        if (problem.crews.length === 0 || totalMinutes(intersect(people, [[start, end]])) > 0)
          hours.push({ kind: "machineHours", machine: id, start, end });
  const endOf = (lever: Lever): Minute => ("end" in lever ? lever.end : finish);
  const all = [...things, ...hours.sort((a, b) => endOf(b) - endOf(a))];
  return {
    levers: all.slice(0, options.most),
    leftOut: Math.max(0, all.length - options.most),
    concerned: new Set(concerned.map(({ id }) => id)),
  };
}

/** The hour before and the hour after each stretch, where it is free and wholly inside. */
function hoursBeside(present: Intervals, [from, until]: Interval): Intervals {
  const hours = present.flatMap(([start, end]): Interval[] => [
    [start - HOUR, start],
    [end, end + HOUR],
  ]);
  return hours.filter(
    ([start, end]) => from <= start && end <= until && totalMinutes(subtract([[start, end]], present)) === HOUR,
  );
}

/** On each day that begins nothing: the hours of the last day before it that did, a shift at most. */
function closedDays(present: Intervals, [from, until]: Interval, clock: WallClock): Intervals {
  const days: Interval[] = [];
  for (let { day } = clock.shownAt(from); clock.minuteAt(day, 0) < until; day++) {
    const [start, end] = [clock.minuteAt(day, 0), clock.minuteAt(day + 1, 0)];
    if (totalMinutes(clip(present, start, end)) > 0) continue;
    const last = present[indexAtOrAfter(present, start) - 1];
    if (last === undefined || start - last[1] > 7 * DAY) continue;
    const begin = clock.minuteAt(day, clock.shownAt(last[0]).minutes);
    const stop = Math.min(begin + Math.min(SHIFT_MOST, last[1] - last[0]), end, until);
    if (begin >= from && stop - begin >= HOUR) days.push([begin, stop]);
  }
  return days;
}

/** Every machine of the same work centre and kind that no mode uses yet. */
function qualifications(problem: Problem, operation: Operation): Lever[] {
  const used = new Set(operation.modes.flatMap(({ machines }) => machines));
  return operation.modes.flatMap((mode) =>
    mode.machines.flatMap((instead) => {
      const known = problem.machines.find(({ id }) => id === instead);
      return problem.machines
        .filter(({ id, group, kind }) => !used.has(id) && known !== undefined && group === known.group && kind === known.kind)
        .map(({ id }): Lever => ({ kind: "qualify", operation: operation.id, mode: mode.id, instead, machine: id }));
    }),
  );
}

/** One more lot than now, of equal size. */
function splits({ id, pieces, split, modes }: Operation): Lever[] {
  if (!modes.some(({ phases }) => phases.some(({ work }) => work.kind === "perPiece"))) return [];
  const lots = (split?.lots ?? 1) + 1;
  const minPieces = Math.floor(pieces / lots);
  return minPieces < 1 ? [] : [{ kind: "split", operation: id, lots, minPieces }];
}

/** Parts made on machines; what a rig does cannot be bought. */
function purchases(problem: Problem, { id, modes }: Operation, minutes: Minute): Lever[] {
  const kinds = new Map(problem.machines.map((machine) => [machine.id, machine.kind]));
  const made = modes.some(({ machines }) => machines.length > 0 && machines.every((machine) => kinds.get(machine) === "machine"));
  return made ? [{ kind: "buy", operation: id, minutes }] : [];
}
