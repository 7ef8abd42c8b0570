/**
 * The engine on several threads: the same problem, other seeds, the best outcome wins (fewest conflicts, then cost, then the
 * lowest thread). Seconds are kept here, at the edge: the engine itself only knows iterations and the wish to stop.
 * With iterations and without seconds the result depends on nothing but problem, plan, seed and number of threads.
 */
import type { PlanOutcome } from "../../core/plan/make-plan.ts";
import type { Plan } from "../../core/problem/plan.ts";
import type { Problem } from "../../core/problem/problem.ts";
import { spawnThread } from "./spawn-thread.ts";

export type ThreadInput = {
  readonly problem: Problem;
  readonly start: Plan;
  readonly seed: number;
  readonly iterations: number | undefined;
  readonly threadIndex: number;
  /** One Int32: not 0 means stop. */
  readonly stop: SharedArrayBuffer;
};
export type ThreadProgress = {
  readonly iterations: number;
  readonly conflicts: number;
  readonly total: number;
  readonly phase: string;
};
export type ThreadMessage =
  | { readonly kind: "progress"; readonly threadIndex: number; readonly progress: ThreadProgress }
  | { readonly kind: "outcome"; readonly threadIndex: number; readonly outcome: PlanOutcome };

export type SolveOptions = {
  readonly seed: number;
  readonly threads: number;
  readonly iterations?: number | undefined;
  readonly seconds?: number | undefined;
  readonly onProgress?: (progress: ThreadProgress) => void;
  /** Stop and hand over the best so far. */
  readonly stop?: AbortSignal;
  /** Stop and hand over nothing: the process is going down. */
  readonly abandon?: AbortSignal;
};

/** A thread that does not heed the stop flag for so long is taken down. */
const STOP_PATIENCE_MS = 20_000;

export async function solveOnThreads(problem: Problem, start: Plan, options: SolveOptions): Promise<PlanOutcome> {
  const flag = new SharedArrayBuffer(4);
  const raise = (): void => void Atomics.store(new Int32Array(flag), 0, 1);
  const latest = new Map<number, ThreadProgress>();
  const workers = Array.from({ length: options.threads }, (_, threadIndex) => {
    const input: ThreadInput = { problem, start, seed: options.seed, iterations: options.iterations, threadIndex, stop: flag };
    return spawnThread("solver-thread", { workerData: input });
  });
  const timers: NodeJS.Timeout[] = [];
  const terminate = (): void => void Promise.all(workers.map((worker) => worker.terminate()));
  const stop = (): void => {
    raise();
    timers.push(setTimeout(terminate, STOP_PATIENCE_MS));
  };
  if (options.seconds !== undefined)
    timers.push(setTimeout(raise, options.seconds * 1000), setTimeout(terminate, options.seconds * 1000 + STOP_PATIENCE_MS));
  if (options.stop?.aborted) stop();
  options.stop?.addEventListener("abort", stop, { once: true });
  if (options.abandon?.aborted) terminate();
  options.abandon?.addEventListener("abort", terminate, { once: true });
  try {
    const outcomes = await Promise.all(
      workers.map(
        (worker) =>
          new Promise<PlanOutcome | Error>((resolve) => {
            worker.on("message", (message: ThreadMessage) => {
              if (message.kind === "outcome") return resolve(message.outcome);
              latest.set(message.threadIndex, message.progress);
              options.onProgress?.(together([...latest.values()]));
            });
            worker.once("error", resolve);
            worker.once("exit", () => resolve(new Error("the engine's thread ended without an answer")));
          }),
      ),
    );
    const good = outcomes.filter((outcome): outcome is PlanOutcome => !(outcome instanceof Error));
    const failed = outcomes.find((outcome): outcome is Error => outcome instanceof Error);
    const [best] = [...good].sort((a, b) => a.conflicts.length - b.conflicts.length || a.cost.total - b.cost.total);
    if (!best || failed) throw failed ?? new Error("no thread found a plan");
    return { ...best, iterations: good.reduce((sum, outcome) => sum + outcome.iterations, 0) };
  } finally {
    options.stop?.removeEventListener("abort", stop);
    options.abandon?.removeEventListener("abort", terminate);
    for (const timer of timers) clearTimeout(timer);
    await Promise.all(workers.map((worker) => worker.terminate()));
  }
}

/** What all threads together have: the best plan of any, the steps of all. */
function together(all: readonly ThreadProgress[]): ThreadProgress {
  const [best] = [...all].sort((a, b) => a.conflicts - b.conflicts || a.total - b.total);
  return {
    conflicts: best?.conflicts ?? 0,
    total: best?.total ?? 0,
    phase: best?.phase ?? "",
    iterations: all.reduce((sum, p) => sum + p.iterations, 0),
  };
}
