/** Starts a module as a worker thread, JavaScript in a build, TypeScript from the sources: `name` without ending, beside `beside`. */
import { Worker, type WorkerOptions } from "node:worker_threads";

export function spawnThread(name: string, beside: string, options: WorkerOptions): Worker {
  if (!beside.endsWith(".ts")) return new Worker(new URL(`./${name}.js`, beside), options);
  const starter = new URL("./thread-from-source.mjs", import.meta.url);
  return new Worker(starter, { ...options, argv: [new URL(`./${name}.ts`, beside).href] });
}
