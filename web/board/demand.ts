/**
 * The strip under the board: how much of something is needed and how much there is, minute by minute.
 * Hands of all crews together, one crew, one supply or one kit. Excess shown here is what the conflict list says, not a second opinion:
 * with several crews together the sum may fit though one crew is short, so the stretches come from the list. Pure.
 */
import type { Intervals } from "../../src/core/calendar/intervals.ts";
import { normalise } from "../../src/core/calendar/intervals.ts";
import type { Interval } from "../../src/core/calendar/minute.ts";
import { type StepFunction, sumOfSteps } from "../../src/core/calendar/step-function.ts";
import type { OperationId } from "../../src/core/orders/operation.ts";
import type { PlannedOperation } from "../../src/core/problem/plan.ts";
import type { BoardModel } from "./board-model.ts";

export type StripChoice =
  | { readonly kind: "hands" }
  | { readonly kind: "crew"; readonly id: string }
  | { readonly kind: "supply"; readonly id: string }
  | { readonly kind: "kit"; readonly id: string };

export type StripProfile = {
  readonly choice: StripChoice;
  readonly title: string;
  readonly notes: readonly string[];
  readonly need: StepFunction;
  readonly have: StepFunction;
  /** Stretches of conflicts, with their number in the list and the amount missing. */
  readonly short: readonly { readonly interval: Interval; readonly number: number; readonly amount: number }[];
  /** What one unit is divided by for print (100 for people). */
  readonly scale: number;
  readonly unit: string;
};

export const choiceKey = (choice: StripChoice): string => (choice.kind === "hands" ? "hands" : `${choice.kind}:${choice.id}`);

type Piece = { readonly interval: Interval; readonly amount: number };

export function needOf(model: BoardModel, choice: StripChoice): StepFunction {
  const pieces: Piece[] = [];
  for (const planned of model.planned.values()) collect(model, planned, choice, pieces);
  return sumOfSteps(pieces);
}

function collect(model: BoardModel, planned: PlannedOperation, choice: StripChoice, pieces: Piece[]): void {
  const operation = model.shop.operation.get(planned.operation as OperationId);
  if (!operation) return;
  for (const lot of planned.lots) {
    const mode = operation.modes.find(({ id }) => id === lot.mode);
    if (!mode) continue;
    if (choice.kind === "kit") {
      for (const hold of operation.kits) {
        if (hold.kit === choice.id) pieces.push({ interval: [lot.start, lot.end], amount: hold.count });
      }
      continue;
    }
    for (const { phase, work, crews } of lot.phases) {
      const defined = mode.phases[phase];
      if (!defined) continue;
      let amount = 0;
      if (choice.kind === "supply") {
        for (const draw of defined.draws) if (draw.supply === choice.id) amount += draw.amount;
      } else {
        defined.needs.forEach((need, i) => {
          if (choice.kind === "hands" || crews[i] === choice.id) amount += need.amount;
        });
      }
      if (amount > 0) for (const interval of work) pieces.push({ interval, amount });
    }
  }
}

export function haveOf(model: BoardModel, choice: StripChoice): StepFunction {
  const { crews, supplies, kits } = model.shop.problem;
  const none: StepFunction = { at: [], value: [] };
  switch (choice.kind) {
    case "hands":
      return addSteps(crews.map(({ headcount }) => headcount));
    case "crew":
      return crews.find(({ id }) => id === choice.id)?.headcount ?? none;
    case "supply":
      return supplies.find(({ id }) => id === choice.id)?.amount ?? none;
    case "kit":
      return kits.find(({ id }) => id === choice.id)?.count ?? none;
  }
}

export function addSteps(list: readonly StepFunction[]): StepFunction {
  const pieces: Piece[] = [];
  for (const { at, value } of list) {
    for (let i = 0; i + 1 < at.length; i++)
      pieces.push({ interval: [at[i] as number, at[i + 1] as number], amount: value[i] as number });
  }
  return sumOfSteps(pieces);
}

/** Conflicts of people or amounts that the chosen strip shows. */
export function shortages(model: BoardModel, choice: StripChoice): StripProfile["short"] {
  return model.conflicts.placed.flatMap(({ number, conflict }) => {
    const { kind, resource, interval, amount } = conflict;
    const mine =
      choice.kind === "hands"
        ? kind === "crewShort"
        : choice.kind === "crew"
          ? kind === "crewShort" && resource === choice.id
          : choice.kind === "supply"
            ? kind === "supplyShort" && resource === choice.id
            : kind === "kitShort" && resource === choice.id;
    return mine ? [{ interval, number, amount }] : [];
  });
}

export const shortStretches = (short: StripProfile["short"]): Intervals => normalise(short.map(({ interval }) => interval));
