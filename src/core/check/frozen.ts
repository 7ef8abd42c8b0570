/**
 * Frozen work: published work that has not begun and whose published start lies before the freeze time keeps mode, lots,
 * intervals and crews. Only what has become impossible is freed, with the conflict as the reason: in order of published
 * start, then id, that which in its place has a conflict of its own, or with done or running work or frozen work kept so
 * far, or follows freed work by a link (the planning problem, section 4).
 * Running work stands with the least it must take (running-work.ts), so what is freed is impossible for certain.
 * Remembered by problem object. Two checks of the frozen and begun work when all is kept or wrong by itself, else a few
 * (at the most log(frozen)) for each operation that is freed because of other work.
 */
import type { Minute } from "../calendar/minute.ts";
import { present } from "../ground/invariant.ts";
import type { Operation, OperationId, RunningLot } from "../orders/operation.ts";
import type { PlannedOperation } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import type { Conflict, ConflictKind } from "./conflict.ts";
import { lookUp } from "./look-up.ts";
import { isBegun } from "./lots.ts";
import { conflictsOf } from "./rules.ts";
import { runningWork } from "./running-work.ts";
import { sceneOf } from "./scene.ts";

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

function judge(whole: Problem): FrozenWork {
  const frozen = candidates(whole);
  if (frozen.length === 0) return { kept: [], freed: [] };
  const problem = onlyWhatMatters(whole, new Set(frozen.map(({ operation }) => operation)));
  const running = runningWork(problem);
  const followed = followedBy(problem);
  const freed = new Map<OperationId, Freed["because"]>();

  /** Frees what follows freed work that comes before it in the order; the rest of the list is left. */
  const withoutFreed = (list: readonly PlannedOperation[]): PlannedOperation[] => {
    const before = new Set<OperationId>();
    for (const { operation } of frozen) {
      const first = (followed.get(operation) ?? []).find((id) => before.has(id));
      if (first !== undefined && !freed.has(operation)) freed.set(operation, { followed: first });
      if (freed.has(operation)) before.add(operation);
    }
    return list.filter(({ operation }) => !freed.has(operation));
  };

  for (const [operation, because] of wrongInAnyCompany(problem, running, frozen)) freed.set(operation, because);
  const kept: PlannedOperation[] = [];
  let left = withoutFreed(frozen);
  while (left.length > 0) {
    const clean = longestClean(problem, running, kept, left);
    kept.push(...left.slice(0, clean.count));
    const next = left[clean.count];
    if (next === undefined) break;
    freed.set(next.operation, present(clean.because, `what is wrong with ${next.operation}`));
    left = withoutFreed(left.slice(clean.count + 1));
  }
  const inOrder = frozen.flatMap(({ operation }): Freed[] => {
    const because = freed.get(operation);
    return because === undefined ? [] : [{ operation, because }];
  });
  return { kept, freed: inOrder };
}

/** The part of the problem that frozen work can be in conflict with: itself and work that has begun. */
function onlyWhatMatters(problem: Problem, frozen: ReadonlySet<OperationId>): Problem {
  const operations = problem.operations.filter((operation) => frozen.has(operation.id) || isBegun(operation));
  const ids = new Set(operations.map(({ id }) => id));
  const between = <T extends { readonly from: OperationId; readonly to: OperationId }>(list: readonly T[]): T[] =>
    list.filter(({ from, to }) => ids.has(from) && ids.has(to));
  return { ...problem, operations, links: between(problem.links), kitSpans: between(problem.kitSpans), runHourRules: [] };
}

/** Conflicts that an operation has whatever else is kept: they do not look at other work. */
const OWN_KINDS: ReadonlySet<ConflictKind> = new Set<ConflictKind>([
  ...([
    "machineClosed",
    "nobodyThere",
    "unattendedNotAllowed",
    "unattendedTooLong",
    "phaseOrder",
    "phaseWait",
    "flowBroken",
  ] as const),
  ...([
    "restedThoughWorkable",
    "crewNotOffered",
    "modeNotOffered",
    "lotsWrong",
    "beforeRelease",
    "beforeNow",
    "pastHorizon",
  ] as const),
  ...(["outsideWindow", "pinMoved"] as const),
]);

/** Found in one check of all, so that a day without a crew does not cost a check for each of its operations. */
function wrongInAnyCompany(
  problem: Problem,
  running: readonly PlannedOperation[],
  frozen: readonly PlannedOperation[],
): ReadonlyMap<OperationId, Conflict> {
  const out = new Map<OperationId, Conflict>();
  const ids = new Set(frozen.map(({ operation }) => operation));
  for (const conflict of conflictsOf(sceneOf(problem, { operations: [...running, ...frozen] }, []))) {
    const operation = conflict.operations[0];
    if (operation === undefined || !ids.has(operation) || out.has(operation) || !OWN_KINDS.has(conflict.kind)) continue;
    out.set(operation, conflict);
  }
  return out;
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
  const wrongWith = (count: number): readonly Conflict[] =>
    certainConflicts(problem, running, [...kept, ...list.slice(0, count)]);
  const all = wrongWith(list.length);
  if (all.length === 0) return { count: list.length, because: null };
  const place = new Map(list.map(({ operation }, i) => [operation, i]));
  const lastOf = ({ operations }: Conflict): number => operations.reduce((last, id) => Math.max(last, place.get(id) ?? 0), 0);
  let clean = 0;
  let broken = list.length;
  let because = all[0] ?? null;
  const look = (count: number): void => {
    if (count <= clean || count >= broken) return;
    const found = wrongWith(count)[0];
    if (found === undefined) clean = count;
    else {
      broken = count;
      because = found;
    }
  };
  // Most often the conflict whose last operation comes first tells where it breaks; halving finds it in any case.
  const guess = all.reduce((least, conflict) => Math.min(least, lastOf(conflict)), list.length);
  look(guess);
  look(guess + 1);
  while (broken - clean > 1) look((clean + broken) >>> 1);
  return { count: clean, because };
}

/**
 * The conflicts that name frozen work and are certain. Of running work only the least is known, so a longest lag after it,
 * or pieces that it has not begun to work, prove nothing.
 */
function certainConflicts(
  problem: Problem,
  running: readonly PlannedOperation[],
  frozen: readonly PlannedOperation[],
): readonly Conflict[] {
  const ids = new Set(frozen.map(({ operation }) => operation));
  const { operations } = lookUp(problem);
  const links = new Map(problem.links.map((link) => [String(link.id), link]));
  return conflictsOf(sceneOf(problem, { operations: [...running, ...frozen] }, [])).filter((conflict) => {
    if (!conflict.operations.some((id) => ids.has(id))) return false;
    const from = operations.get(links.get(conflict.resource ?? "")?.from ?? "");
    if (from === undefined || from.progress.running.length === 0) return true;
    const ahead = from.progress.running.some((running) => piecesAhead(from, running));
    return conflict.kind !== "lagLong" && !(conflict.kind === "transferEarly" && ahead);
  });
}

/** The phase of its pieces has not begun. */
function piecesAhead({ modes }: Operation, running: RunningLot): boolean {
  const phases = modes.find(({ id }) => id === running.mode)?.phases ?? [];
  return phases.findIndex(({ work }) => work.kind === "perPiece") > running.phase;
}
