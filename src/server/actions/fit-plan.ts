/**
 * A stored plan fitted to the shop as it is now: what is done or gone leaves it, running work keeps only what is still to
 * come, a placement that no longer has a meaning (its mode or phases were edited away) is dropped and shows as not planned.
 * Moves nothing: what has become wrong stays and the checker says so. Pure.
 */
import { type Intervals, subtract } from "../../core/calendar/intervals.ts";
import type { Interval, Minute } from "../../core/calendar/minute.ts";
import type { Operation, RunningLot } from "../../core/orders/operation.ts";
import type { Plan, PlannedLot, PlannedOperation, PlannedPhase } from "../../core/problem/plan.ts";
import type { Problem } from "../../core/problem/problem.ts";
import { lotsAhead } from "./lots-ahead.ts";

export function fitPlan(problem: Problem, plan: Plan): Plan {
  const operations = new Map(problem.operations.map((operation) => [operation.id, operation]));
  return {
    operations: plan.operations.flatMap((planned) => {
      const operation = operations.get(planned.operation);
      const fitted = operation && fitOperation(operation, planned, problem.now);
      return fitted ? [fitted] : [];
    }),
  };
}

/** Why a lot has no meaning for its operation, or null when it has one (which may still be full of conflicts). */
export function lotWithoutMeaning(operation: Operation, lot: PlannedLot): string | null {
  const mode = operation.modes.find((m) => m.id === lot.mode);
  if (!mode) return `operation ${operation.id} has no mode "${lot.mode}"`;
  for (const { phase, crews } of lot.phases) {
    const wanted = mode.phases[phase];
    if (!wanted) return `mode ${lot.mode} of operation ${operation.id} has no phase ${phase}`;
    if (crews.length !== wanted.needs.length)
      return `phase ${phase} of operation ${operation.id} has ${wanted.needs.length} needs, not ${crews.length}`;
  }
  return null;
}

function fitOperation(operation: Operation, planned: PlannedOperation, now: Minute): PlannedOperation | null {
  const { done, running } = operation.progress;
  const left = operation.pieces - done.reduce((sum, lot) => sum + lot.pieces, 0);
  if (done.length > 0 && left <= 0) return null;
  if (planned.lots.length === 0 || planned.lots.some((lot) => lotWithoutMeaning(operation, lot) !== null)) return null;
  const ahead = lotsAhead(operation, planned.lots);
  const begun = running.flatMap((lot, i) => {
    const place = ahead.running[i];
    return place ? [place.mode === lot.mode ? stillToCome(place, lot, now) : place] : [];
  });
  return { operation: planned.operation, lots: [...begun, ...ahead.toBegin] };
}

/** The rest of a running lot. One that should have ended by now is shown as going on, without a rest, for what remains. */
function stillToCome(lot: PlannedLot, running: RunningLot, now: Minute): PlannedLot {
  const phases: PlannedPhase[] = lot.phases
    .filter((phase) => phase.phase >= running.phase)
    .map((phase) => ({
      ...phase,
      crews: phase.phase === running.phase && running.crews.length > 0 ? running.crews : phase.crews,
      work: clipped(phase.work, now),
    }))
    .filter((phase) => phase.work.length > 0);
  let end = lot.end;
  if (running.remaining > 0 && phases[0]?.phase !== running.phase) {
    phases.unshift({ phase: running.phase, work: [[now, now + running.remaining]], crews: running.crews });
    end = Math.max(end, now + running.remaining);
  }
  return { ...lot, start: running.start, end: Math.max(end, now), phases };
}

const clipped = (work: readonly Interval[], from: Minute): Interval[] =>
  work.flatMap(([start, end]): Interval[] => (end <= from ? [] : [[Math.max(start, from), end]]));

/** Minutes of `work` within [from, until). */
export const workedWithin = (work: readonly Interval[], from: Minute, until: Minute): number =>
  work.reduce((sum, [start, end]) => sum + Math.max(0, Math.min(end, until) - Math.max(start, from)), 0);

/**
 * Running work as reported at `reported`, carried on to `now` along its planned lot: between two reports the shop is taken
 * to work as published. Without such a lot it stands as reported, and so does work that was reported as standing still in the
 * middle of a published stretch: somebody has to say when it goes on. Never ends by itself: with nothing left to do it waits.
 * `stands`: minutes in which a machine of it stands still whatever was published.
 */
export function carriedOn(
  running: RunningLot,
  reported: Minute,
  now: Minute,
  lot: PlannedLot | null,
  stands: Intervals = [],
): RunningLot {
  if (now <= reported || !lot || lot.mode !== running.mode) return running;
  const current = lot.phases.find(({ phase }) => phase === running.phase);
  if (!running.working && current?.work.some(([start, end]) => start < reported && reported < end)) return running;
  let state = running;
  let from = reported;
  for (const phase of lot.phases.filter((p) => p.phase >= running.phase)) {
    const work = subtract(phase.work, stands);
    const first = work[0]?.[0] ?? now;
    if (phase.phase !== state.phase) {
      if (state.remaining > 0 || first >= now) break;
      state = {
        ...state,
        phase: phase.phase,
        crews: phase.crews,
        remaining: workedWithin(phase.work, Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY),
      };
      from = Number.NEGATIVE_INFINITY;
    }
    const remaining = Math.max(0, state.remaining - workedWithin(work, from, now));
    state = { ...state, remaining, working: remaining > 0 && work.some(([start, end]) => start <= now && now < end) };
  }
  return state;
}
