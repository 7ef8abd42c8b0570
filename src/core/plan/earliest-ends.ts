/**
 * The earliest ends of an order's work in a shop made easy (easy-shop.ts): each operation for itself, beside what stands there, behind
 * the earliest ends of what it follows. Nothing of it lies in the way of anything else of it, so every end is a bound.
 */
import type { Minute } from "../calendar/minute.ts";
import { present } from "../ground/invariant.ts";
import { ceilDivide } from "../ground/rounding.ts";
import { type ModeId, type Operation, type OperationId, workMinutes } from "../orders/operation.ts";
import type { PlannedOperation } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { type DenseOp, FAR, phaseMinutes } from "../solve/decode/model.ts";
import type { Placement } from "../solve/decode/placement.ts";
import type { State } from "../solve/decode/state.ts";
import type { EasyShop } from "./easy-shop.ts";
import { fitInMode, fitLot } from "./fit-around.ts";
import { type OpenPlan, openPlan } from "./open-plan.ts";
import type { Wanted } from "./wanted-order.ts";

const UNBOUND = { end: -FAR, after: null, floor: -FAR, mode: null } as const;

type Early = {
  readonly end: Minute;
  /** What it waits for; null: nothing but its own dates, calendars and what is in its way. */
  readonly after: OperationId | null;
  /** Where that lets it begin. */
  readonly floor: Minute;
  readonly mode: ModeId | null;
};

export type Ends = {
  readonly easy: EasyShop;
  readonly early: ReadonlyMap<OperationId, Early>;
  readonly chain: readonly OperationId[];
  readonly last: Minute;
};

/** The earliest ends of the order's work in a shop made easy, each for itself, behind those of what it follows. */
export function earliestEnds(
  { problem, order }: Pick<Wanted, "problem" | "order">,
  easy: EasyShop,
  given: {
    readonly standing: (shop: Problem) => readonly PlannedOperation[];
    readonly isFixed: (operation: Operation) => boolean;
    readonly broken: ReadonlySet<OperationId>;
  },
): Ends {
  const { shop } = easy;
  const free = new Set(shop.operations.filter((operation) => !given.isFixed(operation)).map(({ id }) => id));
  const open = openPlan(shop, { operations: given.standing(shop) }, free);
  const early = new Map<OperationId, Early>();
  const earliest = (id: OperationId): Early => {
    const known =
      early.get(id) ??
      (given.broken.has(id) ? UNBOUND : null) ??
      (free.has(id) ? alone(problem, open, id, { earliest, setups: easy.setups }) : stands(problem, open, id));
    early.set(id, known);
    return known;
  };
  const own = problem.operations.filter((operation) => operation.order === order.id && open.model.opOfId.has(operation.id));
  const last = own.map(({ id }) => ({ id, ...earliest(id) })).toSorted((a, b) => b.end - a.end)[0];
  const chain: OperationId[] = [];
  for (let id: OperationId | null = last?.id ?? null; id !== null && !chain.includes(id); id = early.get(id)?.after ?? null)
    chain.push(id);
  return { easy, early, chain, last: last?.end ?? problem.now };
}

export const freeItem = (state: State, op: DenseOp): number | undefined =>
  op.items.find((item) => state.model.items[item]?.running === null && !state.placed[item] && (state.pieces[item] ?? 0) > 0);

/** Where it lies by itself, after the earliest ends of what it follows. */
function alone(
  problem: Problem,
  { model, state, opOf }: OpenPlan,
  id: OperationId,
  { earliest, setups }: { readonly earliest: (id: OperationId) => Early; readonly setups: EasyShop["setups"] },
): Early {
  const op = opOf(id);
  let floor = -FAR;
  let after: OperationId | null = null;
  for (const link of problem.links) {
    if (link.to !== id || link.kind !== "lag" || !model.opOfId.has(link.from)) continue;
    const begin = earliest(link.from).end + link.minLag;
    if (begin > floor) [floor, after] = [begin, link.from];
  }
  const begins = op.prepareEarly ? -FAR : floor;
  const item = freeItem(state, op);
  let lot: Placement | null = null;
  if (item !== undefined && floor < FAR)
    for (const [i, mode] of op.modes.entries()) {
      const setup = setups.get(`${id} ${op.source.modes[i]?.id}`);
      const notBefore = Math.max(begins, setup?.from ?? -FAR);
      const latest = Math.min(lot === null ? FAR : lot.end - 1, setup?.until ?? FAR);
      if (!mode.impossible && notBefore < latest) lot = fitInMode(state, op, item, mode, notBefore, latest) ?? lot;
    }
  if (lot === null) return { end: FAR, after, floor: begins, mode: null };
  const late = op.prepareEarly && floor > model.now ? floor + leastAfterPrepare(op) : -FAR;
  return { end: Math.max(lot.end, late), after, floor: begins, mode: op.source.modes[op.modes.indexOf(lot.mode)]?.id ?? null };
}

/** Worked minutes that come after the preparing, in the mode that needs the fewest. */
const leastAfterPrepare = (op: DenseOp): number =>
  Math.min(
    ...op.modes.map(({ phases }) =>
      phases.reduce((sum, phase) => sum + (phase.isPrepare ? 0 : phaseMinutes(phase, op.freePieces)), 0),
    ),
  );

/** Running lots with the phases that follow, one after the other without a wait and without people: the least they take. */
export function toTheEnd(shop: Problem, { operation, lots }: PlannedOperation): PlannedOperation {
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
  const nothing = { after: null, floor: -FAR, mode: null };
  if (item === undefined) return { end: standing, ...nothing };
  const { split, progress, pieces } = present(
    problem.operations.find((operation) => operation.id === id),
    "operation",
  );
  const held = [...progress.done, ...progress.running, ...known.filter((lot) => !lot.running)];
  const rest = held.reduce((left, lot) => left - lot.pieces, pieces);
  const lotsLeft = Math.max(1, (split?.lots ?? 1) - progress.done.length - progress.running.length);
  state.setPieces(item, Math.max(0, ceilDivide(rest, lotsLeft)));
  if (rest <= 0) return { end: standing, ...nothing };
  const lot = fitLot(state, op, item, -FAR, null);
  return { end: Math.max(standing, lot?.end ?? FAR), ...nothing };
}
