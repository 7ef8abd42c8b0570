/**
 * Gecode, Chuffed, HiGHS and CBC as the npm package `minizinc` brings them in one WebAssembly file. The worker is ready and
 * warm before the time runs; the time includes reading and flattening the model. The best solution found by the end of the limit counts.
 * The package knows no threads, so with several threads each runs the model once more with a seed (and a search) of its own.
 */
import { existsSync } from "node:fs";
import { createRequire } from "node:module";
import path from "node:path";
import { fileURLToPath } from "node:url";
import { Worker } from "node:worker_threads";
import { z } from "zod";
import { alarm, type Clock, cpuSeconds } from "./clock.ts";
import { instanceNamed } from "./instances.ts";
import { modelsOf } from "./models.ts";
import { ruleSchedule } from "./rule.ts";

export const MINIZINC_SOLVERS = ["gecode", "chuffed", "highs", "cbc"] as const;
export type MinizincSolver = (typeof MINIZINC_SOLVERS)[number];

const ID_OF: Readonly<Record<MinizincSolver, string>> = {
  gecode: "org.minizinc.gecode_presolver",
  chuffed: "org.minizinc.chuffed",
  highs: "org.minizinc.mip.highs",
  cbc: "org.minizinc.mip.coin-bc",
};

const WARM_UP_SECONDS = 1.5;

export type PeerLimits = { readonly seconds: number; readonly threads: number; readonly clock: Clock; readonly seed: number };

/** What the solver printed last; `values` has the model's variables by name. */
export type PeerSolution = { readonly makespan: number; readonly values: Readonly<Record<string, readonly number[]>> };
export type PeerAnswer = {
  readonly solution: PeerSolution | null;
  readonly proven: boolean;
  /** Wall-clock and CPU seconds of all threads, the worker's start left out. */
  readonly seconds: number;
  readonly cpu: number;
  /** What it said when it could not do it. */
  readonly trouble: string | null;
};

/** The folder of the package's files; null when it is not installed. */
export function minizincFolder(): string | null {
  try {
    return path.dirname(createRequire(import.meta.url).resolve("minizinc/minizinc.wasm"));
  } catch {
    return null;
  }
}

const messageSchema = z.looseObject({ type: z.string() });
const solutionSchema = z.object({
  output: z.object({ json: z.looseObject({ makespan: z.number() }) }),
});
const numbersSchema = z.array(z.number());

/** One model text per thread; a shorter list is used round and round. */
export async function runMinizinc(solver: MinizincSolver, models: readonly string[], limits: PeerLimits): Promise<PeerAnswer> {
  const folder = minizincFolder();
  if (folder === null) throw new Error("the package minizinc is not installed");
  const workers = await Promise.all(Array.from({ length: limits.threads }, () => readyWorker(folder)));
  await Promise.all(workers.map((worker) => warmUp(worker, solver)));
  const wall = performance.now();
  const cpu = cpuSeconds();
  let best: PeerSolution | null = null;
  let proven = false;
  let trouble: string | null = null;
  await new Promise<void>((finish) => {
    let running = workers.length;
    const cancel = alarm(limits.clock, limits.seconds, limits.threads, finish);
    const done = (): void => {
      cancel();
      finish();
    };
    workers.forEach((worker, thread) => {
      worker.on("message", (raw: unknown) => {
        const message = messageSchema.safeParse(raw).data;
        if (message === undefined) return;
        if (message.type === "solution") {
          const found = readSolution(raw);
          if (best === null || found.makespan < best.makespan) best = found;
        } else if (message.type === "status" && (message.status === "OPTIMAL_SOLUTION" || message.status === "UNSATISFIABLE")) {
          // Under an upper bound that a rule has reached, "unsatisfiable" would be a fault of the model; it is shown as one.
          if (message.status === "UNSATISFIABLE") trouble = "called it unsatisfiable";
          else proven = true;
          done();
        } else if (message.type === "error") trouble = String(message.message ?? "an error without words");
        else if (message.type === "exit") {
          running -= 1;
          if (running === 0) done();
        }
      });
      worker.on("error", (error) => {
        trouble = error.message;
        running -= 1;
        if (running === 0) done();
      });
      worker.postMessage({
        jsonStream: true,
        files: { "shop.mzn": models[thread % models.length] },
        args: argumentsOf(solver, limits, thread),
      });
    });
  });
  const seconds = (performance.now() - wall) / 1000;
  const spent = cpuSeconds() - cpu;
  await Promise.all(workers.map((worker) => worker.terminate()));
  return { solution: best, proven, seconds, cpu: spent, trouble };
}

/** Compiling the solver's hot code is the platform's work, not the solver's: the smallest published shop, for a moment, untimed. */
function warmUp(worker: Worker, solver: MinizincSolver): Promise<void> {
  const ft06 = instanceNamed("ft06", "");
  if (ft06 === null) throw new Error("ft06 is typed in seed/instances");
  const upper = ruleSchedule(ft06.shop).makespan;
  return new Promise((resolve, reject) => {
    const listen = (raw: unknown): void => {
      if (messageSchema.safeParse(raw).data?.type !== "exit") return;
      worker.off("message", listen);
      worker.off("error", reject);
      resolve();
    };
    worker.on("message", listen);
    worker.once("error", reject);
    const limits = { seconds: WARM_UP_SECONDS, threads: 1, clock: "wall", seed: 1 } as const;
    worker.postMessage({
      jsonStream: true,
      files: { "shop.mzn": modelsOf(solver, ft06.shop, upper)[0] },
      args: argumentsOf(solver, limits, 0),
    });
  });
}

function argumentsOf(solver: MinizincSolver, limits: PeerLimits, thread: number): string[] {
  const args = ["-i", "--output-mode", "json", "--solver", ID_OF[solver]];
  if (solver === "chuffed" || solver === "highs") args.push("-r", String(limits.seed + thread));
  // Chuffed's learning search with its own choice of variables, alternating with the model's.
  if (solver === "chuffed") args.push("-f");
  // Its own limit lets it end tidily; the alarm above is the second guard and the only one under CPU time.
  if (limits.clock === "wall") args.push("--time-limit", String(Math.round(limits.seconds * 1000)));
  return [...args, "shop.mzn"];
}

function readSolution(raw: unknown): PeerSolution {
  const { makespan, ...rest } = solutionSchema.parse(raw).output.json;
  const values: Record<string, readonly number[]> = {};
  for (const [name, value] of Object.entries(rest)) {
    const list = numbersSchema.safeParse(value);
    // A linear solver prints whole numbers a hair beside themselves.
    if (list.success) values[name] = list.data.map(Math.round);
  }
  return { makespan: Math.round(makespan), values };
}

function readyWorker(folder: string): Promise<Worker> {
  const thread = fileURLToPath(new URL("./minizinc-thread.mjs", import.meta.url));
  const workerFile = path.join(folder, "minizinc-worker.js");
  if (!existsSync(workerFile)) throw new Error(`${folder} has no minizinc-worker.js`);
  return new Promise((resolve, reject) => {
    const worker = new Worker(thread, { workerData: { workerFile }, execArgv: [], stderr: true });
    worker.once("error", reject);
    // A loader may speak first (tsx names the files it reads), so only the word of the worker itself counts.
    const listen = (raw: unknown): void => {
      if (messageSchema.safeParse(raw).data?.type !== "ready") return;
      worker.off("error", reject);
      worker.off("message", listen);
      resolve(worker);
    };
    worker.on("message", listen);
    worker.postMessage({
      wasmURL: path.join(folder, "minizinc.wasm"),
      dataURL: path.join(folder, "minizinc.data"),
    });
  });
}
