/**
 * Cautions: which work of a plan needs somebody to go through a checklist before it is published or started. A rule of the shop
 * names what it is about: machines, supplies that are drawn, or work done while nobody is on site; the plan says where that occurs.
 * It finds occurrences and judges nothing: that a plan has no caution, or that every one is acknowledged, does not say that the
 * work is safe. Local rules, the maker's manual and licensed practice decide. O(size of the plan x rules).
 */
import { sayDuration, sayMinutes, sayNames, sayOperation } from "../check/wording.ts";
import type { Flavour } from "../ground/flavour.ts";
import type { Mode, Operation, OperationId } from "../orders/operation.ts";
import type { MachineId } from "../plant/machine.ts";
import type { SupplyId } from "../plant/supply.ts";
import type { Plan, PlannedLot } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { aloneMinutes, nightsOf } from "./night-hours.ts";

export type CautionId = Flavour<string, "caution">;

/** Work on any of the machines or drawing any of the supplies; without both, all work. `alone` keeps only what nobody attends. */
export type CautionRule = {
  readonly id: CautionId;
  readonly title: string;
  readonly alone: boolean;
  readonly machines: readonly MachineId[];
  readonly supplies: readonly SupplyId[];
  /** What has to be gone through. */
  readonly items: readonly string[];
};

export type Caution = {
  readonly rule: CautionRule;
  /** Operations concerned, by start. */
  readonly operations: readonly OperationId[];
  /** What of the plan it is about. */
  readonly sentence: string;
};

type Occurrence = { readonly operation: Operation; readonly lot: PlannedLot; readonly mode: Mode; readonly alone: number };

/** Every rule that the plan meets, in the order of the rules. Done work is history. */
export function cautionsOf(problem: Problem, plan: Plan, rules: readonly CautionRule[]): readonly Caution[] {
  const known = new Map(problem.operations.map((operation) => [operation.id, operation]));
  const nights = nightsOf(problem, problem.now, problem.horizon);
  const all = plan.operations.flatMap(({ operation: id, lots }): Occurrence[] => {
    const operation = known.get(id);
    if (operation === undefined) return [];
    return lots.flatMap((lot) => {
      const mode = operation.modes.find((each) => each.id === lot.mode);
      return mode === undefined ? [] : [{ operation, lot, mode, alone: aloneMinutes(operation, lot, nights) }];
    });
  });
  return rules.flatMap((rule): Caution[] => {
    const met = all.filter(({ mode, alone }) => concerns(rule, mode) && (!rule.alone || alone > 0));
    if (met.length === 0) return [];
    const sorted = met.toSorted((a, b) => a.lot.start - b.lot.start || (a.operation.id < b.operation.id ? -1 : 1));
    return [
      {
        rule,
        operations: [...new Set(sorted.map(({ operation }) => operation.id))],
        sentence: sentenceOf(problem, rule, sorted),
      },
    ];
  });
}

/** Rules that starting the operation in this mode meets: along any of its lots where it has some, else as the mode allows. */
export function cautionsOfStart(
  problem: Problem,
  operation: Operation,
  mode: Mode,
  lots: readonly PlannedLot[],
  rules: readonly CautionRule[],
): readonly CautionRule[] {
  const nights = nightsOf(problem, problem.now, problem.horizon);
  const own = lots.filter((lot) => lot.mode === mode.id);
  const alone = own.length > 0 ? own.some((lot) => aloneMinutes(operation, lot, nights) > 0) : mayRunAlone(problem, mode);
  return rules.filter((rule) => concerns(rule, mode) && (!rule.alone || alone));
}

const concerns = (rule: CautionRule, mode: Mode): boolean =>
  rule.machines.length + rule.supplies.length === 0 ||
  mode.machines.some((machine) => rule.machines.includes(machine)) ||
  mode.phases.some(({ draws }) => draws.some(({ supply, amount }) => amount > 0 && rule.supplies.includes(supply)));

function mayRunAlone(problem: Problem, mode: Mode): boolean {
  const machines = problem.machines.filter(({ id }) => mode.machines.includes(id));
  const free = mode.phases.some(({ needs, work }) => needs.length === 0 && (work.kind === "perPiece" || work.minutes > 0));
  return free && machines.length > 0 && machines.every(({ unattended }) => unattended.kind === "allowed");
}

const NAMED_MAX = 3;

function sentenceOf(problem: Problem, rule: CautionRule, met: readonly Occurrence[]): string {
  const at = sayMinutes(problem);
  const ids = [...new Set(met.map(({ operation }) => operation.id))];
  const machineIds = new Set(met.flatMap(({ mode }) => mode.machines));
  const machines = problem.machines.filter(({ id }) => machineIds.has(id)).map(({ name }) => name);
  const names = ids.slice(0, NAMED_MAX).map((id) => {
    const operation = met.find((one) => one.operation.id === id)?.operation;
    if (operation === undefined) return id;
    return sayOperation(
      operation,
      problem.orders.find((order) => order.id === operation.order),
    );
  });
  const more = ids.length > NAMED_MAX ? [...names, `${ids.length - NAMED_MAX} more`] : names;
  const first = met[0];
  const when = first === undefined ? "" : `, the first from ${at(first.lot.start)} to ${at(first.lot.end)}`;
  const where = machines.length === 0 ? "" : ` on ${sayNames(machines)}`;
  const alone = rule.alone ? ` ${sayDuration(met.reduce((sum, one) => sum + one.alone, 0))} of it with nobody on site.` : "";
  return `${sayNames(more)}${where}${when}.${alone}`;
}
