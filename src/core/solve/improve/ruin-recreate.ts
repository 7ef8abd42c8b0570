/**
 * Ruin and recreate on the placed plan, under simulated annealing. Each step takes one order's tail and a few neighbours off,
 * puts them back one by one at their earliest places, and keeps the result or undoes it; everything else stays untouched, so
 * costs change locally and exactly. Steps end as soon as they are worse than the annealing threshold allows. Where the caller says
 * so, small problems are searched over whole lists as well (list-search.ts); what is better there goes on here.
 * Sources: G. Schrimpf, J. Schneider, H. Stamm-Wilbrandt, G. Dueck, Record breaking optimization results using the ruin and
 * recreate principle, J. Comp. Physics 159, 2000; J. Christiaens, G. Vanden Berghe, Slack induction by string removals for
 * vehicle routing problems, Transportation Science 54, 2020 (blinks).
 */
import type { Random } from "../../ground/prng.ts";
import { STOP_CHECK_EVERY } from "../budget.ts";
import type { CommitOrder } from "../construct/dispatch.ts";
import type { Estimates } from "../construct/priority.ts";
import { drain, type Rank } from "../decode/drain.ts";
import { type DenseOp, type DenseOrder, type Model, NONE } from "../decode/model.ts";
import { type Choosing, PLAIN } from "../decode/place-operation.ts";
import { type Bank, removeLoose } from "../decode/settle.ts";
import type { State } from "../decode/state.ts";
import { ListSearch } from "./list-search.ts";
import { BestPlan, type PlanFigures, type Snapshot } from "./snapshot.ts";

export type ImproveInput = {
  readonly state: State;
  readonly est: Estimates;
  readonly random: Random;
  readonly iterations: number | null;
  /** Iterations over which the temperature first falls from start to end; each round after it lasts twice as long. */
  readonly round: number;
  readonly shouldStop: () => boolean;
  /** Share of the time spent, 0 to 1: the temperature falls with it, in one round; left out: with the iterations. */
  readonly spent?: (() => number) | undefined;
  /** Orders most steps begin with; null: by their share of the cost. */
  readonly focus: readonly number[] | null;
  /** No step may make it worse, and nothing is decoded anew: for repairs, where work elsewhere shall lie still. */
  readonly cold: boolean;
  /** Of a cold search: the temperature it begins with as a share of the usual one; default 0, no step may make it worse. */
  readonly warmth?: number | undefined;
  /** No plan is worth less: with one that is worth no more the search ends. */
  readonly floor?: number | undefined;
  /** A step that leaves more published operations moved than this is undone; null: any number. */
  readonly movedMost?: number | null | undefined;
  /** With no more operations than this to move, lists are searched as well; default 0: never. */
  readonly listsUpTo?: number | undefined;
  readonly fresh: () => State;
  readonly decode: (empty: State, order: CommitOrder, choosing: Choosing) => void;
  readonly onProgress: (iterations: number, best: PlanFigures) => void;
  /** Now and then, when there is a better plan than the last time: its placements by lot row. */
  readonly onBetter?: ((placements: Snapshot["placements"]) => void) | undefined;
};

export type ImproveResult = { readonly state: State; readonly iterations: number };

/** A search that has ended: its state is brought to the best plan only for who asks. */
export type EndedSearch = { readonly iterations: number; toBest(): State };

/**
 * Start temperature as a share of the start cost: about one order's worth, for an order's cost is what a step can win or lose.
 * It falls a hundredfold. Measured on generated shops (300 and 1,500 operations): half or double of it makes little difference.
 */
const HEAT_PER_ORDER = 1.2;
const HEAT_MOST = 0.1;
const COOLING = 100;
/** Everything is decoded anew after so many steps, or as many as there are operations. */
const REDECODE_EVERY = 300;
const LOTTERY_EVERY = 64;
const PROGRESS_EVERY = 1024;
/**
 * The best plan is shown after so many steps, then after twice as many, and so on until it is this many or two for each operation:
 * who is told to stop then has one that is judged and hardly worse than the best.
 */
const SHOW_FIRST = 256;
const SHOW_EVERY = 2048;
const SHOW_EVERY_OPERATION = 2;
const SKIP_CHANCE = 0.02;
/**
 * Lists decoded between two stretches of steps, and the temperature they begin with as a share of the start cost. Measured on 60
 * operations, 3 shops x 2 seeds x 2.5 s of CPU: 50 % below the rule without, 63 to 83 with; 30 lists, or five times the temperature: 72.
 */
const LISTS = 12;
const LIST_HEAT = 0.02;
/** Places on a machine from which neighbours are taken: so many before the gap, and how many in all. */
const WINDOW_BEFORE = 8;
const WINDOW = 11;
const NEIGHBOURS_LEAST = 3;
const NEIGHBOURS_SPREAD = 7;
const RECUT_CHANCE = 0.3;

/** Searches, and leaves the best plan in the state it returns. */
export function improve(input: ImproveInput): ImproveResult {
  const { iterations, toBest } = searchFrom(input);
  return { iterations, state: toBest() };
}

export function searchFrom(input: ImproveInput): EndedSearch {
  const { random, est } = input;
  let state = input.state;
  const { model } = state;
  const movable = model.ops.filter(
    (op) =>
      op.rule === NONE && op.items.some((item) => state.placed[item] === null || !state.placed[item]!.fixed) && !op.finished,
  );
  if (movable.length === 0) return { iterations: 0, toBest: () => state };
  const best = new BestPlan(state);
  let current = best.value;
  const heat = Math.min(HEAT_MOST, HEAT_PER_ORDER / Math.max(1, model.orders.length));
  const lists = !input.cold && movable.length <= (input.listsUpTo ?? 0) ? new ListSearch(model, random, startOrder(state)) : null;
  const decodeList = (list: CommitOrder): State => {
    const empty = input.fresh();
    input.decode(empty, list, PLAIN);
    return empty;
  };
  const adopt = (other: State): void => {
    if (other.value >= current) return;
    other.forget();
    state = other;
    current = other.value;
    best.followAnother();
    if (current < best.value - 1e-6) best.take(state);
  };
  const redecodeEvery = Math.max(REDECODE_EVERY, movable.length);
  const bank: Bank = [];
  const stale: number[] = [];
  const lottery = new CostLottery(model);
  const choosing: Choosing = { ...PLAIN, skip: () => random.next() < SKIP_CHANCE, noise: null };
  const mostPlacements = Math.max(30, Math.min(120, movable.length));
  const showEvery = Math.max(SHOW_EVERY, SHOW_EVERY_OPERATION * model.ops.length);
  let shown = best.value;
  let show = SHOW_FIRST;
  let startCost = Math.max(1, state.cost);
  let round = input.round;
  let roundBegin = 0;
  let iteration = 0;
  const { spent } = input;
  const spentBefore = Math.min(0.9, spent?.() ?? 0);
  let cooled = 0;
  const floor = (input.floor ?? Number.NEGATIVE_INFINITY) + 1e-6;
  const warmth = input.cold ? (input.warmth ?? 0) : 1;
  for (; (input.iterations === null || iteration < input.iterations) && best.value > floor; iteration++) {
    if (iteration % STOP_CHECK_EVERY === 0) {
      if (input.shouldStop()) break;
      if (spent !== undefined) cooled = Math.min(1, Math.max(0, (spent() - spentBefore) / (1 - spentBefore)));
    }
    if (iteration % PROGRESS_EVERY === 0 && iteration > 0) input.onProgress(iteration, best.figures);
    if (iteration >= show && best.value < shown) {
      show = iteration + Math.min(iteration, showEvery);
      shown = best.value;
      input.onBetter?.(best.placements);
    }
    if (spent === undefined && iteration - roundBegin >= round) {
      // the next round starts from the best plan, warm again, and lasts longer
      roundBegin = iteration;
      round *= 2;
      if (state.value > best.value + 1e-6) {
        best.restore(state);
        current = best.value;
      }
      startCost = Math.max(1, state.cost);
    }
    if (spent === undefined) cooled = (iteration - roundBegin) / round;
    const temperature = warmth === 0 ? 0 : warmth * startCost * heat * COOLING ** -cooled;
    if (iteration % LOTTERY_EVERY === 0) lottery.refresh(state);
    const mark = state.mark();
    bank.length = 0;
    stale.length = 0;
    const chosen = ruin(state, movable, lottery, input.focus, random, bank, stale);
    if (bank.length === 0) continue;
    const rank = drawRank(state, est, chosen, random);
    const limit = current - temperature * Math.log(1 - random.next());
    const outcome = drain(state, bank, rank, choosing, limit, mostPlacements, stale);
    if (outcome === "done" && (input.movedMost === undefined || input.movedMost === null || state.moved <= input.movedMost)) {
      current = state.value;
      best.follow(state);
      state.forget();
      if (current < best.value - 1e-6) best.take(state);
    } else state.undoTo(mark);

    if (!input.cold && iteration % redecodeEvery === redecodeEvery - 1) {
      const order = startOrder(state);
      const again = input.fresh();
      input.decode(again, order, redecodeChoosing(state, Math.floor(iteration / redecodeEvery)));
      adopt(again);
      const warm = LIST_HEAT * startCost * COOLING ** -cooled;
      for (let n = 0; lists !== null && n < LISTS && !input.shouldStop(); n++) adopt(lists.step(decodeList, warm));
    }
  }
  return {
    iterations: iteration,
    toBest: () => {
      if (state.value > best.value + 1e-6) best.restore(state);
      return state;
    },
  };
}

/** Every second time modes stay as they are, else they are chosen anew. */
function redecodeChoosing(state: State, turn: number): Choosing {
  if (turn % 2 === 0) return PLAIN;
  const modes = new Int32Array(state.model.ops.length).fill(NONE);
  for (const op of state.model.ops) {
    const p = op.items.map((item) => state.placed[item]).find((placement) => placement && !placement.fixed);
    if (p) modes[op.index] = p.mode.index;
  }
  return { ...PLAIN, modeOf: (op) => modes[op.index]! };
}

/** All units that are not given, by their present start. */
function startOrder(state: State): CommitOrder {
  const { model } = state;
  const starts: { readonly op: number; readonly start: number }[] = [];
  for (const op of model.ops) {
    if (op.rule !== NONE || (op.block.length > 0 && op.block[0] !== op.index)) continue;
    let start = 0x3fffffff;
    let free = false;
    for (const member of op.block.length > 0 ? op.block : [op.index]) {
      for (const item of model.ops[member]!.items) {
        const p = state.placed[item];
        if (p === null || p === undefined) {
          if (state.pieces[item]! > 0) free = true;
        } else if (!p.fixed) {
          free = true;
          if (p.start < start) start = p.start;
        }
      }
    }
    if (free) starts.push({ op: op.index, start });
  }
  const place = new Float64Array(model.ops.length);
  model.topological.forEach((op, i) => {
    place[op] = i;
  });
  starts.sort((a, b) => a.start - b.start || place[a.op]! - place[b.op]!);
  return Int32Array.from(starts, (entry) => entry.op);
}

/** Orders drawn by their share of the cost; the shares are brought up to date now and then. */
class CostLottery {
  private readonly sums: Float64Array;
  private readonly model: Model;

  constructor(model: Model) {
    this.model = model;
    this.sums = new Float64Array(model.orders.length);
  }

  refresh(state: State): void {
    let sum = 0;
    for (const order of this.model.orders) {
      sum += order.finished ? 0 : Math.max(0, state.orderCost[order.index]!);
      this.sums[order.index] = sum;
    }
  }

  draw(random: Random): DenseOrder {
    const { sums } = this;
    const wanted = random.next() * sums[sums.length - 1]!;
    let low = 0;
    let high = sums.length - 1;
    while (low < high) {
      const middle = (low + high) >>> 1;
      if (sums[middle]! > wanted) high = middle;
      else low = middle + 1;
    }
    return this.model.orders[low]!;
  }
}

/** Takes one order's tail and some neighbours off. Returns the order it began with. */
function ruin(
  state: State,
  movable: readonly DenseOp[],
  lottery: CostLottery,
  focus: readonly number[] | null,
  random: Random,
  bank: Bank,
  stale: number[],
): number {
  const { model } = state;
  const aimed = random.int(3) > 0;
  const drawn = !aimed
    ? null
    : focus !== null && focus.length > 0
      ? model.orders[focus[random.int(focus.length)]!]!
      : lottery.draw(random);
  const order = drawn !== null && drawn.ops.length > 0 ? drawn : model.orders[movable[random.int(movable.length)]!.order]!;
  const seed = model.ops[order.ops[random.int(order.ops.length)]!]!;
  const from = firstStart(state, seed);
  const removed: Removed[] = [];
  for (const index of order.ops) {
    const op = model.ops[index]!;
    if (op.finished || op.rule !== NONE || firstStart(state, op) < from) continue;
    offWithBlock(state, op, bank, stale, removed, random);
  }
  if (removed.length === 0) return order.index;
  const neighbours = NEIGHBOURS_LEAST + random.int(NEIGHBOURS_SPREAD);
  for (let n = 0; n < neighbours; n++) {
    const near = removed[random.int(removed.length)]!;
    const victim = neighbourOf(state, model.ops[near.op]!, near.start, random);
    if (victim) offWithBlock(state, victim, bank, stale, null, random);
  }
  return order.index;
}

type Removed = { readonly op: number; readonly start: number };

function offWithBlock(state: State, op: DenseOp, bank: Bank, stale: number[], removed: Removed[] | null, random: Random): void {
  if (op.block.length === 0) off(state, op, bank, stale, removed, random);
  else for (const member of op.block) off(state, state.model.ops[member]!, bank, stale, removed, random);
}

function off(state: State, op: DenseOp, bank: Bank, stale: number[], removed: Removed[] | null, random: Random): void {
  for (const item of op.items) {
    const p = state.placed[item];
    if (p && !p.fixed) {
      removed?.push({ op: op.index, start: p.start });
      bank.push(item);
      removeLoose(state, p, stale);
    } else if (!p && state.pieces[item]! > 0 && op.rule === NONE && !bank.includes(item)) {
      removed?.push({ op: op.index, start: state.model.now });
      bank.push(item);
    }
  }
  recut(state, op, random);
}

/** Now and then a batch whose lots are all off is cut into another number of lots. */
function recut(state: State, op: DenseOp, random: Random): void {
  if (op.lotsMost <= 1 || random.next() >= RECUT_CHANCE) return;
  for (const item of op.items) if (!state.model.items[item]!.running && state.placed[item] !== null) return;
  const most = Math.min(op.lotsMost, Math.floor(op.freePieces / Math.max(1, op.lotPiecesLeast)));
  if (most > 1) state.cutEvenly(op, 1 + random.int(most));
}

function firstStart(state: State, op: DenseOp): number {
  let start = 0x3fffffff;
  for (const item of op.items) {
    const p = state.placed[item];
    if (p && p.start < start) start = p.start;
  }
  return start;
}

/** An operation near in time on a machine the seed uses or could use. */
function neighbourOf(state: State, seed: DenseOp, around: number, random: Random): DenseOp | null {
  const { model } = state;
  const mode = seed.modes[random.int(seed.modes.length)];
  if (!mode || mode.machines.length === 0) return null;
  const machine = mode.machines[random.int(mode.machines.length)]!;
  const list = state.lists[machine]!;
  if (list.length === 0) return null;
  const at = state.positionAfter(machine, around) - WINDOW_BEFORE + random.int(WINDOW);
  const p = list[Math.max(0, Math.min(list.length - 1, at))]!;
  return p.fixed || model.ops[p.op]!.rule !== NONE ? null : model.ops[p.op]!;
}

/** In which order the bank is emptied: drawn anew for each step. */
function drawRank(state: State, est: Estimates, chosen: number, random: Random): Rank {
  const { model } = state;
  const { due, weight, tail } = est;
  switch (random.int(5)) {
    case 0: {
      const salt = random.fork();
      return (op) => Math.imul(model.ops[op]!.order + salt, 0x9e3779b1) >>> 0;
    }
    case 1:
      return (op) => due[op]!;
    case 2:
      return (op) => -weight[op]!;
    case 3:
      return (op) => (model.ops[op]!.order === chosen ? -1 : due[op]! - tail[op]!);
    default:
      return (op) => -state.orderCost[model.ops[op]!.order]!;
  }
}
