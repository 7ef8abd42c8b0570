/**
 * What a plan draws from each supply and holds of each kit as steps in time, where it is more than is there, and who makes the
 * highest moments. Pure, in whole minutes, half-open; the shortages are those of the checker (capacity, the planning problem 3).
 */
import type { Interval, Minute } from "../../../src/core/calendar/minute.ts";
import { type StepFunction, sumOfSteps, valueAt } from "../../../src/core/calendar/step-function.ts";
import type { Operation } from "../../../src/core/orders/operation.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { modeOf } from "../../present/segments.ts";

export type Use = {
  readonly interval: Interval;
  readonly amount: number;
  readonly operation: Operation;
  readonly machine: string | null;
};

export type Profile = {
  readonly kind: "supply" | "kit";
  readonly id: string;
  readonly name: string;
  readonly unit: string;
  readonly there: StepFunction;
  readonly drawn: StepFunction;
  readonly uses: readonly Use[];
};

/** A stretch with one amount drawn and one there. */
export type Step = { readonly start: Minute; readonly end: Minute; readonly drawn: number; readonly there: number };

export function profilesOf(problem: Problem, plan: Plan): readonly Profile[] {
  const draws = new Map<string, Use[]>();
  const holds = new Map<string, Use[]>();
  const add = (to: Map<string, Use[]>, id: string, use: Use): void => void (to.get(id)?.push(use) ?? to.set(id, [use]));
  const operations = new Map(problem.operations.map((operation) => [operation.id, operation]));
  const lots = new Map(plan.operations.map((planned) => [planned.operation, planned.lots]));
  for (const { operation: id, lots: planned } of plan.operations) {
    const operation = operations.get(id);
    if (!operation) continue;
    for (const lot of planned) {
      const mode = modeOf(operation, lot.mode);
      const machine = mode?.machines[0] ?? null;
      for (const { phase, work } of lot.phases)
        for (const { supply, amount } of mode?.phases[phase]?.draws ?? [])
          for (const interval of work) add(draws, supply, { interval, amount, operation, machine });
      for (const { kit, count } of operation.kits)
        if (lot.start < lot.end) add(holds, kit, { interval: [lot.start, lot.end], amount: count, operation, machine });
    }
  }
  for (const span of problem.kitSpans) {
    const all = (id: string) => [...(operations.get(id)?.progress.done ?? []), ...(lots.get(id) ?? [])];
    const [from, to] = [all(span.from), all(span.to)];
    const operation = operations.get(span.from);
    if (from.length === 0 || to.length === 0 || !operation) continue;
    const interval: Interval = [Math.min(...from.map(({ start }) => start)), Math.max(...to.map(({ end }) => end))];
    const machine = modeOf(operation, from[0]?.mode ?? "")?.machines[0] ?? null;
    if (interval[0] < interval[1]) add(holds, span.kit, { interval, amount: span.count, operation, machine });
  }
  return [
    ...problem.supplies.map(({ id, name, unit, amount }) => profile("supply", { id, name, unit }, amount, draws.get(id) ?? [])),
    ...problem.kits.map(({ id, name, count }) => profile("kit", { id, name, unit: "" }, count, holds.get(id) ?? [])),
  ];
}

const profile = (
  kind: Profile["kind"],
  what: { readonly id: string; readonly name: string; readonly unit: string },
  there: StepFunction,
  uses: readonly Use[],
): Profile => ({ kind, ...what, there, drawn: sumOfSteps(uses), uses });

/** The profile cut into steps inside [start, end). */
export function stepsOf({ there, drawn }: Profile, start: Minute, end: Minute): readonly Step[] {
  const inside = [...there.at, ...drawn.at].filter((minute) => minute > start && minute < end);
  const moments = [start, ...new Set(inside.sort((a, b) => a - b)), end];
  const steps: Step[] = [];
  for (let i = 0; i + 1 < moments.length; i++) {
    const [from, until] = [moments[i] as Minute, moments[i + 1] as Minute];
    const step = { start: from, end: until, drawn: valueAt(drawn, from), there: valueAt(there, from) };
    const last = steps.at(-1);
    if (last && last.drawn === step.drawn && last.there === step.there) steps[steps.length - 1] = { ...last, end: until };
    else steps.push(step);
  }
  return steps;
}

/** Unbroken stretches in which more is drawn than is there, from now on; the largest shortage of each. */
export function shortagesOf(steps: readonly Step[], now: Minute): readonly { start: Minute; end: Minute; amount: number }[] {
  const list: { start: Minute; end: Minute; amount: number }[] = [];
  for (const { start, end, drawn, there } of steps) {
    if (drawn <= there || end <= now) continue;
    const last = list.at(-1);
    const from = Math.max(start, now);
    if (last?.end === from) list[list.length - 1] = { ...last, end, amount: Math.max(last.amount, drawn - there) };
    else list.push({ start: from, end, amount: drawn - there });
  }
  return list;
}

export type Peak = Step & {
  readonly makers: readonly { readonly operation: Operation; readonly machine: string | null; readonly amount: number }[];
};

/** The moments most worth a look: those nearest to or beyond what is there, each with who makes it, the largest share first. */
export function peaksOf({ uses }: Profile, steps: readonly Step[], most: number): readonly Peak[] {
  const share = ({ drawn, there }: Step): number => (there === 0 ? Number.POSITIVE_INFINITY : drawn / there);
  return steps
    .filter(({ drawn }) => drawn > 0)
    .toSorted((a, b) => share(b) - share(a) || b.drawn - a.drawn || a.start - b.start)
    .slice(0, most)
    .map((step) => {
      const makers = new Map<string, { operation: Operation; machine: string | null; amount: number }>();
      for (const { interval, amount, operation, machine } of uses) {
        if (interval[0] > step.start || interval[1] <= step.start) continue;
        makers.set(operation.id, { operation, machine, amount: (makers.get(operation.id)?.amount ?? 0) + amount });
      }
      return { ...step, makers: [...makers.values()].sort((a, b) => b.amount - a.amount) };
    });
}
