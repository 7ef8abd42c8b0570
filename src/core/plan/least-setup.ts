/**
 * The least setups that some work could find on its machines, and when: after what stands there now, after frozen work, or after work that
 * leaves another family, which is over no earlier than its own dates, the work it follows and its minutes allow. Promises bounds, not
 * plans: calendars, people and all that else may be in the way of that other work are left out, as are setups of its own.
 */
import type { Minute } from "../calendar/minute.ts";
import { ceilDivide } from "../ground/rounding.ts";
import { hasBegun, type Mode, type Operation, type OperationId, piecesBegun, workMinutes } from "../orders/operation.ts";
import type { MachineId } from "../plant/machine.ts";
import { type Family, setupMinutes } from "../plant/setup.ts";
import type { PlannedOperation } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { FAR } from "../solve/decode/model.ts";

export type LeastSetup = {
  readonly minutes: Minute;
  /** Work that needs no more setup than that begins no earlier, and is over by then: frozen work comes next. */
  readonly from: Minute;
  readonly until: Minute;
};

/** For work of that operation in that mode, by time; where more setup is needed later the stretches end, where less is needed they overlap. */
export type LeastSetups = (operation: Operation, mode: Mode) => readonly LeastSetup[];

/** `unbound`: work of which nothing is known, because it has begun or breaks a rule as it lies. */
export function leastSetups(
  problem: Problem,
  frozen: readonly PlannedOperation[],
  unbound: (operation: Operation) => boolean,
): LeastSetups {
  const left = familiesLeft(problem, frozen, unbound);
  return ({ id: own, split }, mode) => {
    const machines = mode.machines.flatMap((id, i): (readonly LeastSetup[])[] => {
      const family = mode.families[i] ?? null;
      const rule = problem.machines.find((machine) => machine.id === id)?.setup;
      if (family === null || rule === undefined || rule.kind === "none") return [];
      // a lot is not its own forerunner
      const others = (left.get(id) ?? []).filter(({ by }) => by !== own || (split?.lots ?? 1) > 1);
      const first = new Map<string, Left>();
      for (const one of others) {
        const key = `${typeof one.family} ${one.family} ${one.until}`;
        if (one.from < (first.get(key)?.from ?? Infinity)) first.set(key, one);
      }
      return [[...first.values()].map((one) => ({ ...one, minutes: setupMinutes(rule, one.family, family) }))];
    });
    const all = machines.flat();
    const inOrder = (minutes: readonly Minute[]): readonly Minute[] => [...new Set(minutes)].sort((a, b) => a - b);
    const ends = inOrder([...all.map(({ until }) => until), FAR]);
    const found: LeastSetup[] = [];
    for (const from of inOrder([-FAR, ...all.flatMap((one) => [one.from, one.until])])) {
      const least = machines.map((one) =>
        Math.min(...one.flatMap((setup) => (setup.from <= from && from < setup.until ? setup.minutes : []))),
      );
      const minutes = Math.max(0, ...least);
      const until = ends.find((end) => end > from) ?? FAR;
      const before = found.at(-1);
      const known = before !== undefined && before.until >= until && before.minutes <= minutes;
      if (Number.isFinite(minutes) && !known) found.push({ minutes, from, until });
    }
    return found;
  };
}

/** A family that a machine could stand in, by whom (null: it does today), from when and until when. */
type Left = Omit<LeastSetup, "minutes"> & { readonly family: Family | null; readonly by: OperationId | null };

function familiesLeft(
  problem: Problem,
  frozen: readonly PlannedOperation[],
  unbound: (operation: Operation) => boolean,
): ReadonlyMap<MachineId, readonly Left[]> {
  const all = new Map(problem.machines.map(({ id }) => [id, standingFamilies(problem, frozen, id)]));
  const isFrozen = new Set(frozen.map(({ operation }) => operation));
  const firstEnd = leastEnds(problem, unbound);
  for (const operation of problem.operations) {
    if (piecesBegun(operation.progress) >= operation.pieces || isFrozen.has(operation.id)) continue;
    for (const mode of operation.modes) {
      const from = firstEnd(operation, mode);
      mode.machines.forEach((id, i) => {
        const family = mode.families[i] ?? null;
        if (family !== null) all.get(id)?.push({ family, by: operation.id, from, until: FAR });
      });
    }
  }
  return all;
}

/** What it stands in today, and what frozen work leaves, each until the next frozen work. */
function standingFamilies(problem: Problem, frozen: readonly PlannedOperation[], machine: MachineId): Left[] {
  const operations = new Map(problem.operations.map((operation) => [operation.id, operation]));
  const found: Left[] = [{ family: standsIn(problem, machine), by: null, from: -FAR, until: FAR }];
  const lots = frozen.flatMap(({ operation, lots: own }) =>
    own.flatMap((lot) => {
      const mode = operations.get(operation)?.modes.find(({ id }) => id === lot.mode);
      const family = mode?.families[mode.machines.indexOf(machine)] ?? null;
      return family === null ? [] : [{ family, by: operation, start: lot.start, end: lot.end }];
    }),
  );
  for (const { family, by, start, end } of lots.toSorted((a, b) => a.start - b.start)) {
    const before = found.pop();
    if (before !== undefined) found.push({ ...before, until: start });
    found.push({ family, by, from: end, until: FAR });
  }
  return found;
}

/** What the latest work that has begun on it has left, or what it stood in at the origin. */
function standsIn(problem: Problem, machine: MachineId): Family | null {
  let latest = -FAR;
  let standing = problem.machines.find(({ id }) => id === machine)?.family ?? null;
  for (const { modes, progress } of problem.operations)
    for (const lot of [...progress.done, ...progress.running]) {
      const mode = modes.find(({ id }) => id === lot.mode);
      const family = mode?.families[mode.machines.indexOf(machine)] ?? null;
      if (family === null || lot.start < latest) continue;
      latest = lot.start;
      standing = family;
    }
  return standing;
}

/** Before which minute no first lot of it, the smallest it may be cut into, ends in that mode. */
function leastEnds(problem: Problem, unbound: (operation: Operation) => boolean): (operation: Operation, mode: Mode) => Minute {
  const release = new Map(problem.orders.map((order) => [order.id, order.release]));
  const operations = new Map(problem.operations.map((operation) => [operation.id, operation]));
  const complete = new Map<OperationId, Minute>();
  const isFree = (operation: Operation): boolean => !unbound(operation) && !hasBegun(operation.progress);
  const behind = new Map<OperationId, { readonly from: OperationId; readonly minLag: Minute }[]>();
  for (const link of problem.links) if (link.kind === "lag") behind.set(link.to, [...(behind.get(link.to) ?? []), link]);
  const floorOf = (operation: Operation): Minute =>
    (behind.get(operation.id) ?? []).reduce(
      (floor, { from, minLag }) => Math.max(floor, completion(from) + minLag),
      release.get(operation.order) ?? -FAR,
    );
  const endOf = (operation: Operation, mode: Mode, pieces: number): Minute => {
    const minutes = (prepare: boolean): Minute =>
      mode.phases.reduce((sum, { kind, work }) => sum + (prepare || kind !== "prepare" ? workMinutes(work, pieces) : 0), 0);
    const begin = Math.max(problem.now, operation.window.start ?? -FAR);
    return Math.max(begin + minutes(true), floorOf(operation) + minutes(!operation.prepareEarly));
  };
  function completion(id: OperationId): Minute {
    const known = complete.get(id);
    if (known !== undefined) return known;
    complete.set(id, -FAR);
    const operation = operations.get(id);
    if (operation === undefined || !isFree(operation)) return -FAR;
    const pieces = ceilDivide(operation.pieces, operation.split?.lots ?? 1);
    const end = Math.min(...operation.modes.map((mode) => endOf(operation, mode, pieces)));
    complete.set(id, end);
    return end;
  }
  return (operation, mode) =>
    isFree(operation) ? endOf(operation, mode, Math.min(operation.pieces, operation.split?.minPieces ?? operation.pieces)) : -FAR;
}
