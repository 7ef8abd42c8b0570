/**
 * Hours that a changed shop has more than another: people beyond the shifts of today, machines open beyond their hours. Counted from
 * now to the horizon of both. `worked` is what a plan really uses of it: at each minute the people at work beyond those that today's
 * shifts would hold. Person-minutes; O(size of plan and calendars).
 */
import { clip, subtract, totalMinutes } from "../calendar/intervals.ts";
import type { Minute } from "../calendar/minute.ts";
import { type StepFunction, sumOfSteps, valueAt } from "../calendar/step-function.ts";
import type { CrewId } from "../plant/crew.ts";
import type { Plan } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";

export type Overtime = {
  /** Person-minutes that the shifts have more. */
  readonly addedPersonMinutes: number;
  /** Of them those in which somebody is needed. */
  readonly workedPersonMinutes: number;
  /** Machine-minutes that are open more. */
  readonly addedMachineMinutes: Minute;
  readonly byCrew: readonly { readonly crew: CrewId; readonly added: number; readonly worked: number }[];
};

const NOBODY: StepFunction = { at: [], value: [] };

export function overtimeOf(today: Problem, changed: Problem, plan: Plan): Overtime {
  const from = Math.max(today.now, changed.now);
  const until = Math.min(today.horizon, changed.horizon);
  const before = new Map(today.crews.map((crew) => [crew.id, crew.headcount]));
  const used = peopleUsed(changed, plan);
  const byCrew = changed.crews.map(({ id, headcount }) => {
    const old = before.get(id) ?? NOBODY;
    return {
      crew: id,
      added: excess(headcount, old, from, until) / 100,
      worked: excess(used.get(id) ?? NOBODY, old, from, until) / 100,
    };
  });
  const opened = new Map(today.machines.map((machine) => [machine.id, machine.open]));
  const machines = changed.machines.map(({ id, open }) => totalMinutes(clip(subtract(open, opened.get(id) ?? []), from, until)));
  return {
    addedPersonMinutes: byCrew.reduce((sum, { added }) => sum + added, 0),
    workedPersonMinutes: byCrew.reduce((sum, { worked }) => sum + worked, 0),
    addedMachineMinutes: machines.reduce((sum, minutes) => sum + minutes, 0),
    byCrew: byCrew.filter(({ added, worked }) => added > 0 || worked > 0),
  };
}

/** Hundredths of people of each crew at work in each minute. */
export function peopleUsed(problem: Problem, plan: Plan): ReadonlyMap<CrewId, StepFunction> {
  const operations = new Map(problem.operations.map((operation) => [operation.id, operation]));
  const pieces = new Map<CrewId, { interval: readonly [Minute, Minute]; amount: number }[]>();
  for (const { operation: id, lots } of plan.operations)
    for (const lot of lots) {
      const mode = operations.get(id)?.modes.find((each) => each.id === lot.mode);
      for (const { phase, work, crews } of lot.phases)
        crews.forEach((crew, i) => {
          const amount = mode?.phases[phase]?.needs[i]?.amount ?? 0;
          const list = pieces.get(crew) ?? [];
          for (const interval of work) list.push({ interval, amount });
          pieces.set(crew, list);
        });
    }
  return new Map([...pieces].map(([crew, list]) => [crew, sumOfSteps(list)]));
}

/** Sum over the minutes of max(0, a - b). */
function excess(a: StepFunction, b: StepFunction, from: Minute, until: Minute): number {
  const points = [...new Set([...a.at, ...b.at, from, until])].filter((at) => from <= at && at <= until).sort((x, y) => x - y);
  let sum = 0;
  for (let i = 0; i + 1 < points.length; i++) {
    const at = points[i] as Minute;
    sum += Math.max(0, valueAt(a, at) - valueAt(b, at)) * ((points[i + 1] as Minute) - at);
  }
  return sum;
}
