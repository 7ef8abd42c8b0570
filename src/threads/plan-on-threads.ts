/**
 * A plan from several threads: each searches from a seed of its own, and after every round their best solutions are exchanged
 * in the order of the threads (core/solve/rounds.ts). The best plan wins: fewest conflicts, then least cost, then the lowest thread.
 * With iterations and without seconds the result depends on problem, start, seed and number of threads alone; the clock, kept
 * here at the edge, only ever says when to stop. One thread of seed K is what a single run of seed K gives.
 */
import type { Worker } from "node:worker_threads";
import { invariant } from "../core/ground/invariant.ts";
import type { PlanOutcome, PlanProgress } from "../core/plan/make-plan.ts";
import type { Plan } from "../core/problem/plan.ts";
import type { Problem } from "../core/problem/problem.ts";
import { betterThan, mergeRound, type RoundReport } from "../core/solve/rounds.ts";
import type { ThreadMessage, ThreadOrder, ThreadTask } from "./plan-thread.ts";
import { spawnThread } from "./spawn-thread.ts";
import { hasPlanInHand, raiseStop, STOP, stopFlags } from "./stop-flag.ts";

export type PlanRequest = {
  readonly seed: number;
  readonly threads: number;
  /** Of each thread; null or left out: the seconds or the signal end it. */
  readonly iterations?: number | null | undefined;
  /** Wall-clock limit; null or left out: only the iterations or the signal end it. */
  readonly seconds?: number | null | undefined;
  /** A plan to start from. */
  readonly start?: Plan | undefined;
  /** The best plan of any thread so far, the iterations of all. */
  readonly onProgress?: (progress: PlanProgress) => void;
  /** Stop and hand over at once the best that is judged. */
  readonly stop?: AbortSignal | undefined;
  /** Stop and hand over nothing: the process is going down. */
  readonly abandon?: AbortSignal | undefined;
};

export type PlannedRun = { readonly outcome: PlanOutcome; readonly seconds: number; readonly iterations: number };

/** A thread that does not heed the stop for so long is taken down. */
const STOP_PATIENCE_MS = 60_000;

/** There is always a plan: a stop that comes before the first one waits for it. */
export async function planOnThreads(problem: Problem, request: PlanRequest): Promise<PlannedRun> {
  const run = await runThreads(problem, request, false);
  invariant(run !== null, "a stop that waits has a plan");
  return run;
}

/** The same for somebody who waits: null when the stop came before any plan stood and was judged. */
export async function planUnlessStopped(problem: Problem, request: PlanRequest): Promise<PlannedRun | null> {
  return runThreads(problem, request, true);
}

/** What a thread that was stopped without a plan adds to those of the others. */
const NOTHING: RoundReport = {
  conflicts: Number.POSITIVE_INFINITY,
  total: Number.POSITIVE_INFINITY,
  lowerBound: Number.NEGATIVE_INFINITY,
  finished: true,
  iterations: 0,
  elites: [],
};

async function runThreads(problem: Problem, request: PlanRequest, atOnce: boolean): Promise<PlannedRun | null> {
  const begun = performance.now();
  const flag = stopFlags(request.threads);
  const timers: NodeJS.Timeout[] = [];
  const start = request.start !== undefined && request.start.operations.length > 0 ? request.start : undefined;
  const iterations = request.iterations ?? undefined;
  const workers = Array.from({ length: request.threads }, (_, threadIndex) => {
    const until = iterations === undefined ? (request.seconds ?? undefined) : undefined;
    const task: ThreadTask = { problem, start, seed: request.seed, threadIndex, iterations, seconds: until, stop: flag };
    return spawnThread("plan-thread", import.meta.url, { workerData: task });
  });
  const terminate = (): void => void Promise.all(workers.map((worker) => worker.terminate()));
  const raise = (to: number): void => {
    if (raiseStop(flag, to)) timers.push(setTimeout(terminate, STOP_PATIENCE_MS));
  };
  const timeIsUp = (): void => raise(STOP.inTime);
  /** Called with a thread that will not report, or with null when there is nothing to wait for. */
  let leaveOut: (thread: number | null) => void = () => {};
  const halt = (): void => {
    raise(STOP.now);
    if (!atOnce) return;
    const without = [...workers.keys()].filter((thread) => !hasPlanInHand(flag, thread));
    if (without.length === workers.length) leaveOut(null);
    else for (const thread of without) leaveOut(thread);
  };
  const { seconds, stop, abandon } = request;
  if (seconds !== undefined && seconds !== null) timers.push(setTimeout(timeIsUp, seconds * 1000));
  stop?.addEventListener("abort", halt, { once: true });
  if (abandon?.aborted) terminate();
  abandon?.addEventListener("abort", terminate, { once: true });
  try {
    const ended = runRounds(workers, {
      leaveOut: (leave) => {
        leaveOut = leave;
      },
      onProgress: request.onProgress,
      // A proof ends the others at once, unless the number of iterations says to the last one how long a round lasts.
      onProof: iterations === undefined ? timeIsUp : () => {},
    });
    if (stop?.aborted) halt();
    const { outcome, reports } = await ended;
    if (outcome === null) return null;
    return {
      outcome,
      seconds: (performance.now() - begun) / 1000,
      iterations: reports.reduce((sum, report) => sum + report.iterations, 0),
    };
  } finally {
    stop?.removeEventListener("abort", halt);
    abandon?.removeEventListener("abort", terminate);
    for (const timer of timers) clearTimeout(timer);
    terminate(); // nobody who waits for the plan waits for this
  }
}

type Ears = {
  readonly onProgress: PlanRequest["onProgress"];
  readonly onProof: () => void;
  /** Is given the way to tell that a thread will not report, or (null) that none is waited for. */
  readonly leaveOut: (leave: (thread: number | null) => void) => void;
};

async function runRounds(
  workers: readonly Worker[],
  ears: Ears,
): Promise<{ outcome: PlanOutcome | null; reports: readonly RoundReport[] }> {
  const reports: RoundReport[] = [];
  const latest = new Map<number, PlanProgress>();
  return new Promise((resolve, reject) => {
    const tell = (thread: number, order: ThreadOrder): void => workers[thread]?.postMessage(order);
    let awaited = workers.length;
    const merge = (): void => {
      const { winner, lowerBound, next } = mergeRound(reports);
      awaited = next.length;
      if (next.length === 0) tell(winner, { kind: "finish", lowerBound });
      for (const { thread, visitors } of next) tell(thread, { kind: "advance", visitors, lowerBound });
    };
    const left = new Set<number>();
    const hear = (thread: number, report: RoundReport): void => {
      if (left.has(thread)) return;
      reports[thread] = report;
      if (report.conflicts === 0 && report.total <= report.lowerBound) ears.onProof();
      awaited -= 1;
      if (awaited === 0) merge();
    };
    ears.leaveOut((thread) => {
      if (thread === null) return resolve({ outcome: null, reports: [] });
      if (reports[thread] !== undefined) return;
      hear(thread, NOTHING);
      left.add(thread);
    });
    workers.forEach((worker, thread) => {
      worker.on("message", (message: ThreadMessage) => {
        if (message.kind === "outcome")
          return resolve({ outcome: { plan: JSON.parse(message.plan) as Plan, ...message.outcome }, reports });
        if (message.kind === "progress") {
          latest.set(thread, message.progress);
          return ears.onProgress?.(together([...latest.values()]));
        }
        hear(thread, message.report);
      });
      worker.once("error", reject);
      worker.once("exit", (code) => reject(new Error(`a planning thread ended with code ${code} and no plan`)));
    });
  });
}

/** What all threads together have: the best plan of any, the steps of all. */
function together(all: readonly PlanProgress[]): PlanProgress {
  const best = all.reduce((kept, other) => (betterThan(other, kept) ? other : kept));
  return { ...best, iterations: all.reduce((sum, progress) => sum + progress.iterations, 0) };
}
