/**
 * "Fit this rush job": several answers that differ really, none worse than another in everything, each with who moves, who becomes
 * late and who must be told. Every answer has passed the checker: it has no conflict that the plan in hand had not. What is better is said by
 * the measures of rush-choice.ts. Finds good answers, promises none to be the best possible, but for one: with a single operation,
 * the finish without moving anybody is exact. Where fewer than three are found it says what became of all that was tried.
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
import { leastPossible } from "./least-possible.ts";
import { newConflicts } from "./new-conflicts.ts";
import { nightMinutes } from "./night-hours.ts";
import { type OrderShift, orderCompletions, type PlanDifference, planDifference } from "./plan-difference.ts";
import { inBetween, quickCandidates, replanned, SEARCHES, searchedCandidates, type Verdict } from "./rush-candidates.ts";
import {
  ANSWERS_LEAST,
  chosen,
  foremost,
  type Measures,
  noWorse,
  type RushLabel,
  type Settled,
  settledBy,
} from "./rush-choice.ts";
import { variedCandidates } from "./rush-variants.ts";
import { type Soonest, soonest } from "./soonest.ts";
import { type Wanted, type WantedOrder, wantedOrder } from "./wanted-order.ts";

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
  /** Other orders of which something moves. */
  readonly ordersMoved: number;
  /** Machines and crews that must be told anew, the order's own included. */
  readonly told: number;
  /** Minutes the rush order works while nobody is on site, and what all work gains or loses there. */
  readonly nightMinutes: Minute;
  readonly nightMinutesChange: Minute;
  /** Batches cut. */
  readonly cuts: number;
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
  /** Before which minute nothing could complete it. */
  readonly soonest: Soonest;
  /** What no answer can be below, measure by measure; null: the plan in hand does not complete the order. */
  readonly least: Measures | null;
  /** What that proves of the answers. */
  readonly settled: Settled | null;
  /** Without answers: what stood against the best attempt. */
  readonly blocked: readonly Conflict[];
  /** What became of all plans that were thought of. */
  readonly tried: RushTried;
};

export type RushTried = {
  readonly plans: number;
  /** No better than an answer in anything, or the same. */
  readonly noBetter: number;
  /** Would not complete the order, or no sooner than the plan in hand. */
  readonly noSooner: number;
  /** Would break a rule. */
  readonly broken: number;
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
/** Until so many are known more is tried: of those that trade what matters most, and of all. */
const FOREMOST_WANTED = 3;
const ANSWERS_WANTED = 6;

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
  const known = () =>
    judge.answers.map((answer) => ({
      ...answer,
      hurt: answer.ordersLate.map((shift) => shift.order),
      moved: new Set(answer.difference.moved.map((moved) => moved.order)),
    }));
  if (effort !== "nothingMoves") searchedCandidates(asked, plan, known, offer, search);
  if (effort === "all" && iterations > 0 && !shouldStop()) {
    const best = [...judge.answers].sort((a, b) => a.cost.total - b.cost.total)[0];
    for (const candidate of replanned(asked, plan, best?.plan ?? plan, { ...search, iterations })) offer(candidate);
  }
  if (effort === "all") {
    const enough = (): boolean =>
      shouldStop() || judge.answers.length >= ANSWERS_WANTED || foremost(judge.answers).length >= FOREMOST_WANTED;
    variedCandidates(asked, plan, known, offer, enough);
    if (!enough() && judge.answers.length < ANSWERS_LEAST && before.finish !== null)
      for (const candidate of inBetween(asked, plan, known(), before.finish, search)) offer(candidate);
  }
  const first = soonest(asked, plan, wanted.value.problem);
  const answers = chosen(judge.answers, most);
  const least =
    before.finish === null
      ? null
      : leastPossible(wanted.value, { plan, finish: before.finish, alone: judge.nightBefore }, first.finish);
  return ok({
    problem: wanted.value.problem,
    order: wanted.value.order.id,
    before,
    standing: judge.standing(),
    soonest: first,
    ...{ answers, least, settled: settledBy(answers, least) },
    blocked: judge.answers.length > 0 ? [] : judge.blocked,
    tried: { ...judge.tried },
  });
}

const UNTOUCHED = { lateness: 0, movement: 0, ordersMoved: 0, told: 0, nightMinutesChange: 0, cuts: 0 };

/** Judges plans offered, keeps those that hold and are not dominated. */
class Judge {
  readonly answers: RushAnswer[] = [];
  readonly finishBefore: Minute | null;
  readonly costBefore: Cost;
  blocked: readonly Conflict[] = [];
  accepted = 0;
  readonly tried = { plans: 0, noBetter: 0, noSooner: 0, broken: 0 };
  private readonly wanted: Wanted;
  private readonly plan: Plan;
  private readonly conflictsBefore: readonly Conflict[];
  readonly nightBefore: Minute;
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
    this.tried.plans += 1;
    const finish = orderCompletions(problem, plan).get(order.id) ?? null;
    const useless = finish === null || (this.finishBefore !== null && finish >= this.finishBefore);
    if (useless) this.tried.noSooner += 1;
    if (finish === null) return { accepted: false, finish: problem.horizon, hurt: [] };
    const difference = planDifference(problem, this.plan, plan, new Set([order.id]));
    // an order that had no place at all and gets a late one is not hurt
    const ordersLate = difference.orders.filter(({ before, lateBefore, lateAfter }) => before !== null && lateAfter > lateBefore);
    const hurt = ordersLate.map((shift) => shift.order);
    if (useless) return { accepted: false, finish, hurt };
    const measures: Measures = {
      finish,
      lateness: ordersLate.reduce((sum, shift) => sum + shift.weight * (shift.lateAfter - shift.lateBefore), 0),
      movement: difference.moved.reduce((sum, moved) => sum + moved.movement, 0),
      ordersMoved: new Set(difference.moved.map((moved) => moved.order)).size,
      told: difference.machines.length + difference.crews.length,
      nightMinutesChange: nightMinutes(problem, plan) - this.nightBefore,
      cuts: difference.cuts.length,
    };
    if (this.answers.some((known) => noWorse(known, measures))) {
      this.tried.noBetter += 1;
      return { accepted: false, finish, hurt };
    }
    const { conflicts, cost } = check(problem, plan);
    const added = newConflicts(this.conflictsBefore, conflicts);
    if (added.length > 0) {
      this.tried.broken += 1;
      if (this.blocked.length === 0 || added.length < this.blocked.length) this.blocked = added;
      return { accepted: false, finish, hurt };
    }
    const kept = this.answers.filter((known) => !noWorse(measures, known));
    this.tried.noBetter += this.answers.length - kept.length;
    this.answers.length = 0;
    this.accepted += 1;
    this.answers.push(...kept, this.answer(plan, { ...measures, difference, ordersLate, cost, conflicts }));
    return { accepted: true, finish, hurt };
  }

  /** The plan in hand as an answer of its own; null: it does not complete the order. */
  standing(): RushAnswer | null {
    if (this.finishBefore === null) return null;
    return this.answer(this.plan, {
      ...{ finish: this.finishBefore, ordersLate: [], ...UNTOUCHED },
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
