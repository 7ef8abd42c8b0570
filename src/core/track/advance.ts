/**
 * The shop some time later, as if everything had gone by plan: lots that have ended are done, lots that have begun are
 * running with what is left of their current phase, the rest is free. For the demo, for simulations, and for a shop
 * that reports only what went otherwise. Pure; O(size of the plan).
 * Does not invent deviations.
 */

import { totalMinutes } from "../calendar/intervals.ts";
import type { Minute } from "../calendar/minute.ts";
import { invariant } from "../ground/invariant.ts";
import type { DoneLot, Operation, Progress, RunningLot } from "../orders/operation.ts";
import type { Plan, PlannedLot } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";

/** Progress of one operation at `now` when its lots went as planned from what was known before. */
export function progressAt(operation: Operation, lots: readonly PlannedLot[], now: Minute): Progress {
  const done: DoneLot[] = [...operation.progress.done];
  const running: RunningLot[] = [];
  lots.forEach((lot, i) => {
    if (lot.start >= now) return;
    if (lot.end <= now) done.push({ mode: lot.mode, pieces: lot.pieces, start: lot.start, end: lot.end });
    else running.push(runningAt(operation, lot, operation.progress.running[i] ?? null, now));
  });
  return { done, running };
}

function runningAt(operation: Operation, lot: PlannedLot, known: RunningLot | null, now: Minute): RunningLot {
  const begun = lot.phases.filter((phase) => (phase.work[0]?.[0] ?? now) < now);
  const current = begun.at(-1);
  if (current === undefined) {
    // Nothing was worked since the last report: a part that waits to be unloaded still waits.
    invariant(known !== null, `${operation.id} has begun but no phase of it has`);
    return known;
  }
  const next = lot.phases[begun.length];
  if (next !== undefined && next.crews.length === 0 && next.work[0]?.[0] === now && current.work.at(-1)?.[1] === now) {
    // What needs nobody goes on by itself just now, where the phase before it ended: later nobody may be there to start it.
    return {
      mode: lot.mode,
      pieces: lot.pieces,
      start: lot.start,
      phase: next.phase,
      crews: [],
      remaining: totalMinutes(next.work),
      working: true,
    };
  }
  const left = current.work.reduce((sum, [start, end]) => sum + Math.max(0, end - Math.max(start, now)), 0);
  const working = current.work.some(([start, end]) => start < now && now < end);
  return {
    mode: lot.mode,
    pieces: lot.pieces,
    start: lot.start,
    phase: current.phase,
    crews: current.crews,
    remaining: left,
    working,
  };
}

/** The problem at a later `now`, after the plan was followed to the minute. */
export function advance(problem: Problem, plan: Plan, now: Minute): Problem {
  invariant(now >= problem.now, `cannot go back from ${problem.now} to ${now}`);
  const lotsOf = new Map(plan.operations.map((planned) => [planned.operation, planned.lots]));
  return {
    ...problem,
    now,
    operations: problem.operations.map((operation) => {
      const lots = lotsOf.get(operation.id);
      return lots === undefined ? operation : { ...operation, progress: progressAt(operation, lots, now) };
    }),
    runHourRules: problem.runHourRules.map((rule) => ({ ...rule, counter: counterAt(problem, plan, rule, now) })),
  };
}

/** Run minutes counted at `now`: what ran since the last such maintenance ended, or since the old count. */
function counterAt(problem: Problem, plan: Plan, rule: Problem["runHourRules"][number], now: Minute): Minute {
  const operations = new Map(problem.operations.map((operation) => [operation.id, operation]));
  let lastReset: Minute | null = null;
  for (const planned of plan.operations) {
    if (!rule.operations.includes(planned.operation)) continue;
    const end = Math.max(...planned.lots.map((lot) => lot.end));
    if (end <= now) lastReset = Math.max(lastReset ?? end, end);
  }
  let ran = 0;
  for (const planned of plan.operations) {
    const operation = operations.get(planned.operation);
    for (const lot of planned.lots) {
      const mode = operation?.modes.find((m) => m.id === lot.mode);
      if (!mode?.machines.includes(rule.machine)) continue;
      for (const phase of lot.phases) {
        if (mode.phases[phase.phase]?.kind !== "run") continue;
        const from = lastReset ?? problem.now;
        ran += totalMinutes(
          phase.work.map(([start, end]) => [Math.max(start, from), Math.min(end, now)] as const).filter(([a, b]) => a < b),
        );
      }
    }
  }
  return (lastReset === null ? rule.counter : 0) + ran;
}
