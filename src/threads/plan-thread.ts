/**
 * One thread of a planning run: makes a round, reports, waits to be told whom to meet before the next, and hands the plan over
 * when told to finish. Entry of a worker thread; everything it needs comes in workerData.
 */
import { parentPort, workerData } from "node:worker_threads";
import { invariant } from "../core/ground/invariant.ts";
import type { PlanOutcome, PlanProgress } from "../core/plan/make-plan.ts";
import { openPlanSearch } from "../core/plan/plan-search.ts";
import type { Plan } from "../core/problem/plan.ts";
import type { Problem } from "../core/problem/problem.ts";
import type { RoundReport } from "../core/solve/rounds.ts";
import { STOP, sayPlanInHand } from "./stop-flag.ts";

export type ThreadTask = {
  readonly problem: Problem;
  readonly start: Plan | undefined;
  readonly seed: number;
  readonly threadIndex: number;
  readonly iterations: number | undefined;
  /** When somebody will say stop at the latest; undefined: nobody knows. */
  readonly seconds: number | undefined;
  /** See `STOP`. */
  readonly stop: SharedArrayBuffer;
};
export type ThreadOrder =
  | { readonly kind: "advance"; readonly visitors: readonly Int32Array[]; readonly lowerBound: number }
  | { readonly kind: "finish"; readonly lowerBound: number };
export type ThreadMessage =
  | { readonly kind: "progress"; readonly progress: PlanProgress }
  | { readonly kind: "round"; readonly report: RoundReport }
  /** The plan as text: a message copies a hundred thousand small objects at twice the cost. */
  | { readonly kind: "outcome"; readonly outcome: Omit<PlanOutcome, "plan">; readonly plan: string };

/** Often enough to look alive, seldom enough to cost nothing. */
const TELL_EVERY_MS = 100;

const port = parentPort;
invariant(port !== null, "a planning thread starts as a worker");
const { problem, start, seed, threadIndex, iterations, seconds, stop } = workerData as ThreadTask;
const begun = performance.now();
const flag = new Int32Array(stop);
const send = (message: ThreadMessage): void => port.postMessage(message);

let told = Number.NEGATIVE_INFINITY;
const search = openPlanSearch(problem, {
  seed,
  threadIndex,
  iterations,
  start,
  onPlanInHand: () => sayPlanInHand(stop, threadIndex),
  shouldStop: () => Atomics.load(flag, 0) !== STOP.no,
  hurry: () => Atomics.load(flag, 0) === STOP.now,
  spent: seconds === undefined ? undefined : () => (performance.now() - begun) / (1000 * seconds),
  onProgress: (progress) => {
    const now = performance.now();
    if (now - told < TELL_EVERY_MS) return;
    told = now;
    send({ kind: "progress", progress });
  },
});

const round = (): void => {
  search.advance();
  send({ kind: "round", report: search.report() });
};

port.on("message", (order: ThreadOrder) => {
  if (order.kind === "advance") {
    search.meet(order.visitors, order.lowerBound);
    round();
  } else {
    search.meet([], order.lowerBound);
    const { plan, ...outcome } = search.outcome();
    send({ kind: "outcome", outcome, plan: JSON.stringify(plan) });
    port.close();
  }
});
round();
