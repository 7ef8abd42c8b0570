/**
 * `npm start`: from whatever state the clone is in to the running application.
 *   --build-only   stop after building
 *   --dev          run the server from source and start it anew on changes; screens by vite's own server on port 5173
 * Promises an exit code other than 0 and a readable reason when it cannot get there.
 */
import { spawn } from "node:child_process";
import process from "node:process";
import { pathToFileURL } from "node:url";
import { alone, generateClient, install, prepare, requireNode, root, StepFailed } from "./prepare.mjs";

requireNode();
try {
  if (process.argv.includes("--dev")) await develop();
  else {
    followParent();
    await prepare();
    // In this very process, so that signals reach the server's own handlers.
    if (!process.argv.includes("--build-only")) await import(pathToFileURL(`${root}/dist/src/server/start/main.js`).href);
  }
} catch (error) {
  if (!(error instanceof StepFailed)) throw error;
  console.error(error.message);
  process.exitCode = 1;
}

/** npm puts a shell between itself and us that dies of a stop signal without handing it on: its death is the signal then. */
function followParent() {
  const parent = process.ppid;
  if (!process.env.npm_lifecycle_event) return;
  const watch = setInterval(() => {
    if (process.ppid === parent) return;
    clearInterval(watch);
    process.kill(process.pid, "SIGTERM");
  }, 500);
  watch.unref();
}

async function develop() {
  await alone(async () => {
    await install();
    await generateClient();
  });
  const programs = [
    ["node_modules/tsx/dist/cli.mjs", "watch", "src/server/start/main.ts"],
    ["node_modules/vite/bin/vite.js", "web"],
  ];
  const children = programs.map((args) => spawn(process.execPath, args, { cwd: root, stdio: "inherit" }));
  const stop = () => {
    for (const child of children) child.kill("SIGTERM");
  };
  for (const child of children) child.on("exit", stop);
  for (const signal of ["SIGINT", "SIGTERM"]) process.on(signal, stop);
}
