/**
 * A crew's people in time, from its compiled calendar: headcount (0 in breaks), presence ("on site", breaks included),
 * unsocial minutes and the named shifts for screens. Overlapping shifts of a crew add up.
 * An absence takes people away for its whole stretch; where nobody of a shift is left, the crew is not present either.
 */

import type { CompiledCalendar } from "../calendar/compile.ts";
import { type Intervals, intersect, normalise } from "../calendar/intervals.ts";
import type { Interval, Minute } from "../calendar/minute.ts";
import { intervalsAtLeast, type StepFunction, sumOfSteps } from "../calendar/step-function.ts";
import type { Shift } from "./crew.ts";

/** People away; null: all of them. Hundredths of a person. */
export type Absence = { readonly start: Minute; readonly end: Minute; readonly people: number | null };

export type People = {
  readonly headcount: StepFunction;
  readonly present: Intervals;
  readonly unsocial: Intervals;
  readonly shifts: readonly Shift[];
};

/** Larger than any headcount, so that it takes everybody away. */
const EVERYBODY = 1_000_000_000;

export function peopleOf(calendar: CompiledCalendar, own: number, absences: readonly Absence[]): People {
  const shifts = calendar.shifts.map((shift) => ({ ...shift, people: shift.people ?? own }));
  const here = shifts.map(({ start, end, people }) => ({ interval: [start, end] as Interval, amount: people }));
  const pauses = shifts.flatMap(({ breaks, people }) => breaks.map((interval) => ({ interval, amount: -people })));
  const away = sumOfSteps(
    absences.map(({ start, end, people }) => ({ interval: [start, end] as Interval, amount: people ?? EVERYBODY })),
  );
  const inShift = less(sumOfSteps(here), away);
  const first = calendar.shifts[0]?.start ?? 0;
  const last = calendar.shifts.reduce((latest, { end }) => Math.max(latest, end), first);
  return {
    headcount: less(sumOfSteps([...here, ...pauses]), away),
    present: intervalsAtLeast(inShift, 1, first, last),
    unsocial: intersect(
      normalise(shifts.filter(({ unsocial, people }) => unsocial && people > 0).map(({ start, end }): Interval => [start, end])),
      intervalsAtLeast(inShift, 1, first, last),
    ),
    shifts: shifts.map(({ name, start, end, people }) => ({ name, start, end, people })),
  };
}

/** a - b, never below 0. */
function less(a: StepFunction, b: StepFunction): StepFunction {
  const at: Minute[] = [];
  const value: number[] = [];
  let i = 0;
  let j = 0;
  let left = 0;
  let taken = 0;
  for (const minute of [...new Set([...a.at, ...b.at])].sort((x, y) => x - y)) {
    while (i < a.at.length && (a.at[i] as Minute) <= minute) left = a.value[i++] as number;
    while (j < b.at.length && (b.at[j] as Minute) <= minute) taken = b.value[j++] as number;
    const amount = Math.max(0, left - taken);
    if (amount === (value.at(-1) ?? 0)) continue;
    at.push(minute);
    value.push(amount);
  }
  return { at, value };
}
