/**
 * "Fit this rush job": several answers that differ really, none worse than another in everything, each with who moves, who becomes
 * late and who must be told. Every answer has passed the checker: it has no conflict that the plan in hand had not. Three measures
 * decide what is better: the finish of the rush order, the lateness (times order weight) it brings to others, and how far others
 * move. Finds good answers, promises none to be the best possible, but for one: with a single operation, the finish without moving
 * anybody is exact.
 */

import type { Minute } from "../calendar/minute.ts";
import { check } from "../check/checker.ts";
import type { Conflict } from "../check/conflict.ts";
import { type Fault, ok, type Result } from "../ground/result.ts";
import type { ModeId, OperationId } from "../orders/operation.ts";
import type { OrderId } from "../orders/order.ts";
import type { MachineId } from "../plant/machine.ts";
import type { Cost } from "../problem/objective.ts";
import type { Plan } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { plannedPart } from "./judged-repairs.ts";
import { newConflicts } from "./new-conflicts.ts";
import { nightMinutes } from "./night-hours.ts";
import { type OrderShift, orderCompletions, type PlanDifference, planDifference } from "./plan-difference.ts";
import { quickCandidates, replanned, SEARCHES, searchedCandidates, type Verdict } from "./rush-candidates.ts";
import { type Wanted, type WantedOrder, wantedOrder } from "./wanted-order.ts";

/** nothingMoves: no other lot changes. noPromiseBroken: nobody becomes late or later. balanced: the least cost by the shop's weights. */
export type RushLabel = "nothingMoves" | "noPromiseBroken" | "balanced" | "earliest";

export type RushAnswer = {
  readonly labels: readonly RushLabel[];
  readonly finish: Minute;
  /** Minutes after its own due minute; 0: in time, or nothing was promised. */
  readonly late: Minute;
  readonly operations: readonly {
    readonly operation: OperationId;
    readonly mode: ModeId;
    readonly machines: readonly MachineId[];
    readonly pieces: number;
    readonly start: Minute;
    readonly end: Minute;
  }[];
  /** Others that move, orders that shift, machines and crews to be told (the rush order's own included), batches cut. */
  readonly difference: PlanDifference;
  /** Other orders that become late, or later than they were. */
  readonly ordersLate: readonly OrderShift[];
  /** Sum over them of weight x minutes later. */
  readonly lateness: number;
  /** Sum of the movement of all others. */
  readonly movement: number;
  /** Minutes the rush order works while nobody is on site, and what all work gains or loses there. */
  readonly nightMinutes: Minute;
  readonly nightMinutesChange: Minute;
  readonly plan: Plan;
  readonly cost: Cost;
  /** Only what the plan in hand had already. */
  readonly conflicts: readonly Conflict[];
};

export type RushOutcome = {
  /** The problem with the order in it: the answers' plans belong to it. */
  readonly problem: Problem;
  readonly order: OrderId;
  /** The plan in hand: when it completes the order (null: not planned), and its cost. */
  readonly before: { readonly finish: Minute | null; readonly cost: Cost };
  /** The plan in hand, looked at like an answer; null: it does not complete the order. */
  readonly standing: RushAnswer | null;
  /** By finish, the earliest first; an order that is planned: only what completes it sooner. */
  readonly answers: readonly RushAnswer[];
  /** Without answers: what stood against the best attempt. */
  readonly blocked: readonly Conflict[];
};

export type RushOptions = {
  readonly seed?: number;
  /** Search steps of the full re-plan; 0: none. */
  readonly iterations?: number;
  readonly answersMost?: number;
  /** How far to go: only around everything, only for answers that break no promise, or for all (the default). */
  readonly effort?: "nothingMoves" | "noPromiseBroken" | "all";
  readonly shouldStop?: () => boolean;
  /** Called with the very first answer, and with those found before any search. */
  readonly onFirst?: (answers: readonly RushAnswer[], before: RushOutcome["before"]) => void;
  /** After each search: how many are done of how many, and the answers so far. */
  readonly onProgress?: (progress: RushProgress) => void;
};

export type RushProgress = {
  readonly done: number;
  readonly total: number;
  readonly before: RushOutcome["before"];
  /** Since the last time it was told. */
  readonly changed: boolean;
  readonly answers: () => readonly RushAnswer[];
};

const ITERATIONS_DEFAULT = 200;
const ANSWERS_DEFAULT = 5;

export function rush(problem: Problem, plan: Plan, order: WantedOrder, options: RushOptions = {}): Result<RushOutcome, Fault> {
  const wanted = wantedOrder(problem, order);
  if (!wanted.ok) return wanted;
  const judge = new Judge(wanted.value, plan);
  const shouldStop = options.shouldStop ?? (() => false);
  const most = options.answersMost ?? ANSWERS_DEFAULT;
  const offer = (candidate: Plan): Verdict => {
    const verdict = judge.offer(candidate);
    if (verdict.accepted && judge.accepted === 1) options.onFirst?.(chosen(judge.answers, most), before);
    return verdict;
  };
  const effort = options.effort ?? "all";
  const iterations = options.iterations ?? ITERATIONS_DEFAULT;
  const total = SEARCHES + (effort === "all" && iterations > 0 ? 1 : 0);
  const before = { finish: judge.finishBefore, cost: judge.costBefore };
  let told = 0;
  const onSearch = (done: number): void => {
    options.onProgress?.({ done, total, before, changed: judge.accepted > told, answers: () => chosen(judge.answers, most) });
    told = judge.accepted;
  };
  const search = { seed: options.seed ?? 1, shouldStop, onSearch };
  // what has no place now gets none by the way: it would push others, and nobody asked for it
  const asked: Wanted = { ...wanted.value, problem: plannedPart(wanted.value.problem, plan, new Set([wanted.value.order.id])) };
  quickCandidates(asked, plan, offer, { shouldStop, onlyAround: effort === "nothingMoves" });
  options.onFirst?.(chosen(judge.answers, most), before);
  told = judge.accepted;
  const known = () => judge.answers.map((answer) => ({ ...answer, hurt: answer.ordersLate.map((shift) => shift.order) }));
  if (effort !== "nothingMoves") searchedCandidates(asked, plan, known, offer, search);
  if (effort === "all" && iterations > 0 && !shouldStop()) {
    const best = [...judge.answers].sort((a, b) => a.cost.total - b.cost.total)[0];
    for (const candidate of replanned(asked, plan, best?.plan ?? plan, { ...search, iterations })) offer(candidate);
  }
  return ok({
    problem: wanted.value.problem,
    order: wanted.value.order.id,
    before,
    standing: judge.standing(),
    answers: chosen(judge.answers, most),
    blocked: judge.answers.length > 0 ? [] : judge.blocked,
  });
}

/** Judges plans offered, keeps those that hold and are not dominated. */
class Judge {
  readonly answers: RushAnswer[] = [];
  readonly finishBefore: Minute | null;
  readonly costBefore: Cost;
  blocked: readonly Conflict[] = [];
  accepted = 0;
  private readonly wanted: Wanted;
  private readonly plan: Plan;
  private readonly conflictsBefore: readonly Conflict[];
  private readonly nightBefore: Minute;
  private readonly own: ReadonlySet<OperationId>;

  constructor(wanted: Wanted, plan: Plan) {
    this.wanted = wanted;
    this.plan = plan;
    const before = check(wanted.problem, plan);
    this.conflictsBefore = before.conflicts;
    this.costBefore = before.cost;
    this.finishBefore = orderCompletions(wanted.problem, plan).get(wanted.order.id) ?? null;
    this.nightBefore = nightMinutes(wanted.problem, plan);
    this.own = new Set(wanted.problem.operations.filter(({ order }) => order === wanted.order.id).map(({ id }) => id));
  }

  offer(plan: Plan): Verdict {
    const { problem, order } = this.wanted;
    const finish = orderCompletions(problem, plan).get(order.id) ?? null;
    if (finish === null) return { accepted: false, finish: problem.horizon, hurt: [] };
    const difference = planDifference(problem, this.plan, plan, new Set([order.id]));
    // an order that had no place at all and gets a late one is not hurt
    const ordersLate = difference.orders.filter(({ before, lateBefore, lateAfter }) => before !== null && lateAfter > lateBefore);
    const hurt = ordersLate.map((shift) => shift.order);
    const lateness = ordersLate.reduce((sum, shift) => sum + shift.weight * (shift.lateAfter - shift.lateBefore), 0);
    const movement = difference.moved.reduce((sum, moved) => sum + moved.movement, 0);
    const useless = this.finishBefore !== null && finish >= this.finishBefore;
    const measures = { finish, lateness, movement };
    if (useless || this.answers.some((known) => noWorse(known, measures))) return { accepted: false, finish, hurt };
    const { conflicts, cost } = check(problem, plan);
    const added = newConflicts(this.conflictsBefore, conflicts);
    if (added.length > 0) {
      if (this.blocked.length === 0 || added.length < this.blocked.length) this.blocked = added;
      return { accepted: false, finish, hurt };
    }
    const kept = this.answers.filter((known) => !noWorse(measures, known));
    this.answers.length = 0;
    this.accepted += 1;
    this.answers.push(...kept, this.answer(plan, { ...measures, difference, ordersLate, cost, conflicts }));
    return { accepted: true, finish, hurt };
  }

  /** The plan in hand as an answer of its own; null: it does not complete the order. */
  standing(): RushAnswer | null {
    if (this.finishBefore === null) return null;
    return this.answer(this.plan, {
      ...{ finish: this.finishBefore, ordersLate: [], lateness: 0, movement: 0 },
      difference: planDifference(this.wanted.problem, this.plan, this.plan, new Set([this.wanted.order.id])),
      ...{ cost: this.costBefore, conflicts: this.conflictsBefore },
    });
  }

  private answer(plan: Plan, known: Measures & Pick<RushAnswer, "difference" | "ordersLate" | "cost" | "conflicts">): RushAnswer {
    const { problem, order } = this.wanted;
    return {
      ...known,
      labels: [],
      late: order.due === null ? 0 : Math.max(0, known.finish - order.due),
      operations: this.operationsOf(plan),
      nightMinutes: nightMinutes(problem, plan, this.own),
      nightMinutesChange: nightMinutes(problem, plan) - this.nightBefore,
      plan,
    };
  }

  private operationsOf(plan: Plan): RushAnswer["operations"] {
    const operations = new Map(this.wanted.problem.operations.map((operation) => [operation.id, operation]));
    return plan.operations
      .filter(({ operation }) => this.own.has(operation))
      .flatMap(({ operation, lots }) =>
        lots.map(({ mode, pieces, start, end }) => ({
          operation,
          mode,
          machines: operations.get(operation)?.modes.find(({ id }) => id === mode)?.machines ?? [],
          pieces,
          start,
          end,
        })),
      )
      .sort((a, b) => a.start - b.start || a.end - b.end);
  }
}

type Measures = Pick<RushAnswer, "finish" | "lateness" | "movement">;

/** At least as good in everything (equal counts: a second plan alike in all three is no second answer). */
export const noWorse = (a: Measures, b: Measures): boolean =>
  a.finish <= b.finish && a.lateness <= b.lateness && a.movement <= b.movement;

/** The answers to show: the named ones, then those that differ most in their finish; by finish. */
function chosen(answers: readonly RushAnswer[], most: number): readonly RushAnswer[] {
  const byFinish = [...answers].sort((a, b) => a.finish - b.finish || a.lateness - b.lateness || a.movement - b.movement);
  const labels = new Map<RushAnswer, RushLabel[]>();
  const name = (answer: RushAnswer | undefined, label: RushLabel): void => {
    if (answer !== undefined) labels.set(answer, [...(labels.get(answer) ?? []), label]);
  };
  name(byFinish[0], "earliest");
  name(
    byFinish.find(({ lateness }) => lateness === 0),
    "noPromiseBroken",
  );
  name(
    byFinish.find(({ difference }) => difference.moved.length === 0),
    "nothingMoves",
  );
  name([...byFinish].sort((a, b) => a.cost.total - b.cost.total)[0], "balanced");
  const shown = new Set([...labels.keys()].slice(0, Math.max(most, 4)));
  while (shown.size < Math.min(most, byFinish.length)) {
    const gap = (answer: RushAnswer): number => Math.min(...[...shown].map((other) => Math.abs(other.finish - answer.finish)));
    const next = byFinish.filter((answer) => !shown.has(answer)).sort((a, b) => gap(b) - gap(a))[0];
    if (next === undefined) break;
    shown.add(next);
  }
  return byFinish.filter((answer) => shown.has(answer)).map((answer) => ({ ...answer, labels: labels.get(answer) ?? [] }));
}
