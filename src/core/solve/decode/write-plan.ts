/** The placed lots as a plan: every stretch and every crew written out, operations in the order of the problem. */
import { present } from "../../ground/invariant.ts";
import type { Plan, PlannedLot, PlannedOperation } from "../../problem/plan.ts";
import type { Placement } from "./placement.ts";
import type { State } from "./state.ts";

export function lotOf(state: State, p: Placement): PlannedLot {
  const { problem } = state.model;
  const op = state.model.ops[p.op]!;
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

export function writePlan(state: State): Plan {
  const operations: PlannedOperation[] = [];
  for (const op of state.model.ops) {
    const lots: Placement[] = [];
    for (const item of op.items) {
      const p = state.placed[item];
      if (p) lots.push(p);
    }
    if (lots.length === 0) continue;
    lots.sort((a, b) => Number(b.running) - Number(a.running) || a.start - b.start || a.item - b.item);
    operations.push({ operation: op.id, lots: lots.map((p) => lotOf(state, p)) });
  }
  return { operations };
}
