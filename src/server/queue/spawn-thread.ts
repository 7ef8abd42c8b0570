/** Starts the module `./<name>` beside this file as a worker thread: JavaScript in a build, TypeScript from the sources. */
import { Worker, type WorkerOptions } from "node:worker_threads";

export function spawnThread(name: string, options: WorkerOptions): Worker {
  const here = import.meta.url;
  if (!here.endsWith(".ts")) return new Worker(new URL(`./${name}.js`, here), options);
  return new Worker(new URL("./thread-from-source.mjs", here), { ...options, argv: [new URL(`./${name}.ts`, here).href] });
}
