/**
 * Plans a problem in worker threads with different seeds and keeps the best plan: fewest conflicts, then least cost,
 * then the lowest thread number, so that the result depends on problem, seed, threads and iterations alone.
 * With a time limit the clock only says when to stop. One thread of seed K is what a single run of seed K gives.
 */
import { Worker, type WorkerOptions } from "node:worker_threads";
import type { PlanOutcome, PlanProgress } from "../core/plan/make-plan.ts";
import type { Problem } from "../core/problem/problem.ts";
import type { ThreadMessage, ThreadTask } from "./solver-thread.ts";

export type SolveRequest = {
  readonly seed: number;
  readonly threads: number;
  /** Wall-clock limit; null: only the iterations end it. */
  readonly seconds: number | null;
  /** Per thread; null: only the seconds end it. */
  readonly iterations: number | null;
  readonly onProgress?: (progress: PlanProgress, thread: number) => void;
  readonly signal?: AbortSignal;
};

export type SolveResult = { readonly outcome: PlanOutcome; readonly seconds: number; readonly iterations: number };

/** Seeds of the threads: far apart, the first is the user's own. */
const seedOfThread = (seed: number, thread: number): number => (seed + thread * 1_000_003) % 2_147_483_647;

export async function solveInThreads(problem: Problem, request: SolveRequest): Promise<SolveResult> {
  const begun = performance.now();
  const stop = new SharedArrayBuffer(4);
  const flags = new Int32Array(stop);
  const halt = (): void => void Atomics.store(flags, 0, 1);
  const timer = request.seconds === null ? undefined : setTimeout(halt, request.seconds * 1000);
  request.signal?.addEventListener("abort", halt, { once: true });
  try {
    const outcomes = await Promise.all(
      Array.from({ length: request.threads }, (_, thread) =>
        runThread(
          { problem, seed: seedOfThread(request.seed, thread), iterations: request.iterations, stop },
          (progress) => request.onProgress?.(progress, thread),
          // A proof ends the others, too; an iteration budget does not.
          (outcome) => outcome.bound.kind === "optimal" && request.iterations === null && halt(),
        ),
      ),
    );
    const best = outcomes.reduce((kept, other) => (better(other, kept) ? other : kept));
    return {
      outcome: withBestBound(best, outcomes),
      seconds: (performance.now() - begun) / 1000,
      iterations: outcomes.reduce((sum, outcome) => sum + outcome.iterations, 0),
    };
  } finally {
    clearTimeout(timer);
    halt();
  }
}

const better = (a: PlanOutcome, b: PlanOutcome): boolean =>
  a.conflicts.length !== b.conflicts.length ? a.conflicts.length < b.conflicts.length : a.cost.total < b.cost.total;

/** A bound proven by one thread holds for the plan of another. */
function withBestBound(best: PlanOutcome, outcomes: readonly PlanOutcome[]): PlanOutcome {
  if (best.bound.kind === "optimal") return best;
  const bounds = outcomes.flatMap((outcome) =>
    outcome.bound.kind === "within" ? [outcome.bound.lowerBound] : outcome.bound.kind === "optimal" ? [outcome.cost.total] : [],
  );
  if (bounds.length === 0) return best;
  const lowerBound = Math.max(...bounds);
  if (lowerBound >= best.cost.total) return { ...best, bound: { kind: "optimal" } };
  return {
    ...best,
    bound: { kind: "within", lowerBound, percent: lowerBound > 0 ? (100 * (best.cost.total - lowerBound)) / lowerBound : 0 },
  };
}

function runThread(
  task: ThreadTask,
  onProgress: (progress: PlanProgress) => void,
  onOutcome: (outcome: PlanOutcome) => void,
): Promise<PlanOutcome> {
  return new Promise((resolve, reject) => {
    const worker = spawn("solver-thread", { workerData: task });
    worker.on("message", (message: ThreadMessage) => {
      if (message.kind === "progress") onProgress(message.progress);
      else if (message.kind === "failed") reject(new Error(message.message));
      else {
        onOutcome(message.outcome);
        resolve(message.outcome);
      }
    });
    worker.once("error", reject);
    worker.once("exit", (code) => reject(new Error(`a solver thread ended with code ${code} and no plan`)));
  });
}

/** Starts the module beside this file as a worker: JavaScript in the build, TypeScript from source. */
function spawn(name: string, options: WorkerOptions): Worker {
  const here = import.meta.url;
  if (!here.endsWith(".ts")) return new Worker(new URL(`./${name}.js`, here), options);
  return new Worker(new URL("./thread-starter.mjs", here), { ...options, argv: [new URL(`./${name}.ts`, here).href] });
}
