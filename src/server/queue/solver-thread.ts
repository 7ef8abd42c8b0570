/**
 * One thread of a run: the engine on one problem, told to stop through shared memory, telling its progress by messages.
 * Entry of a worker thread; everything it needs comes in workerData.
 */
import { parentPort, workerData } from "node:worker_threads";
import { makePlan } from "../../core/plan/make-plan.ts";
import type { ThreadInput, ThreadMessage } from "./solve-on-threads.ts";

/** Often enough to look alive, seldom enough to cost nothing. */
const TELL_EVERY_MS = 200;

const { problem, start, seed, iterations, threadIndex, stop } = workerData as ThreadInput;
const flag = new Int32Array(stop);
const tell = (message: ThreadMessage): void => parentPort?.postMessage(message);

let told = Number.NEGATIVE_INFINITY;
const outcome = makePlan(problem, {
  seed,
  threadIndex,
  iterations,
  ...(start.operations.length > 0 ? { start } : {}),
  shouldStop: () => Atomics.load(flag, 0) !== 0,
  onProgress: (progress) => {
    const now = performance.now();
    if (now - told < TELL_EVERY_MS) return;
    told = now;
    tell({
      kind: "progress",
      threadIndex,
      progress: { iterations: progress.iterations, conflicts: progress.conflicts, total: progress.total, phase: progress.phase },
    });
  },
});
tell({ kind: "outcome", threadIndex, outcome });
