/**
 * Minute-by-minute facts for the reference checker: who is there, what is open, which minutes a phase may work.
 * Slow on purpose: every question is answered by looking at one minute, straight from the text of the planning
 * problem. Shares only types with the product.
 */
import type { Interval } from "../../src/core/calendar/minute.ts";
import type { StepFunction } from "../../src/core/calendar/step-function.ts";
import type { Mode, Operation, Phase } from "../../src/core/orders/operation.ts";
import type { Problem } from "../../src/core/problem/problem.ts";

/** Calendars begin 14 days before the origin. */
export const CALENDARS_BEGIN = -14 * 1440;

const within = (list: readonly Interval[], t: number): boolean => list.some(([a, b]) => a <= t && t < b);

export function amountAt(step: StepFunction, t: number): number {
  let amount = 0;
  step.at.forEach((at, i) => {
    if (at <= t) amount = step.value[i] as number;
  });
  return amount;
}

export class Minutes {
  readonly problem: Problem;
  private readonly onSiteCache = new Map<number, boolean>();
  private readonly emptiedCache = new Map<number, number>();

  constructor(problem: Problem) {
    this.problem = problem;
  }

  machine(id: string) {
    const found = this.problem.machines.find((m) => m.id === id);
    if (!found) throw new Error(`no machine ${id}`);
    return found;
  }
  crew(id: string) {
    return this.problem.crews.find((c) => c.id === id);
  }
  supply(id: string) {
    const found = this.problem.supplies.find((s) => s.id === id);
    if (!found) throw new Error(`no supply ${id}`);
    return found;
  }

  onSite(t: number): boolean {
    if (this.problem.crews.length === 0) return true;
    let known = this.onSiteCache.get(t);
    if (known === undefined) {
      known = this.problem.crews.some((c) => within(c.present, t));
      this.onSiteCache.set(t, known);
    }
    return known;
  }

  /** When the site emptied, seen from a minute at which nobody is on site. */
  emptied(t: number): number {
    const known = this.emptiedCache.get(t);
    if (known !== undefined) return known;
    let at = t;
    while (at > CALENDARS_BEGIN && !this.onSite(at - 1)) at--;
    this.emptiedCache.set(t, at);
    return at;
  }

  headcount(crew: string, t: number): number {
    const found = this.crew(crew);
    return found ? amountAt(found.headcount, t) : 0;
  }

  placeOpen(mode: Mode, t: number): boolean {
    if (mode.machines.length > 0) return mode.machines.every((id) => within(this.machine(id).open, t));
    if (mode.calendar === null) return true;
    const calendar = this.problem.calendars.find((c) => c.id === mode.calendar);
    return calendar !== undefined && within(calendar.open, t);
  }

  unattended(mode: Mode, phase: Phase): boolean {
    return phase.needs.length === 0 && mode.machines.length > 0;
  }

  /** Nobody on site and some machine's rule has no window here. */
  notAllowed(mode: Mode, t: number): boolean {
    if (this.onSite(t)) return false;
    return mode.machines.some((id) => {
      const rule = this.machine(id).unattended;
      return rule.kind === "never" || (rule.windows !== null && !within(rule.windows, t));
    });
  }

  /** Nobody on site and on some machine m minutes or more have passed since the site emptied. */
  tooLong(mode: Mode, t: number): boolean {
    if (this.onSite(t)) return false;
    return mode.machines.some((id) => {
      const rule = this.machine(id).unattended;
      return rule.kind === "allowed" && rule.maxMinutes !== null && t - this.emptied(t) >= rule.maxMinutes;
    });
  }

  /** The amount each crew must have for this phase alone. */
  ownNeeds(phase: Phase, crews: readonly string[]): Map<string, number> {
    const sums = new Map<string, number>();
    phase.needs.forEach((need, i) => {
      const crew = crews[i];
      if (crew !== undefined) sums.set(crew, (sums.get(crew) ?? 0) + need.amount);
    });
    return sums;
  }

  ownDraws(phase: Phase): Map<string, number> {
    const sums = new Map<string, number>();
    for (const draw of phase.draws) sums.set(draw.supply, (sums.get(draw.supply) ?? 0) + draw.amount);
    return sums;
  }

  crewsThere(phase: Phase, crews: readonly string[], t: number): boolean {
    return [...this.ownNeeds(phase, crews)].every(([crew, amount]) => this.headcount(crew, t) >= amount);
  }

  workable(mode: Mode, phase: Phase, crews: readonly string[], t: number): boolean {
    if (t < CALENDARS_BEGIN) return false;
    if (!this.placeOpen(mode, t)) return false;
    if (!this.crewsThere(phase, crews, t)) return false;
    for (const [supply, amount] of this.ownDraws(phase)) if (amountAt(this.supply(supply).amount, t) < amount) return false;
    if (this.unattended(mode, phase) && (this.notAllowed(mode, t) || this.tooLong(mode, t))) return false;
    return true;
  }

  /** Somebody can start unattended work of this operation at this minute (headcount is not used up). */
  starter(operation: Operation, t: number): boolean {
    if (this.problem.crews.length === 0 || operation.selfStart) return true;
    return this.problem.crews.some(
      (c) => (operation.startSkill === null || c.skills.includes(operation.startSkill)) && this.headcount(c.id, t) > 0,
    );
  }
}

/** All minutes of the intervals, one by one. */
export const minutesOf = (work: readonly Interval[]): number[] =>
  work.flatMap(([a, b]) => Array.from({ length: b - a }, (_, i) => a + i));
