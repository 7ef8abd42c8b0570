/** One thread of a simulation: its share of the runs, handed over in chunks as they are done. Entry of a worker thread. */
import { parentPort, workerData } from "node:worker_threads";
import { invariant } from "../core/ground/invariant.ts";
import type { Plan } from "../core/problem/plan.ts";
import type { Problem } from "../core/problem/problem.ts";
import { createReplay, type RunsPart, simulateRuns } from "../core/risk/replay.ts";
import type { RiskProfile } from "../core/risk/risk-profile.ts";

export type SimulationTask = {
  readonly problem: Problem;
  readonly plan: Plan;
  readonly profile: RiskProfile;
  readonly seed: number;
  readonly firstRun: number;
  readonly runs: number;
  readonly chunk: number;
};
export type SimulationMessage = { readonly kind: "part"; readonly part: RunsPart } | { readonly kind: "end" };

const port = parentPort;
invariant(port !== null, "a simulation thread starts as a worker");
const { problem, plan, profile, seed, firstRun, runs, chunk } = workerData as SimulationTask;
const replay = createReplay(problem, plan, profile);
for (let done = 0; done < runs; done += chunk) {
  const part = simulateRuns(replay, { seed, firstRun: firstRun + done, runs: Math.min(chunk, runs - done) });
  port.postMessage({ kind: "part", part } satisfies SimulationMessage);
}
port.postMessage({ kind: "end" } satisfies SimulationMessage);
