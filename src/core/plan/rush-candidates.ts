/**
 * Plans that fit a rush order in, one after the other, the quickest thoughts first: around everything; by moving everything that
 * may move; the same, sparing those it made late; by moving only those with so much slack or less weight; beginning later; cutting
 * the batch that runs in the way; and a full re-plan from the best so far. Plans only: who compares them is rush.ts.
 */

import type { Minute } from "../calendar/minute.ts";
import { frozenWork } from "../check/frozen.ts";
import { present } from "../ground/invariant.ts";
import type { OperationId } from "../orders/operation.ts";
import type { Order, OrderId } from "../orders/order.ts";
import type { Plan } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { runningPlacement } from "../solve/decode/given.ts";
import { type DenseOp, FAR } from "../solve/decode/model.ts";
import { solve } from "../solve/engine.ts";
import { firstCut } from "./first-cut.ts";
import { ANYWHERE, fitAround } from "./fit-around.ts";
import { makeRoom, type RoomWish } from "./make-room.ts";
import { type OpenPlan, openPlan } from "./open-plan.ts";
import { orderCompletions } from "./plan-difference.ts";
import { searchAround } from "./search-around.ts";
import { shiftQueues } from "./shift-queues.ts";
import type { Wanted } from "./wanted-order.ts";

/** What the caller tells about a plan it was offered, so that the next thoughts can be better. */
export type Verdict = {
  readonly accepted: boolean;
  readonly finish: Minute;
  /** Orders the plan makes later than they were promised, or later than they were late already. */
  readonly hurt: readonly OrderId[];
};

/** A plan that was accepted so far. */
export type Known = {
  readonly plan: Plan;
  readonly finish: Minute;
  readonly lateness: number;
  readonly hurt: readonly OrderId[];
  /** Other orders of which something moves. */
  readonly moved: ReadonlySet<OrderId>;
};
export type Search = {
  readonly seed: number;
  readonly shouldStop: () => boolean;
  /** After each search; how many are done. */
  readonly onSearch?: (done: number) => void;
};

/** Slack in minutes from which an order may be asked to give way: a week, three days, a day, a shift, an hour. */
const SLACKS = [10_080, 4320, 1440, 480, 60] as const;
/** Rounds of "the same, sparing those it hurt". */
const SPARING_ROUNDS = 8;
/** Between the earliest begin and the one that moves nobody. */
const LATER_PARTS = [0.25, 0.5, 0.75] as const;
/** Operations moved at most by a bounded push. */
const MOVES_BOUNDED = 40;
/** Steps of each short search. */
const SEARCH_STEPS = 500;
/** Searches, each from the best before it, for a plan that breaks no promise. */
const KIND_ROUNDS = 3;
const KIND_STEPS = 2000;
/** Seeds of the searches lie far apart. */
const SEED_STEP = 1_000_003;
/** Parts of the way from the earliest found to the date that the plan in hand has. */
const BETWEEN = [0.3, 0.6, 0.9] as const;
/** Times the weight of disturbance. */
const STILLNESS = [10, 60, 360] as const;
/** Searches at most, the full re-plan not counted. */
export const SEARCHES = 1 + 2 * KIND_ROUNDS + 1 + STILLNESS.length;
/** Running batches whose cut is tried. */
const CUTS_TRIED = 3;

export const ANY_ROOM: RoomWish = {
  displaceable: () => true,
  notBefore: () => -FAR,
  movesMost: Infinity,
  keepNear: true,
  mayCut: false,
  mayWait: false,
};

export function quickCandidates(
  wanted: Wanted,
  plan: Plan,
  offer: (plan: Plan) => Verdict,
  { shouldStop, onlyAround }: { readonly shouldStop: () => boolean; readonly onlyAround: boolean },
): void {
  const { problem, order } = wanted;
  const open = openPlan(problem, plan, wanted.operations);
  const ops = opsInOrder(open, wanted.operations);
  const completion = orderCompletions(problem, plan);
  const slackOf = new Map<OrderId, number>(
    problem.orders.map(({ id, due }) => [id, due === null ? Infinity : due - (completion.get(id) ?? due)]),
  );
  const weightOf = new Map<OrderId, number>(problem.orders.map(({ id, weight }) => [id, weight]));
  const orderOf = (op: DenseOp): OrderId => op.source.order;
  const attempt = (change: Partial<RoomWish>): Verdict | null => {
    if (shouldStop()) return null;
    const made = makeRoom(open, ops, { ...ANY_ROOM, ...change });
    return made === null ? null : offer(made);
  };

  const around = aroundEverything(open, ops);
  const untouched = around === null ? null : offer(around);
  if (onlyAround) return;
  const everything = attempt({});
  attempt({ displaceable: (op) => (weightOf.get(orderOf(op)) ?? 0) < order.weight, movesMost: MOVES_BOUNDED });
  if (everything === null || everything.hurt.length > 0) {
    const limits = latestEnds(problem, order, completion);
    const shifted = shiftQueues(open, ops, { limits, notBefore: -FAR, shouldStop });
    if (shifted !== null) offer(shifted);
  }

  // those it hurt are spared next time: step by step towards a plan that breaks no promise
  for (const mayCut of [false, true]) {
    const spared = new Set<OrderId>();
    for (let round = 0; round < SPARING_ROUNDS; round++) {
      const verdict = attempt({ displaceable: (op) => !spared.has(orderOf(op)), mayCut });
      const more = verdict?.hurt.filter((id) => !spared.has(id)) ?? [];
      if (more.length === 0) break;
      for (const id of more) spared.add(id);
    }
  }
  for (const slack of SLACKS) {
    const displaceable = (op: DenseOp): boolean => (slackOf.get(orderOf(op)) ?? 0) >= slack;
    attempt({ displaceable, movesMost: MOVES_BOUNDED });
    attempt({ displaceable, movesMost: MOVES_BOUNDED, mayCut: true });
  }
  attempt({ keepNear: false });
  if (untouched !== null) {
    const from = Math.max(problem.now, order.release);
    for (const part of LATER_PARTS) {
      const notBefore = from + Math.floor(part * Math.max(0, untouched.finish - (everything?.finish ?? from)));
      attempt({ notBefore: () => notBefore, movesMost: MOVES_BOUNDED });
      attempt({
        notBefore: () => notBefore,
        movesMost: MOVES_BOUNDED,
        displaceable: (op) => (slackOf.get(orderOf(op)) ?? 0) >= 60,
      });
    }
  }
}

/** When each order, by its row, may end so that nobody is late who was in time, and nobody later who was late. */
function latestEnds(problem: Problem, order: Order, completion: ReadonlyMap<OrderId, Minute | null>): readonly number[] {
  return problem.orders.map(({ id, due, deadline }) => {
    if (id === order.id) return FAR;
    const ended = completion.get(id) ?? -FAR;
    return Math.min(due === null ? FAR : Math.max(due, ended), deadline === null ? FAR : Math.max(deadline, ended));
  });
}

/** Each operation no earlier than in that plan: the same dates, but everybody else as near to the plan in hand as they allow. */
export function startsIn(plan: Plan): (op: DenseOp) => number {
  const starts = new Map(plan.operations.map(({ operation, lots }) => [operation, lots[0]?.start ?? -FAR]));
  return (op) => starts.get(op.id) ?? -FAR;
}

/** Short searches around the order from the best plans so far, moves away from the plan in hand counted; each result with its aim. */
export function searchedCandidates(
  wanted: Wanted,
  inHand: Plan,
  known: () => readonly Known[],
  offer: (plan: Plan) => Verdict,
  search: Search,
): void {
  const { problem, order, operations } = wanted;
  const { kept } = frozenWork(problem);
  const completion = orderCompletions(problem, inHand);
  const heavy = problem.orders.map((candidate) => (candidate.id === order.id ? inAHurry(candidate, problem.now) : candidate));
  // whoever is in time shall stay so, and nobody late shall be later: a thousand times what the rush order is worth
  const promised = problem.orders.map((candidate) => {
    if (candidate.id === order.id) return { ...candidate, due: problem.now };
    const due = candidate.due === null ? null : Math.max(candidate.due, completion.get(candidate.id) ?? candidate.due);
    return { ...candidate, due, weight: Math.max(1, candidate.weight) * 1000 };
  });
  const forPromises: Problem = { ...problem, orders: promised, weights: { ...problem.weights, flow: 0 } };
  const open = openPlan(problem, inHand, operations);
  const ops = opsInOrder(open, operations);
  let runs = 0;
  const run = (variant: Problem, start: Known | undefined, steps = SEARCH_STEPS): void => {
    runs += 1;
    if (start === undefined || search.shouldStop()) return;
    const found = searchAround(variant, {
      kept,
      start: start.plan,
      known: without(inHand, operations),
      focus: new Set([order.id, ...start.hurt]),
      seed: search.seed + SEED_STEP * runs,
      steps,
      shouldStop: search.shouldStop,
    });
    const verdict = offer(found);
    const near = verdict.finish < start.finish ? makeRoom(open, ops, { ...ANY_ROOM, notBefore: startsIn(found) }) : null;
    if (near !== null) offer(near);
    search.onSearch?.(runs);
  };
  const earliest = (): Known | undefined => [...known()].sort((a, b) => a.finish - b.finish)[0];
  const kindest = (): Known | undefined =>
    known()
      .filter(({ hurt }) => hurt.length === 0)
      .sort((a, b) => a.finish - b.finish)[0];
  const nearlyKind = (): Known | undefined =>
    known()
      .filter(({ hurt }) => hurt.length > 0)
      .sort((a, b) => a.lateness - b.lateness)[0];
  run({ ...problem, orders: heavy }, earliest());
  for (let round = 0; round < KIND_ROUNDS; round++) {
    // as early as can be: nothing is left to win
    const kind = kindest()?.finish;
    if (kind !== undefined && kind <= (earliest()?.finish ?? kind)) break;
    run(forPromises, kindest(), KIND_STEPS);
    if (kindest()?.finish === kind) run(forPromises, nearlyKind(), KIND_STEPS);
  }
  run(problem, kindest());
  // fewer moves for a later date: what it costs to move weighs more and more
  for (const factor of STILLNESS) {
    const stiller = { ...problem.weights, flow: 0, disturbance: Math.max(1, problem.weights.disturbance) * factor };
    run({ ...forPromises, weights: stiller }, kindest());
  }
  for (const candidate of runningCuts(wanted, inHand, ops)) {
    for (const displaceable of [() => false, () => true]) {
      if (search.shouldStop()) return;
      const made = makeRoom(candidate.open, candidate.ops, { ...ANY_ROOM, displaceable, movesMost: MOVES_BOUNDED });
      if (made !== null) offer(made);
    }
  }
}

/** Dates between the earliest found and the plan in hand's own: short searches back from there, in which every move counts much more. */
export function* inBetween(
  wanted: Wanted,
  inHand: Plan,
  known: readonly Known[],
  standing: Minute,
  search: Search,
): Generator<Plan> {
  const { problem, order, operations } = wanted;
  const start = known.toSorted((a, b) => a.finish - b.finish)[0];
  if (start === undefined) return;
  const weights = { ...problem.weights, flow: 0, disturbance: Math.max(1, problem.weights.disturbance) * STILLNESS[1] };
  for (const [i, part] of BETWEEN.entries()) {
    const due = start.finish + Math.floor(part * (standing - start.finish));
    const orders = problem.orders.map((one) => (one.id === order.id ? { ...inAHurry(one, problem.now), due } : one));
    if (search.shouldStop()) return;
    yield searchAround(
      { ...problem, orders, weights },
      {
        ...{ kept: frozenWork(problem).kept, start: start.plan, known: without(inHand, operations) },
        ...{ focus: new Set([order.id, ...start.hurt]), seed: search.seed + SEED_STEP * (SEARCHES + i + 1) },
        ...{ steps: SEARCH_STEPS, shouldStop: search.shouldStop },
      },
    );
  }
}

const inAHurry = (order: Order, now: Minute): Order => ({ ...order, weight: Math.max(1, order.weight) * 10, due: now });

const without = (plan: Plan, operations: ReadonlySet<OperationId>): Plan => ({
  operations: plan.operations.filter((planned) => !operations.has(planned.operation)),
});

/** The wanted operations in the order of their links. */
export function opsInOrder(open: OpenPlan, ids: ReadonlySet<OperationId>): DenseOp[] {
  return open.model.topological
    .map((index) => present(open.model.ops[index], "operation"))
    .filter((op) => ids.has(op.id) && op.items.some((item) => (open.state.pieces[item] ?? 0) > 0 && !open.state.placed[item]));
}

/** The wanted work in the gaps that are there: nothing else changes. */
export function aroundEverything(open: OpenPlan, ops: readonly DenseOp[]): Plan | null {
  const mark = open.state.mark();
  const plan = fitAround(open.state, ops, ANYWHERE) ? open.write() : null;
  open.state.undoTo(mark);
  return plan;
}

/** Running batches on the machines of the wanted work, cut at the first piece end allowed; the rest is placed after that work. */
function* runningCuts(
  wanted: Wanted,
  plan: Plan,
  ops: readonly DenseOp[],
): Generator<{ readonly open: OpenPlan; readonly ops: readonly DenseOp[] }> {
  const machines = new Set(ops.flatMap((op) => op.source.modes.flatMap((mode) => mode.machines)));
  let tried = 0;
  for (const operation of wanted.problem.operations) {
    if (operation.split === null || wanted.operations.has(operation.id)) continue;
    const inTheWay = operation.progress.running.findIndex((running) =>
      operation.modes.find(({ id }) => id === running.mode)?.machines.some((machine) => machines.has(machine)),
    );
    const cut = firstCut(operation, inTheWay);
    if (cut === null || tried++ >= CUTS_TRIED) continue;
    const problem: Problem = {
      ...wanted.problem,
      operations: wanted.problem.operations.map((candidate) => (candidate.id === operation.id ? cut : candidate)),
    };
    const open = openPlan(problem, without(plan, new Set([operation.id])), new Set([...wanted.operations, operation.id]));
    const op = open.opOf(operation.id);
    const running = op.items.filter((candidate) => open.model.items[candidate]?.running);
    if (running.length === 0) continue;
    for (const item of running) open.state.insert(runningPlacement(open.state, op, item));
    open.state.forget();
    yield { open, ops: [...opsInOrder(open, wanted.operations), op] };
  }
}

/** A full search from the plan given, and the same dates for the order with everybody else near to the plan in hand. */
export function* replanned(
  wanted: Wanted,
  inHand: Plan,
  start: Plan,
  search: Search & { readonly iterations: number },
): Generator<Plan> {
  const found = fullSearch(wanted, inHand, start, search);
  yield found;
  const open = openPlan(wanted.problem, inHand, wanted.operations);
  const near = makeRoom(open, opsInOrder(open, wanted.operations), { ...ANY_ROOM, notBefore: startsIn(found) });
  if (near !== null) yield near;
}

/** A full search from the plan given, with the rush order weighing ten times and every move away from the plan in hand counted. */
function fullSearch(wanted: Wanted, inHand: Plan, start: Plan, search: Search & { readonly iterations: number }): Plan {
  const { problem, order, operations } = wanted;
  const heavy: Problem = {
    ...problem,
    published: without(inHand, operations),
    orders: problem.orders.map((candidate) => (candidate.id === order.id ? inAHurry(candidate, problem.now) : candidate)),
  };
  return solve(heavy, frozenWork(problem).kept, {
    seed: search.seed,
    budget: { iterations: search.iterations, shouldStop: search.shouldStop },
    start,
  }).plan;
}
