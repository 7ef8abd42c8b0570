/** One solver thread of the command line: plans the problem it was given, reports progress, hands back the outcome. */
import { parentPort, workerData } from "node:worker_threads";
import { invariant } from "../core/ground/invariant.ts";
import { makePlan, type PlanOutcome, type PlanProgress } from "../core/plan/make-plan.ts";
import type { Problem } from "../core/problem/problem.ts";

export type ThreadTask = {
  readonly problem: Problem;
  readonly seed: number;
  readonly iterations: number | null;
  /** Slot 0: stop when not 0. */
  readonly stop: SharedArrayBuffer;
};
export type ThreadMessage =
  | { readonly kind: "progress"; readonly progress: PlanProgress }
  | { readonly kind: "outcome"; readonly outcome: PlanOutcome }
  | { readonly kind: "failed"; readonly message: string };

const port = parentPort;
invariant(port !== null, "a solver thread starts as a worker");
const task = workerData as ThreadTask;
const flags = new Int32Array(task.stop);
const send = (message: ThreadMessage): void => port.postMessage(message);
try {
  const outcome = makePlan(task.problem, {
    seed: task.seed,
    ...(task.iterations === null ? {} : { iterations: task.iterations }),
    shouldStop: () => Atomics.load(flags, 0) !== 0,
    onProgress: (progress) => send({ kind: "progress", progress }),
  });
  send({ kind: "outcome", outcome });
} catch (error) {
  send({ kind: "failed", message: error instanceof Error ? (error.stack ?? error.message) : String(error) });
}
