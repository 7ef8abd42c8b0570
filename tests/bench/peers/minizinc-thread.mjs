/**
 * Runs the worker file of the npm package `minizinc`, which is written for a browser's worker, inside a thread of node: gives it
 * the few globals it asks for and passes messages on. Adds nothing and judges nothing; one solve per thread.
 */
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import path from "node:path";
import vm from "node:vm";
import { parentPort, workerData } from "node:worker_threads";

const file = workerData.workerFile;
Object.assign(globalThis, {
  self: globalThis,
  require: createRequire(file),
  __filename: file,
  __dirname: path.dirname(file),
  addEventListener: (kind, listener) => kind === "message" && parentPort.on("message", (data) => listener({ data })),
  postMessage: (message) => parentPort.postMessage(message),
});
vm.runInThisContext(readFileSync(file, "utf8"), { filename: file });
