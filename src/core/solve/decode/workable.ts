/**
 * Which minutes are workable for a phase with a given choice of crews: machines open, headcounts and supplies at least its own
 * need, and, unattended, somebody on site or the machines' rule allowing it. Compiles and shares the work calendars.
 * Source: the planning problem, section 3 ("workable", "somebody starts it").
 */
import { type Intervals, intersect, normalise, subtract, union } from "../../calendar/intervals.ts";
import { CALENDAR_LEAD_MINUTES } from "../../calendar/minute.ts";
import { intervalsAtLeast } from "../../calendar/step-function.ts";
import type { Problem } from "../../problem/problem.ts";
import { compileWorkCalendar, type WorkCalendar } from "./work-calendar.ts";

export type WorkQuestion = {
  readonly machines: readonly number[];
  /** Only without machines. */
  readonly calendar: string | null;
  readonly crews: readonly number[];
  readonly amounts: readonly number[];
  readonly supplies: readonly number[];
  readonly draws: readonly number[];
  readonly unattended: boolean;
  /** null: nobody need start it. */
  readonly starters: { readonly skill: string | null } | null;
};

/** Answers "when may such a phase work", each distinct question computed once. */
export function createWorkables(problem: Problem): (question: WorkQuestion) => WorkCalendar {
  const begin = -CALENDAR_LEAD_MINUTES;
  const end = problem.horizon;
  const everything: Intervals = begin < end ? [[begin, end]] : [];
  const compiled = new Map<string, WorkCalendar>();
  const pieces = new Map<string, Intervals>();
  const remembered = (key: string, make: () => Intervals): Intervals => {
    const known = pieces.get(key);
    if (known !== undefined) return known;
    const made = make();
    pieces.set(key, made);
    return made;
  };
  const onSite = (): Intervals =>
    remembered("on site", () => (problem.crews.length === 0 ? everything : union(...problem.crews.map((crew) => crew.present))));
  const starterMinutes = (skill: string | null): Intervals =>
    remembered(`starter ${skill ?? ""}|${skill === null}`, () =>
      problem.crews.length === 0
        ? everything
        : union(
            ...problem.crews
              .filter((crew) => skill === null || crew.skills.includes(skill))
              .map((crew) => intervalsAtLeast(crew.headcount, 1, begin, end)),
          ),
    );
  const unattendedAllowed = (index: number): Intervals =>
    remembered(`unattended ${index}`, () => {
      const rule = problem.machines[index]!.unattended;
      if (rule.kind === "never") return onSite();
      const empty = subtract(everything, onSite());
      const within =
        rule.maxMinutes === null
          ? empty
          : normalise(empty.map(([from, until]) => [from, Math.min(until, from + (rule.maxMinutes as number))] as const));
      return union(onSite(), rule.windows === null ? within : intersect(within, rule.windows));
    });

  return (question) => {
    const { machines, crews, amounts, supplies, draws } = question;
    const key = [
      machines.join(),
      question.calendar ?? "",
      crews.join(),
      amounts.join(),
      supplies.join(),
      draws.join(),
      question.unattended,
      question.starters === null ? "" : `s${question.starters.skill ?? "*any"}`,
    ].join("|");
    const known = compiled.get(key);
    if (known) return known;
    let list = everything;
    if (machines.length === 0 && question.calendar !== null) {
      const named = problem.calendars.find((calendar) => calendar.id === question.calendar);
      list = intersect(list, named?.open ?? []);
    }
    for (const machine of machines) list = intersect(list, problem.machines[machine]!.open);
    for (let i = 0; i < crews.length; i++) {
      list = intersect(
        list,
        remembered(`crew ${crews[i]} ${amounts[i]}`, () =>
          intervalsAtLeast(problem.crews[crews[i]!]!.headcount, amounts[i]!, begin, end),
        ),
      );
    }
    for (let i = 0; i < supplies.length; i++) {
      list = intersect(list, intervalsAtLeast(problem.supplies[supplies[i]!]!.amount, draws[i]!, begin, end));
    }
    if (question.unattended) for (const machine of machines) list = intersect(list, unattendedAllowed(machine));
    let calendar: WorkCalendar;
    if (question.starters === null) calendar = compileWorkCalendar(list, null, null);
    else {
      const starters = starterMinutes(question.starters.skill);
      calendar = compileWorkCalendar(list, starters, compileWorkCalendar(intersect(list, starters), null, null));
    }
    compiled.set(key, calendar);
    return calendar;
  };
}
