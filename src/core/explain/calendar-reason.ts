/**
 * Calendars as reasons: what must be open, there, or allowed for a lot to work, and is not at all times. A calendar is tried by
 * opening it all day; which stretch was missed is read from the place that this allows.
 */
import { clip, type Intervals, subtract } from "../calendar/intervals.ts";
import type { Interval, Minute } from "../calendar/minute.ts";
import { isUnattended, lookUp } from "../check/look-up.ts";
import type { Mode, Operation } from "../orders/operation.ts";
import type { PlannedLot } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { type Naming, type Reason, withSentence } from "./reason.ts";

export type CalendarItem = {
  readonly reason: Reason;
  /** Minutes in which it allows work. */
  readonly there: Intervals;
  /** Phases of the mode that ask for it. */
  readonly phases: ReadonlySet<number>;
  /** Only the begins of stretches ask for it. */
  readonly beginsOnly: boolean;
};

/** Calendars that the lot asks for and that are shut somewhere between the two minutes. */
export function calendarItems(
  problem: Problem,
  operation: Operation,
  mode: Mode,
  lot: PlannedLot,
  [from, until]: Interval,
  naming: Naming,
): readonly CalendarItem[] {
  const look = lookUp(problem);
  const items: CalendarItem[] = [];
  const all = new Set(mode.phases.map((_, i) => i));
  const add = (
    kind: Reason["kind"],
    resource: string | null,
    there: Intervals,
    phases: ReadonlySet<number>,
    beginsOnly = false,
  ): void => {
    if (phases.size === 0 || covers(there, from, until)) return;
    const reason = withSentence({ kind, operations: [], resource, interval: null }, naming);
    items.push({ reason, there, phases, beginsOnly });
  };
  for (const { id, open } of look.placesOf(mode)) add("machineClosed", id, open, all);
  const needs = new Map<string, { amount: number; phases: Set<number> }>();
  for (const { phase, crews } of lot.phases) {
    mode.phases[phase]?.needs.forEach(({ amount }, i) => {
      const crew = crews[i];
      if (crew === undefined) return;
      const known = needs.get(crew) ?? { amount: 0, phases: new Set<number>() };
      known.amount = Math.max(known.amount, amount);
      known.phases.add(phase);
      needs.set(crew, known);
    });
  }
  for (const [id, { amount, phases }] of needs) {
    const crew = look.crews.get(id);
    if (crew !== undefined) add("crewAway", id, look.enough(crew.headcount, amount), phases);
  }
  mode.phases.forEach(({ draws }, i) => {
    for (const { supply: id, amount } of draws) {
      const supply = look.supplies.get(id);
      if (supply !== undefined) add("supplyLow", id, look.enough(supply.amount, amount), new Set([i]));
    }
  });
  const alone = new Set(mode.phases.flatMap((phase, i) => (isUnattended(mode, phase.needs) ? [i] : [])));
  for (const id of mode.machines) {
    const whole: Intervals = [[from, until]];
    const allowed = subtract(subtract(whole, clip(look.noWindow(id), from, until)), clip(look.tooLong(id), from, until));
    add("unattended", id, allowed, alone);
  }
  const startable = look.startable(operation);
  if (startable !== null) add("nobodyToStart", null, startable, alone, true);
  return items;
}

const covers = (there: Intervals, from: Minute, until: Minute): boolean =>
  from >= until || clip(there, from, until).some(([start, end]) => start <= from && end >= until);

/** The reason with the first stretch that the place works and the calendar does not allow. */
export function missed({ reason, there, phases, beginsOnly }: CalendarItem, lot: PlannedLot, naming: Naming): Reason {
  for (const { phase, work } of lot.phases) {
    if (!phases.has(phase)) continue;
    const asked: Intervals = beginsOnly ? work.map(([start]): Interval => [start, start + 1]) : work;
    const first = subtract(asked, there)[0];
    if (first === undefined) continue;
    // The whole stretch in which it is shut, as a person would name it.
    const shut: Interval = [
      Math.max(
        ...there.map(([, end]) => (end <= first[0] ? end : Number.NEGATIVE_INFINITY)),
        Math.min(first[0], naming.problem.now),
      ),
      there.find(([start]) => start >= first[1])?.[0] ?? first[1],
    ];
    return withSentence({ ...reason, interval: shut }, naming);
  }
  return reason;
}
