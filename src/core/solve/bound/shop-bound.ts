/**
 * Lower bounds of a real shop: what no plan without conflicts can cost less than. The end of everything is bounded by every chain
 * alone, by every machine as one machine with heads, tails and its open minutes (preemptive), and by the load of sets of machines,
 * of crews and of supplies; lateness, tardiness and flow by every order alone, which says little in a loaded shop.
 * Promises never to exceed the cost of a plan without conflicts. Setups, kits, longest lags and starters are left out.
 * Sources: J. Carlier, EJOR 11, 1982 (one machine); R. Klein, A. Scholl, EJOR 112, 1999 (load arguments). Closed minutes in the
 * one-machine bound are our own step: they delay the preemptive schedule, and longest tail first stays best among them.
 */
import { sumOfSteps } from "../../calendar/step-function.ts";
import type { Problem } from "../../problem/problem.ts";
import { evenlyChosen } from "../classical/evenly-chosen.ts";
import { jacksonPreemptiveBound } from "../classical/one-machine-bound.ts";
import { buildModel } from "../decode/build-model.ts";
import { type DenseMode, type DenseOp, FAR, type Model, phaseMinutes } from "../decode/model.ts";
import { type Capacity, capacityOf, minuteOf, usedBy } from "./capacity.ts";
import { earliestTimes, isSure } from "./earliest.ts";

/** Heads tried per set, and sets of machines tried. */
const THRESHOLDS_MAX = 40;
const SETS_MAX = 200;

/** Weighted, like the cost of a plan. */
export function shopBound(problem: Problem): number {
  const { weights } = problem;
  const bounds = shopBounds(problem);
  return (
    weights.makespan * bounds.makespan +
    (weights.maxLateness === 0 ? 0 : weights.maxLateness * bounds.maxLateness) +
    weights.tardiness * bounds.tardiness +
    weights.flow * bounds.flow +
    weights.lateOrders * bounds.lateOrders
  );
}

type ShopBounds = Readonly<Record<"makespan" | "maxLateness" | "tardiness" | "flow" | "lateOrders", number>>;
type Request = { readonly head: number; readonly amount: number; readonly tail: number };

export function shopBounds(problem: Problem): ShopBounds {
  const model = buildModel(problem);
  const { start, end } = earliestTimes(model);
  const sure = model.ops.filter(isSure);
  const alone = orderBounds(model, end);
  const due = (op: DenseOp): number => model.orders[op.order].due;
  const promised = sure.filter((op) => due(op) !== FAR);
  // Lateness is an end with a tail that counts from the due minute: shifted, so that no tail is negative.
  const shift = promised.reduce((latest, op) => Math.max(latest, due(op)), 0);
  const makespan = pooledBound(problem, sure, (op, amount) => ({ head: start[op.index], amount, tail: op.tail }));
  const lateness = pooledBound(problem, promised, (op, amount) => ({
    head: start[op.index],
    amount,
    tail: op.tail + shift - due(op),
  }));
  return {
    ...alone,
    makespan: Math.min(model.horizon, Math.max(alone.makespan, makespan)),
    maxLateness: Math.max(alone.maxLateness, promised.length === 0 ? Number.NEGATIVE_INFINITY : lateness - shift),
  };
}

/** The best bound that machines, crews and supplies give; 0 where they say nothing or nothing could ever fit. */
function pooledBound(problem: Problem, ops: readonly DenseOp[], request: (op: DenseOp, amount: number) => Request): number {
  let best = 0;
  const judge = (amount: (op: DenseOp) => number, capacity: Capacity, rule: typeof loadBound): void => {
    const requests = ops.map((op) => request(op, amount(op))).filter((one) => one.amount > 0);
    const bound = requests.length === 0 ? 0 : rule(requests, capacity);
    if (bound < FAR) best = Math.max(best, bound);
  };
  for (const machines of machineSets(ops)) {
    const pieces = [...machines].flatMap((m) => problem.machines[m].open.map((interval) => ({ interval, amount: 1 })));
    judge(
      (op) => leastOver(op, (mode) => workOf(op, mode) * mode.machines.filter((m) => machines.has(m)).length),
      capacityOf(sumOfSteps(pieces)),
      machines.size === 1 ? oneMachineBound : loadBound,
    );
  }
  for (const crews of crewSets(problem)) {
    const steps = [...crews].map((crew) => problem.crews[crew].headcount);
    const capacity = capacityOf(sumOfSteps(steps.flatMap(piecesOf)));
    judge((op) => leastOver(op, (mode) => peopleOf(problem, op, mode, crews)), capacity, loadBound);
  }
  problem.supplies.forEach((supply, index) => {
    const drawn = ({ supplies, draws }: DenseMode["phases"][number]): number =>
      supplies.reduce((sum, s, i) => sum + (s === index ? draws[i] : 0), 0);
    judge((op) => leastOver(op, (mode) => sumOf(op, mode, drawn)), capacityOf(supply.amount), loadBound);
  });
  return best;
}

/** Every order alone. */
function orderBounds(model: Model, end: Float64Array): ShopBounds {
  let makespan = 0;
  let maxLateness = Number.NEGATIVE_INFINITY;
  let tardiness = 0;
  let flow = 0;
  let lateOrders = 0;
  for (const order of model.orders) {
    const ops = order.ops.map((op) => model.ops[op]).filter(isSure);
    if (ops.length === 0) continue;
    // What could never fit before the horizon has no plan without conflicts.
    const complete = ops.reduce((latest, op) => Math.max(latest, Math.min(model.horizon, end[op.index] + op.tail)), model.now);
    makespan = Math.max(makespan, complete);
    flow += order.weight * Math.max(0, complete - order.flowFrom);
    if (order.due === FAR) continue;
    maxLateness = Math.max(maxLateness, complete - order.due);
    tardiness += order.weight * Math.max(0, complete - order.due);
    if (complete > order.due) lateOrders += order.weight;
  }
  return { makespan, maxLateness, tardiness, flow, lateOrders };
}

/** Jackson's preemptive schedule in open minutes: heads are counted in them, ends translated back. */
function oneMachineBound(requests: readonly Request[], open: Capacity): number {
  const compressed = requests.map(({ head, amount, tail }) => ({ head: usedBy(open, head), duration: amount, tail }));
  return jacksonPreemptiveBound(compressed, (worked) => minuteOf(open, worked));
}

/** What begins at `from` or later uses up the capacity from there on; what is met so far leaves at least its tail. */
function loadBound(requests: readonly Request[], capacity: Capacity): number {
  const byTail = [...requests].sort((a, b) => b.tail - a.tail);
  let bound = 0;
  for (const from of evenlyChosen([...new Set(requests.map(({ head }) => head))], THRESHOLDS_MAX)) {
    let used = usedBy(capacity, from);
    for (const { head, amount, tail } of byTail) {
      if (head < from) continue;
      used += amount;
      bound = Math.max(bound, minuteOf(capacity, used) + tail);
    }
  }
  return bound;
}

const leastOver = (op: DenseOp, amount: (mode: DenseMode) => number): number =>
  op.modes.reduce((least, mode) => Math.min(least, amount(mode)), FAR);

const sumOf = (op: DenseOp, mode: DenseMode, rate: (phase: DenseMode["phases"][number]) => number): number =>
  mode.phases.reduce((sum, phase) => sum + phaseMinutes(phase, op.freePieces) * rate(phase), 0);

const workOf = (op: DenseOp, mode: DenseMode): number => sumOf(op, mode, () => 1);

/** Person-minutes of the needs that nobody outside these crews can serve. */
function peopleOf(problem: Problem, op: DenseOp, mode: DenseMode, crews: ReadonlySet<number>): number {
  const source = op.source.modes[op.modes.indexOf(mode)];
  return sumOf(op, mode, (phase) =>
    source.phases[mode.phases.indexOf(phase)].needs.reduce(
      (sum, need) =>
        sum + (problem.crews.every((crew, c) => !crew.skills.includes(need.skill) || crews.has(c)) ? need.amount : 0),
      0,
    ),
  );
}

const piecesOf = ({ at, value }: { readonly at: readonly number[]; readonly value: readonly number[] }) =>
  at.map((from, i) => ({ interval: [from, at[i + 1] ?? FAR] as const, amount: value[i] }));

/** Every machine by itself, and every set that some operation chooses from. */
function machineSets(ops: readonly DenseOp[]): ReadonlySet<number>[] {
  return distinct(
    ops.flatMap((op) => [
      ...op.modes.flatMap(({ machines }) => machines.map((m) => [m])),
      op.modes.flatMap(({ machines }) => machines),
    ]),
  );
}

/** Every crew by itself, and all crews that have some skill. */
function crewSets(problem: Problem): ReadonlySet<number>[] {
  const skills = new Set(problem.crews.flatMap((crew) => crew.skills));
  const having = [...skills].map((skill) => problem.crews.flatMap((crew, c) => (crew.skills.includes(skill) ? [c] : [])));
  return distinct([...problem.crews.map((_, c) => [c]), ...having]);
}

function distinct(lists: readonly (readonly number[])[]): ReadonlySet<number>[] {
  const known = new Map<string, ReadonlySet<number>>();
  for (const list of lists) {
    if (known.size >= SETS_MAX) break;
    const set = new Set([...list].sort((a, b) => a - b));
    if (set.size > 0) known.set([...set].join(), set);
  }
  return [...known.values()];
}
