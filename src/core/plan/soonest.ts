/**
 * A minute before which an order cannot be complete, whatever gives way: its own work, and the work of others that it follows, alone
 * in the shop beside what runs and what is frozen. Promises that no plan which leaves those where they lie completes it sooner: others,
 * longest lags, transfers of pieces, kit spans, calibrations and services are left out, a setup is the least that any order of work could need, batches
 * are as small as they may be cut, running batches of others end at their first cut. Comes with the shop so thinned and a plan of the chain that decides, so that
 * the reasons can be asked of it. Cost: one opened plan, and one search for a place for each operation.
 */
import type { Minute } from "../calendar/minute.ts";
import { check } from "../check/checker.ts";
import type { ConflictKind } from "../check/conflict.ts";
import { frozenWork } from "../check/frozen.ts";
import { runningWork } from "../check/running-work.ts";
import { present } from "../ground/invariant.ts";
import { ceilDivide } from "../ground/rounding.ts";
import type { Link } from "../orders/link.ts";
import { hasBegun, type Mode, type Operation, type OperationId, workMinutes } from "../orders/operation.ts";
import { type Family, setupMinutes } from "../plant/setup.ts";
import type { Plan, PlannedOperation } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { type DenseOp, FAR, phaseMinutes } from "../solve/decode/model.ts";
import type { Placement } from "../solve/decode/placement.ts";
import type { State } from "../solve/decode/state.ts";
import { lotOf } from "../solve/decode/write-plan.ts";
import { firstCut } from "./first-cut.ts";
import { fitLot } from "./fit-around.ts";
import { type OpenPlan, openPlan } from "./open-plan.ts";
import type { Wanted } from "./wanted-order.ts";

export type Soonest = {
  /** No plan completes the order before it; null: none does within the horizon. */
  readonly finish: Minute | null;
  /** The shop without what may give way, with the chain of work that decides, each as early as it goes. */
  readonly alone: {
    readonly problem: Problem;
    readonly plan: Plan;
    /** From the last work back. */
    readonly chain: readonly OperationId[];
  };
};

const UNBOUND = { end: -FAR, after: null } as const;

type Early = {
  readonly end: Minute;
  /** What it waits for; null: nothing but its own dates, calendars and what is in its way. */
  readonly after: OperationId | null;
};

/** Conflicts with rules that the thinned shop does not have, and work that has no place yet. */
const WITHOUT_RULE: ReadonlySet<ConflictKind> = new Set<ConflictKind>([
  ...(["notPlanned", "afterDeadline", "maintenanceOverdue", "calibrationLapsed", "lagLong"] as const),
]);

/** `plan`: the plan in hand. Work that breaks a rule in it may go on breaking it, so it bounds nothing. */
export function soonest({ problem, order }: Pick<Wanted, "problem" | "order">, plan: Plan): Soonest {
  const broken = new Set(
    check(problem, plan).conflicts.flatMap(({ kind, operations }) => (WITHOUT_RULE.has(kind) ? [] : operations)),
  );
  const kept = new Map(frozenWork(problem).kept.map((planned) => [planned.operation, planned]));
  const concerned = concernedBy(problem, order.id);
  const isFixed = ({ id, progress }: Operation): boolean => kept.has(id) || hasBegun(progress);
  const shop = thinned(problem, concerned, isFixed);
  const standing: readonly PlannedOperation[] = [
    ...runningWork(shop).map((planned) => toTheEnd(shop, planned)),
    ...kept.values(),
  ];
  const free = new Set(shop.operations.filter((operation) => !isFixed(operation)).map(({ id }) => id));
  const open = openPlan(shop, { operations: standing }, free);
  const early = new Map<OperationId, Early>();
  const earliest = (id: OperationId): Early => {
    const known =
      early.get(id) ??
      (broken.has(id) ? UNBOUND : null) ??
      (free.has(id) ? alone(problem, open, id, earliest) : stands(problem, open, id));
    early.set(id, known);
    return known;
  };
  const own = problem.operations.filter((operation) => operation.order === order.id && open.model.opOfId.has(operation.id));
  const ends = own.map(({ id }) => ({ id, ...earliest(id) }));
  const last = ends.toSorted((a, b) => b.end - a.end)[0];
  const chain: OperationId[] = [];
  for (let id: OperationId | null = last?.id ?? null; id !== null && !chain.includes(id); id = early.get(id)?.after ?? null)
    chain.push(id);
  const inChain = new Set(chain);
  const without = shop.operations.filter(({ id }) => free.has(id) && !inChain.has(id)).map(({ id }) => id);
  const begun = new Map(standing.map((planned) => [planned.operation, planned.lots]));
  const lots = inOneRow(open, chain.toReversed()).map(
    ([id, lot]): PlannedOperation => ({ operation: id, lots: [...(begun.get(id) ?? []), lotOf(open.state, lot)] }),
  );
  const placed = new Set(lots.map(({ operation }) => operation));
  return {
    finish: last !== undefined && last.end >= FAR ? null : Math.max(problem.now, last?.end ?? problem.now),
    alone: {
      problem: leaving(shop, new Set(without)),
      plan: { operations: [...standing.filter(({ operation }) => !placed.has(operation)), ...lots] },
      chain,
    },
  };
}

/** The chain placed one after the other, each at its earliest behind the one before: what no lot holds yet. */
function inOneRow({ state, opOf }: OpenPlan, chain: readonly OperationId[]): readonly (readonly [OperationId, Placement])[] {
  return chain.flatMap((id): [OperationId, Placement][] => {
    const op = opOf(id);
    const item = freeItem(state, op);
    const lot = item === undefined ? null : fitLot(state, op, item, -FAR, null);
    if (lot === null) return [];
    state.insert(lot);
    return [[id, lot]];
  });
}

const freeItem = (state: State, op: DenseOp): number | undefined =>
  op.items.find((item) => state.model.items[item]?.running === null && !state.placed[item] && (state.pieces[item] ?? 0) > 0);

/** Where it lies by itself, after the earliest ends of what it follows. */
function alone(problem: Problem, { model, state, opOf }: OpenPlan, id: OperationId, earliest: (id: OperationId) => Early): Early {
  const op = opOf(id);
  let floor = -FAR;
  let after: OperationId | null = null;
  for (const link of problem.links) {
    if (link.to !== id || link.kind !== "lag" || !model.opOfId.has(link.from)) continue;
    const from = earliest(link.from).end + link.minLag;
    if (from > floor) [floor, after] = [from, link.from];
  }
  const item = freeItem(state, op);
  const lot = item === undefined || floor >= FAR ? null : fitLot(state, op, item, op.prepareEarly ? -FAR : floor, null);
  if (lot === null) return { end: FAR, after };
  const late = op.prepareEarly && floor > model.now ? floor + leastAfterPrepare(op) : -FAR;
  return { end: Math.max(lot.end, late), after };
}

/** Worked minutes that come after the preparing, in the mode that needs the fewest. */
const leastAfterPrepare = (op: DenseOp): number =>
  Math.min(
    ...op.modes.map(({ phases }) =>
      phases.reduce((sum, phase) => sum + (phase.isPrepare ? 0 : phaseMinutes(phase, op.freePieces)), 0),
    ),
  );

/** Running lots with the phases that follow, one after the other without a wait and without people: the least they take. */
function toTheEnd(shop: Problem, { operation, lots }: PlannedOperation): PlannedOperation {
  const modes = shop.operations.find(({ id }) => id === operation)?.modes ?? [];
  return {
    operation,
    lots: lots.map((lot) => {
      let at = lot.phases.at(-1)?.work.at(-1)?.[1] ?? shop.now;
      const begun = lot.phases.at(-1)?.phase ?? -1;
      const later = (modes.find(({ id }) => id === lot.mode)?.phases ?? []).flatMap(({ work }, phase) => {
        const minutes = phase > begun ? workMinutes(work, lot.pieces) : 0;
        at += minutes;
        return minutes > 0 ? [{ phase, work: [[at - minutes, at] as const], crews: [] }] : [];
      });
      return { ...lot, end: at, phases: [...lot.phases.filter(({ work }) => work.length > 0), ...later] };
    }),
  };
}

/**
 * When what has begun or is frozen ends, with the pieces of it that no lot holds yet: the largest of the lots they may be cut into. What a
 * cut of a running batch leaves over is not asked for: it need not be cut there, and may be cut so late that hardly anything is left.
 */
function stands(problem: Problem, { model, state, opOf }: OpenPlan, id: OperationId): Early {
  const op = opOf(id);
  const known = op.items.flatMap((item) => state.placed[item] ?? []);
  const standing = Math.max(op.doneEnd, ...known.map(({ end }) => end));
  const item = op.items.find((candidate) => model.items[candidate]?.running === null && !state.placed[candidate]);
  if (item === undefined) return { end: standing, after: null };
  const { split, progress, pieces } = present(
    problem.operations.find((operation) => operation.id === id),
    "operation",
  );
  const held = [...progress.done, ...progress.running, ...known.filter((lot) => !lot.running)];
  const rest = held.reduce((left, lot) => left - lot.pieces, pieces);
  const lotsLeft = Math.max(1, (split?.lots ?? 1) - progress.done.length - progress.running.length);
  state.setPieces(item, Math.max(0, ceilDivide(rest, lotsLeft)));
  if (rest <= 0) return { end: standing, after: null };
  const lot = fitLot(state, op, item, -FAR, null);
  return { end: Math.max(standing, lot?.end ?? FAR), after: null };
}

/** The order's operations and all they follow, of other orders too. */
function concernedBy(problem: Problem, order: string): ReadonlySet<OperationId> {
  const found = new Set(problem.operations.filter((operation) => operation.order === order).map(({ id }) => id));
  for (const id of found)
    for (const link of problem.links) if (link.to === id && link.kind !== "sameMachine") found.add(link.from);
  return found;
}

/** The shop with what is concerned, as easy as it could ever be, beside what has begun or is frozen. */
function thinned(problem: Problem, concerned: ReadonlySet<OperationId>, isFixed: (operation: Operation) => boolean): Problem {
  const families = familiesOf(problem);
  const operations = problem.operations.map((operation): Operation => {
    const modes = operation.modes.map((mode) => easiest(problem, mode, families));
    if (isFixed(operation)) return concerned.has(operation.id) ? { ...cutAtOnce(operation), modes } : cutAtOnce(operation);
    const { split, pieces } = operation;
    return {
      ...operation,
      modes,
      pieces: split === null ? pieces : Math.max(split.minPieces, ceilDivide(pieces, split.lots)),
      split: null,
      needsCalibrations: [],
      calibrates: [],
    };
  });
  // what is due by run hours may stay unplanned
  const optional = new Set(problem.runHourRules.flatMap((rule) => rule.operations));
  const stays = (operation: Operation): boolean =>
    isFixed(operation) || (concerned.has(operation.id) && !optional.has(operation.id));
  const gone = operations.filter((operation) => !stays(operation)).map(({ id }) => id);
  const links = problem.links.flatMap((link): Link[] => (link.kind === "lag" ? [{ ...link, maxLag: null }] : []));
  return leaving(
    {
      ...{ ...problem, operations, links, kitSpans: [], runHourRules: [], published: null, freeze: null },
      orders: problem.orders.map((order) => ({ ...order, due: problem.now, deadline: null })),
    },
    new Set(gone),
  );
}

/** Running lots that may be cut end as soon as they could. */
const cutAtOnce = (operation: Operation): Operation =>
  operation.progress.running.reduce((cut, _, lot) => firstCut(cut, lot) ?? cut, operation);

const leaving = (problem: Problem, gone: ReadonlySet<OperationId>): Problem => ({
  ...problem,
  operations: problem.operations.filter(({ id }) => !gone.has(id)),
  links: problem.links.filter(({ from, to }) => !gone.has(from) && !gone.has(to)),
});

/** No family to change from or to; preparing takes the least setup that any work before it could leave. */
function easiest(problem: Problem, mode: Mode, families: ReadonlyMap<string, ReadonlySet<Family | null>>): Mode {
  const least = mode.machines.map((id, i) => {
    const family = mode.families[i] ?? null;
    const rule = problem.machines.find((machine) => machine.id === id)?.setup;
    if (family === null || rule === undefined) return 0;
    return Math.min(...[...(families.get(id) ?? [null])].map((from) => setupMinutes(rule, from, family)));
  });
  const setup = Math.max(0, ...least);
  return {
    ...mode,
    families: mode.families.map(() => null),
    phases: mode.phases.map((phase) =>
      phase.kind === "prepare" && phase.work.kind === "fixed"
        ? { ...phase, work: { kind: "fixed", minutes: phase.work.minutes + setup } }
        : phase,
    ),
  };
}

/** In what families each machine could stand before some work. */
function familiesOf(problem: Problem): ReadonlyMap<string, ReadonlySet<Family | null>> {
  const all = new Map(problem.machines.map(({ id, family }) => [id as string, new Set<Family | null>([family])]));
  for (const { modes } of problem.operations)
    for (const { machines, families } of modes)
      machines.forEach((id, i) => {
        const family = families[i] ?? null;
        if (family !== null) all.get(id)?.add(family);
      });
  // what has been worked on it has left a family: it does not stand in none any more
  for (const { modes, progress } of problem.operations)
    for (const lot of [...progress.done, ...progress.running]) {
      const mode = modes.find(({ id }) => id === lot.mode);
      mode?.machines.forEach((id, i) => {
        if ((mode.families[i] ?? null) !== null) all.get(id)?.delete(null);
      });
    }
  return all;
}
