/**
 * The placed lots as a plan: every stretch and every crew written out, operations in the order of the problem. A placement never
 * changes, so it is written once: two plans share what lies alike, as the same objects.
 */
import { present } from "../../ground/invariant.ts";
import type { Plan, PlannedLot, PlannedOperation } from "../../problem/plan.ts";
import type { Model } from "./model.ts";
import type { Placement } from "./placement.ts";
import type { State } from "./state.ts";

export const lotOf = ({ model }: State, p: Placement): PlannedLot => lotOfModel(model, p);

function lotOfModel(model: Model, p: Placement): PlannedLot {
  p.written ??= writeLot(model, p);
  return p.written;
}

function writeLot({ ops, problem }: Model, p: Placement): PlannedLot {
  const op = ops[p.op]!;
  return {
    mode: present(op.source.modes[p.mode.index - op.modes[0]!.index], "mode").id,
    pieces: p.pieces,
    start: p.start,
    end: p.end,
    phases: p.phases.map((placed) => ({
      phase: p.mode.phases.indexOf(placed.phase),
      work: pairs(placed.stretches),
      crews: placed.choice.crewOfNeed.map((crew) => problem.crews[crew]!.id),
    })),
  };
}

function pairs(stretches: readonly number[]): (readonly [number, number])[] {
  const out: (readonly [number, number])[] = [];
  for (let i = 0; i < stretches.length; i += 2) out.push([stretches[i]!, stretches[i + 1]!]);
  return out;
}

export const writePlan = ({ model, placed }: State): Plan => writePlacements(model, placed);

/** `placed`: for each lot row of the model its placement, or null. */
export function writePlacements(model: Model, placed: readonly (Placement | null)[]): Plan {
  const operations: PlannedOperation[] = [];
  for (const op of model.ops) {
    const lots: Placement[] = [];
    for (const item of op.items) {
      const p = placed[item];
      if (p) lots.push(p);
    }
    if (lots.length === 0) continue;
    if (lots.length > 1) lots.sort((a, b) => Number(b.running) - Number(a.running) || a.start - b.start || a.item - b.item);
    operations.push({ operation: op.id, lots: lots.map((p) => lotOfModel(model, p)) });
  }
  return { operations };
}
