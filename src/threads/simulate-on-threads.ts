/**
 * The runs of a simulation split over threads. Every run has a stream of chance of its own from (seed, number of the run), so the
 * answer is the same to the last digit for any number of threads. Called off, it hands over nothing: a few runs say little.
 */
import { availableParallelism } from "node:os";
import type { Plan } from "../core/problem/plan.ts";
import type { Problem } from "../core/problem/problem.ts";
import type { RunsPart } from "../core/risk/replay.ts";
import type { RiskProfile } from "../core/risk/risk-profile.ts";
import type { SimulationMessage, SimulationTask } from "./simulation-thread.ts";
import { spawnThread } from "./spawn-thread.ts";

export type SimulationRequest = {
  readonly seed: number;
  readonly runs: number;
  /** Left out: as many as the machine has, up to four. */
  readonly threads?: number;
  readonly onProgress?: (done: number) => void;
  /** Looked at after every chunk. */
  readonly shouldStop?: () => boolean;
};

const THREADS_MAX = 4;
/** Runs between two words of a thread: a tenth of a second or less for a shop of weeks. */
const CHUNK = 50;

/** null: it was called off. */
export async function simulateOnThreads(
  problem: Problem,
  plan: Plan,
  profile: RiskProfile,
  request: SimulationRequest,
): Promise<readonly RunsPart[] | null> {
  const { seed, runs, onProgress, shouldStop } = request;
  const wanted = request.threads ?? Math.min(THREADS_MAX, availableParallelism());
  const threads = Math.max(1, Math.min(wanted, Math.ceil(runs / CHUNK)));
  const share = Math.ceil(runs / threads);
  const tasks = Array.from({ length: threads }, (_, i): SimulationTask => {
    const firstRun = i * share;
    return { problem, plan, profile, seed, firstRun, runs: Math.max(0, Math.min(share, runs - firstRun)), chunk: CHUNK };
  }).filter((task) => task.runs > 0);
  const parts: RunsPart[] = [];
  let done = 0;
  let stopped = false;
  const workers = tasks.map((workerData) => spawnThread("simulation-thread", import.meta.url, { workerData }));
  try {
    await Promise.all(
      workers.map(
        (worker) =>
          new Promise<void>((resolve, reject) => {
            worker.on("message", (message: SimulationMessage) => {
              if (message.kind === "end") return resolve();
              parts.push(message.part);
              done += message.part.runs;
              onProgress?.(done);
              if (shouldStop?.() !== true) return;
              stopped = true;
              for (const each of workers) void each.terminate();
            });
            worker.once("error", reject);
            worker.once("exit", (code) =>
              stopped ? resolve() : reject(new Error(`a simulation thread ended with code ${code}`)),
            );
          }),
      ),
    );
    return stopped ? null : parts;
  } finally {
    await Promise.all(workers.map((worker) => worker.terminate()));
  }
}
