/**
 * Running lots with the least they must take, whatever else is planned: the current phase as its flow makes it from now on,
 * then the later phases without a wait. Holds machines and kits that long; crews and supplies only for the current phase.
 * For frozen.ts, which must know what is impossible for certain. A batch is taken as it runs, not cut.
 */
import type { Intervals } from "../calendar/intervals.ts";
import type { Interval, Minute } from "../calendar/minute.ts";
import type { RunningLot } from "../orders/operation.ts";
import type { PlannedLot, PlannedOperation } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { isUnattended, lookUp } from "./look-up.ts";
import type { Lot, PhaseOfLot } from "./lots.ts";
import { pieceEnds } from "./pieces.ts";
import { type Scene, sceneOf } from "./scene.ts";
import { firstFit, workableWithin } from "./workable.ts";

export function runningWork(problem: Problem): PlannedOperation[] {
  const stubs = problem.operations.flatMap(({ id, progress: { running } }): PlannedOperation[] => {
    if (running.length === 0) return [];
    const lots = running.map(({ mode, pieces, start, phase, crews }): PlannedLot => {
      return { mode, pieces, start, end: problem.now, phases: [{ phase, work: [], crews }] };
    });
    return [{ operation: id, lots }];
  });
  const { scene } = sceneOf(problem, { operations: stubs }, []);
  return stubs.map(({ operation, lots }): PlannedOperation => {
    const running = scene.lots.ofOperation(operation).filter((lot) => lot.running !== null);
    return {
      operation,
      lots: lots.flatMap((stub, i) => {
        const lot = running[i];
        return lot === undefined ? [] : [leastLot(scene, lot, stub)];
      }),
    };
  });
}

function leastLot(scene: Scene, lot: Lot, stub: PlannedLot): PlannedLot {
  const current = lot.phases.find((candidate) => candidate.current);
  if (current === undefined || lot.running === null) return stub;
  const ends = current.phase.flow === "piecewise" ? pieceEnds(scene, current) : [lot.running.remaining];
  const work = goOn(scene.problem, current, lot.running, ends);
  const later = lot.phases.filter((phase) => phase !== current).reduce((sum, { ownMinutes }) => sum + ownMinutes, 0);
  return {
    ...stub,
    end: (work.at(-1)?.[1] ?? scene.problem.now) + later,
    phases: [{ phase: current.index, work, crews: lot.running.crews }],
  };
}

/** The worked minutes of the current phase as its flow makes them; what the calendars leave no room for is left out. */
function goOn(problem: Problem, current: PhaseOfLot, running: RunningLot, ends: readonly Minute[]): Intervals {
  const { now, horizon } = problem;
  const look = lookUp(problem);
  if (running.remaining === 0) return [];
  if (current.phase.flow === "solid") return [[now, now + running.remaining]];
  const handedOnNow = running.working || !isUnattended(current.mode, current.phase.needs);
  const work: [Minute, Minute][] = [];
  const add = (start: Minute, end: Minute): void => {
    const last = work.at(-1);
    if (last !== undefined && last[1] === start) last[1] = end;
    else work.push([start, end]);
  };
  let at = now;
  if (current.phase.flow === "piecewise") {
    let before = 0;
    for (const after of ends) {
      const length = after - before;
      const handedOn = at > now || handedOnNow ? at : null;
      const fit = firstFit(look, current, { from: at, until: horizon, length, handedOn });
      if (fit === null) break;
      add(fit, fit + length);
      at = fit + length;
      before = after;
    }
    return work;
  }
  let left = running.remaining;
  while (left > 0) {
    const fit = firstFit(look, current, { from: at, until: horizon, length: 1, handedOn: at > now || handedOnNow ? at : null });
    if (fit === null) break;
    const [, end] = workableWithin(look, current, fit, horizon)[0] as Interval;
    const worked = Math.min(left, end - fit);
    add(fit, fit + worked);
    left -= worked;
    at = fit + worked;
  }
  return work;
}
