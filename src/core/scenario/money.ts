/**
 * What a plan costs, where the shop gives rates: machine hours held, people's hours worked, unattended night hours, overtime, and
 * what a day of lateness is worth. Every rate is optional; what has none costs nothing here and is not guessed. Amounts are in the
 * shop's currency, rounded to hundredths once at the end; they are figures for comparing plans, not accounts. From now on.
 */
import { subtract, totalMinutes, union } from "../calendar/intervals.ts";
import type { Interval, Minute } from "../calendar/minute.ts";
import { nightMinutes, nightsOf, possibleAlone } from "../plan/night-hours.ts";
import type { CrewId } from "../plant/crew.ts";
import type { MachineId } from "../plant/machine.ts";
import type { Plan } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { endsByOrder, lotsByOperation } from "./comparison.ts";
import { overtimeOf, peopleUsed } from "./overtime.ts";
import { loadUntil } from "./side-by-side.ts";

export type Rates = {
  /** ISO 4217, for showing. */
  readonly currency: string;
  /** For each open hour that it is held: set-up, run, waiting. */
  readonly machineHour: Readonly<Record<MachineId, number>>;
  /** For each hour of one person at work. */
  readonly crewHour: Readonly<Record<CrewId, number>>;
  /** On top, for each hour a machine works while nobody is on site. */
  readonly nightHour: number | null;
  /** Per cent on top of the crew's rate for hours beyond today's shifts. */
  readonly overtimePercent: number | null;
  /** For each day that an order of weight 1 is late. */
  readonly lateDay: number | null;
};

export const COST_ITEMS = ["machines", "people", "overtime", "night", "lateness"] as const;
export type CostItem = (typeof COST_ITEMS)[number];
export type PlanMoney = { readonly items: Readonly<Record<CostItem, number>>; readonly total: number };

/** Whether there is anything to reckon with. */
export const hasRates = ({ machineHour, crewHour, nightHour, lateDay }: Rates): boolean =>
  Object.keys(machineHour).length > 0 || Object.keys(crewHour).length > 0 || nightHour !== null || lateDay !== null;

/** `today` is the shop whose shifts are usual: hours that `problem` has more are overtime, paid whether worked or not. */
export function moneyOf(rates: Rates, today: Problem, problem: Problem, plan: Plan): PlanMoney {
  const overtime = new Map(overtimeOf(today, problem, plan).byCrew.map((hours) => [hours.crew, hours]));
  const used = peopleUsed(problem, plan);
  const percent = 1 + (rates.overtimePercent ?? 0) / 100;
  let [people, extra] = [0, 0];
  for (const { id } of problem.crews) {
    const rate = rates.crewHour[id] ?? 0;
    const { added = 0, worked: beyond = 0 } = overtime.get(id) ?? {};
    const worked = personMinutes(used.get(id), problem.now);
    people += (rate * Math.max(0, worked - beyond)) / 60;
    extra += (rate * percent * added) / 60;
  }
  const machines = loadUntil(problem, plan, problem.horizon).reduce(
    (sum, { machine, occupied }) => sum + ((rates.machineHour[machine] ?? 0) * occupied) / 60,
    0,
  );
  const items: Record<CostItem, number> = {
    machines: cents(machines),
    people: cents(people),
    overtime: cents(extra),
    night: cents(((rates.nightHour ?? 0) * nightMinutes(problem, plan)) / 60),
    lateness: cents(((rates.lateDay ?? 0) * weightedLateness(problem, plan)) / 1440),
  };
  return { items, total: cents(COST_ITEMS.reduce((sum, item) => sum + items[item], 0)) };
}

/** What the second costs more than the first, item by item: of a rush order, of overtime against lateness. */
export function moneyDifference(first: PlanMoney, second: PlanMoney): PlanMoney {
  const items = Object.fromEntries(COST_ITEMS.map((item) => [item, cents(second.items[item] - first.items[item])])) as Record<
    CostItem,
    number
  >;
  return { items, total: cents(second.total - first.total) };
}

export type IdleNight = { readonly machine: MachineId; readonly minutes: Minute; readonly money: number };

/**
 * What a night (or any stretch) with nobody on site leaves unused: minutes in which a machine might have run alone and stands free,
 * at its hourly rate, less what running it at night would have cost. Machines without a rate and those that are held are left out.
 */
export function idleNight(rates: Rates, problem: Problem, plan: Plan, [from, until]: Interval): readonly IdleNight[] {
  const nights = nightsOf(problem, from, until);
  const held = heldBy(problem, plan);
  return problem.machines.flatMap((machine): IdleNight[] => {
    const rate = rates.machineHour[machine.id];
    if (rate === undefined) return [];
    const idle = totalMinutes(subtract(possibleAlone(problem, machine, nights), held.get(machine.id) ?? []));
    if (idle === 0) return [];
    return [{ machine: machine.id, minutes: idle, money: cents(((rate - (rates.nightHour ?? 0)) * idle) / 60) }];
  });
}

function heldBy(problem: Problem, plan: Plan): ReadonlyMap<MachineId, readonly Interval[]> {
  const modes = new Map(problem.operations.map(({ id, modes: offered }) => [id, offered]));
  const held = new Map<MachineId, readonly Interval[]>();
  for (const { operation, lots } of plan.operations)
    for (const { mode, start, end } of lots)
      for (const machine of modes.get(operation)?.find(({ id }) => id === mode)?.machines ?? [])
        held.set(machine, union(held.get(machine) ?? [], [[start, end]]));
  return held;
}

function weightedLateness(problem: Problem, plan: Plan): number {
  const ends = endsByOrder(problem, lotsByOperation(plan));
  return problem.orders.reduce((sum, { id, due, weight }) => {
    const end = ends.get(id);
    return due === null || end === undefined || end <= problem.now ? sum : sum + weight * Math.max(0, end - due);
  }, 0);
}

function personMinutes(
  used: { readonly at: readonly Minute[]; readonly value: readonly number[] } | undefined,
  from: Minute,
): number {
  if (used === undefined) return 0;
  return (
    used.at.reduce((sum, at, i) => {
      const until = used.at[i + 1] ?? at;
      return sum + (used.value[i] ?? 0) * Math.max(0, until - Math.max(at, from));
    }, 0) / 100
  );
}

const cents = (amount: number): number => Math.round(amount * 100) / 100 || 0;
