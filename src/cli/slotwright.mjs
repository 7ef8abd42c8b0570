#!/usr/bin/env node
// Starts the command line: the built one where it exists and is not older than its sources, else straight from source.
import { existsSync, readdirSync, statSync } from "node:fs";
import path from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";

const here = path.dirname(fileURLToPath(import.meta.url));
const root = path.resolve(here, "../..");
const built = path.join(root, "dist/src/cli/main.js");

const newest = (folder) =>
  readdirSync(folder, { withFileTypes: true }).reduce((latest, entry) => {
    const at = path.join(folder, entry.name);
    return Math.max(latest, entry.isDirectory() ? newest(at) : entry.name.endsWith(".ts") ? statSync(at).mtimeMs : 0);
  }, 0);

if (!existsSync(path.join(root, "node_modules"))) {
  console.error("Slotwright is not installed yet: run `npm start` or `npm ci` here first.");
  process.exit(2);
}
const sources = ["src/cli", "src/core", "src/contract", "src/threads"].map((folder) => path.join(root, folder));
const fresh = existsSync(built) && statSync(built).mtimeMs >= Math.max(...sources.map(newest));
if (fresh) {
  await import(pathToFileURL(built).href);
} else {
  const { register } = await import("tsx/esm/api");
  register();
  await import(pathToFileURL(path.join(here, "main.ts")).href);
}
