/**
 * Reference cost: each part of the planning problem's section 6, counted minute by minute from its text alone.
 * For tiny problems without conflicts that concern setups (a plan with the right phases).
 */

import { COST_PARTS, type CostPart } from "../../src/core/problem/objective.ts";
import type { Plan, PlannedLot } from "../../src/core/problem/plan.ts";
import type { Problem } from "../../src/core/problem/problem.ts";
import { minutesOf } from "./minutes.ts";

export function referenceCost(problem: Problem, plan: Plan): { parts: Record<CostPart, number>; total: number } {
  const { now } = problem;
  const parts = Object.fromEntries(COST_PARTS.map((p) => [p, 0])) as Record<CostPart, number>;
  const opOf = (id: string) => {
    const found = problem.operations.find((o) => o.id === id);
    if (!found) throw new Error(`no operation ${id}`);
    return found;
  };
  const lots = plan.operations.flatMap((p) =>
    p.lots.map((lot, i) => ({ op: opOf(p.operation), lot, running: i < opOf(p.operation).progress.running.length })),
  );

  // completion by order
  let latest = Number.NEGATIVE_INFINITY;
  let maxLate = Number.NEGATIVE_INFINITY;
  for (const order of problem.orders) {
    const ops = problem.operations.filter((o) => o.order === order.id);
    const ends = [
      ...ops.flatMap((o) => o.progress.done.map((d) => d.end)),
      ...lots.filter((l) => l.op.order === order.id).map((l) => l.lot.end),
    ];
    if (ends.length === 0) continue;
    const completion = Math.max(...ends);
    if (
      completion <= now &&
      !lots.some((l) => l.op.order === order.id && l.lot.end > now) &&
      ops.every((o) => o.progress.running.length === 0 && o.progress.done.reduce((s, d) => s + d.pieces, 0) >= o.pieces)
    )
      continue;
    latest = Math.max(latest, completion);
    parts.flow += order.weight * (completion - Math.max(order.release, 0));
    if (order.due !== null) {
      parts.tardiness += order.weight * Math.max(0, completion - order.due);
      maxLate = Math.max(maxLate, completion - order.due);
      if (completion > order.due) parts.lateOrders += order.weight;
    }
  }
  parts.makespan = Number.isFinite(latest) ? latest : 0;
  parts.maxLateness = Number.isFinite(maxLate) ? maxLate : 0;

  // waiting and unsocial, minute by minute from now on
  let unsocialHundredths = 0;
  for (const { op, lot } of lots) {
    const mode = op.modes.find((m) => m.id === lot.mode);
    if (!mode) continue;
    const worked = new Set(lot.phases.flatMap((p) => minutesOf(p.work)));
    for (let t = Math.max(lot.start, now); t < lot.end; t++) if (!worked.has(t)) parts.waiting += mode.machines.length;
    for (const planned of lot.phases) {
      const phase = mode.phases[planned.phase];
      phase?.needs.forEach((need, i) => {
        const crew = problem.crews.find((c) => c.id === planned.crews[i]);
        for (const t of minutesOf(planned.work))
          if (t >= now && crew?.unsocial.some(([a, b]) => a <= t && t < b)) unsocialHundredths += need.amount;
      });
    }
  }
  parts.unsocial = Number((BigInt(unsocialHundredths) + 99n) / 100n);

  // setup minutes: what a prepare works beyond its own minutes, in a plan whose prepares are right
  for (const { op, lot, running } of lots) {
    if (running) continue;
    const mode = op.modes.find((m) => m.id === lot.mode);
    mode?.phases.forEach((phase, index) => {
      if (phase.kind !== "prepare" || phase.work.kind !== "fixed") return;
      const worked = minutesOf(lot.phases.find((p) => p.phase === index)?.work ?? []).length;
      parts.setup += worked - phase.work.minutes;
    });
  }

  // disturbance
  const crewsOf = (lot: PlannedLot): Set<string> => new Set(lot.phases.flatMap((p) => p.crews));
  for (const old of problem.published?.operations ?? []) {
    const op = opOf(old.operation);
    if (op.progress.running.length > 0 || op.progress.done.length > 0) continue;
    const fresh = plan.operations.find((p) => p.operation === old.operation)?.lots ?? [];
    const firstStart = old.lots[0]?.start ?? 0;
    const nearness = firstStart < now + 1440 ? 4 : firstStart < now + 7200 ? 2 : 1;
    for (let i = 0; i < Math.max(old.lots.length, fresh.length); i++) {
      const a = old.lots[i];
      const b = fresh[i];
      if (!a || !b) {
        parts.disturbance += nearness * 480;
        continue;
      }
      const near = a.start < now + 1440 ? 4 : a.start < now + 7200 ? 2 : 1;
      const setA = [...(op.modes.find((m) => m.id === a.mode)?.machines ?? [])].sort().join("\n");
      const setB = [...(op.modes.find((m) => m.id === b.mode)?.machines ?? [])].sort().join("\n");
      const told = [...crewsOf(b)].filter((c) => !crewsOf(a).has(c)).length;
      parts.disturbance += near * (Math.min(Math.abs(b.start - a.start), 10080) + (setA === setB ? 0 : 480) + 120 * told);
    }
  }
  const total = COST_PARTS.reduce((sum, part) => sum + parts[part] * problem.weights[part], 0);
  return { parts, total };
}
