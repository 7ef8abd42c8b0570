/**
 * Frozen work: published work that has not begun and whose published start lies before the freeze time keeps mode, lots,
 * intervals and crews. Only what has become impossible is freed, with the conflict as the reason: in order of published
 * start, then id, that which in its place has a conflict of its own, or with done or running work or frozen work kept so
 * far, or follows freed work by a link (the planning problem, section 4).
 * Work that is running holds its machine and kits as long as it must at the least: its current phase goes on as its flow
 * makes it, the later ones follow without a wait. So what is freed is impossible for certain. Remembered by problem object.
 * Costs one check when all is kept, else about log(frozen) checks for each operation that is freed.
 */
import type { Intervals } from "../calendar/intervals.ts";
import type { Interval, Minute } from "../calendar/minute.ts";
import { present } from "../ground/invariant.ts";
import type { OperationId, RunningLot } from "../orders/operation.ts";
import type { PlannedLot, PlannedOperation } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import type { Conflict } from "./conflict.ts";
import { isUnattended, lookUp } from "./look-up.ts";
import { isBegun, type Lot, type PhaseOfLot } from "./lots.ts";
import { pieceEnds } from "./pieces.ts";
import { conflictsOf } from "./rules.ts";
import { type Scene, sceneOf } from "./scene.ts";
import { firstFit, workableWithin } from "./workable.ts";

export type Freed = { readonly operation: OperationId; readonly because: Conflict | { readonly followed: OperationId } };
export type FrozenWork = { readonly kept: readonly PlannedOperation[]; readonly freed: readonly Freed[] };

const known = new WeakMap<Problem, FrozenWork>();

export function frozenWork(problem: Problem): FrozenWork {
  let answer = known.get(problem);
  if (answer === undefined) {
    answer = judge(problem);
    known.set(problem, answer);
  }
  return answer;
}

function judge(problem: Problem): FrozenWork {
  const left = candidates(problem);
  if (left.length === 0) return { kept: [], freed: [] };
  const running = runningWork(problem);
  const kept: PlannedOperation[] = [];
  const freed: Freed[] = [];
  const freedIds = new Set<OperationId>();
  const followed = followedBy(problem);
  while (left.length > 0) {
    const after = left.findIndex(({ operation }) => (followed.get(operation) ?? []).some((id) => freedIds.has(id)));
    const range = after < 0 ? left.length : after;
    const clean = longestClean(problem, running, kept, left.slice(0, range));
    kept.push(...left.splice(0, clean.count));
    const next = left.shift();
    if (next === undefined) break;
    const because = clean.because ?? {
      followed: present(
        (followed.get(next.operation) ?? []).find((id) => freedIds.has(id)),
        "freed work before",
      ),
    };
    freed.push({ operation: next.operation, because });
    freedIds.add(next.operation);
  }
  return { kept, freed };
}

/** Published, not begun, with a published start before the freeze time; by that start, then id. */
function candidates(problem: Problem): PlannedOperation[] {
  const { freeze, published } = problem;
  if (freeze === null || published === null) return [];
  const { operations } = lookUp(problem);
  const startOf = ({ lots }: PlannedOperation): Minute =>
    lots.reduce((least, { start }) => Math.min(least, start), Number.POSITIVE_INFINITY);
  return published.operations
    .filter((planned) => {
      const operation = operations.get(planned.operation);
      return operation !== undefined && !isBegun(operation) && startOf(planned) < freeze;
    })
    .sort((a, b) => startOf(a) - startOf(b) || (a.operation < b.operation ? -1 : 1));
}

/** What each operation follows by a link that binds its time. */
function followedBy(problem: Problem): ReadonlyMap<OperationId, readonly OperationId[]> {
  const out = new Map<OperationId, OperationId[]>();
  for (const link of problem.links) {
    if (link.kind === "sameMachine") continue;
    out.set(link.to, [...(out.get(link.to) ?? []), link.from]);
  }
  return out;
}

/** How many of the list, from its first, stay beside what is kept without a conflict, and what is wrong with the next one. */
function longestClean(
  problem: Problem,
  running: readonly PlannedOperation[],
  kept: readonly PlannedOperation[],
  list: readonly PlannedOperation[],
): { readonly count: number; readonly because: Conflict | null } {
  const wrongWith = (count: number): Conflict | null =>
    firstWrong(problem, [...running, ...kept, ...list.slice(0, count)], [...kept, ...list.slice(0, count)]);
  if (list.length === 0) return { count: 0, because: null };
  let because = wrongWith(list.length);
  if (because === null) return { count: list.length, because: null };
  let clean = 0;
  let broken = list.length;
  while (broken - clean > 1) {
    const middle = (clean + broken) >>> 1;
    const found = wrongWith(middle);
    if (found === null) clean = middle;
    else {
      broken = middle;
      because = found;
    }
  }
  return { count: clean, because };
}

/**
 * The first conflict that names frozen work and is certain. Of running work only the least is known, so a longest lag after
 * it, or pieces that it has not begun to work, prove nothing.
 */
function firstWrong(
  problem: Problem,
  operations: readonly PlannedOperation[],
  candidates: readonly PlannedOperation[],
): Conflict | null {
  const ids = new Set(candidates.map(({ operation }) => operation));
  const { operations: known } = lookUp(problem);
  const uncertain = new Set(
    problem.links
      .filter(({ from }) => {
        const { modes, progress } = present(known.get(from), `operation ${from}`);
        const { running } = progress;
        const perPiece =
          modes.find(({ id }) => id === running?.mode)?.phases.findIndex(({ work }) => work.kind === "perPiece") ?? -1;
        return running !== null && perPiece > running.phase;
      })
      .map(({ id }) => id as string),
  );
  const follows = new Set(
    problem.links.filter(({ from }) => known.get(from)?.progress.running !== null).map(({ id }) => id as string),
  );
  const conflicts = conflictsOf(sceneOf(problem, { operations }, []));
  return (
    conflicts.find((conflict) => {
      if (!conflict.operations.some((id) => ids.has(id))) return false;
      if (conflict.kind === "lagLong") return !follows.has(conflict.resource ?? "");
      return !(conflict.kind === "transferEarly" && uncertain.has(conflict.resource ?? ""));
    }) ?? null
  );
}

/** Running lots as long as they must last at the least. */
function runningWork(problem: Problem): PlannedOperation[] {
  const stubs = problem.operations.flatMap(({ id, progress: { running } }): PlannedOperation[] => {
    if (running === null) return [];
    const { mode, pieces, start, phase, crews } = running;
    return [{ operation: id, lots: [{ mode, pieces, start, end: problem.now, phases: [{ phase, work: [], crews }] }] }];
  });
  const { scene } = sceneOf(problem, { operations: stubs }, []);
  return stubs.map(({ operation, lots: [stub] }): PlannedOperation => {
    const lot = scene.lots.ofOperation.get(operation)?.find(({ running }) => running !== null);
    return { operation, lots: lot === undefined || stub === undefined ? [] : [leastLot(scene, lot, stub)] };
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
