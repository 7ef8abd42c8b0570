/**
 * Everything between a fresh clone and a program that can start: packages, the database client, the compiled server, the
 * screens. Plain node without packages, because it runs before there are any.
 * Promises that a step runs only when what it reads has changed since it last succeeded (content hashes kept in dist/), that
 * its output is shown only when it fails, and that two runs at once in one clone take turns.
 */
import { spawn } from "node:child_process";
import { createHash } from "node:crypto";
import fs from "node:fs";
import path from "node:path";
import process from "node:process";
import { fileURLToPath } from "node:url";
import { stripVTControlCharacters } from "node:util";

const NODE_MAJOR_MIN = 20;
const LOCK_STALE_MS = 15 * 60_000; // no step takes this long
const LOCK_POLL_MS = 300;

export const root = path.resolve(path.dirname(fileURLToPath(import.meta.url)), "../../..");
const inRoot = (...parts) => path.join(root, ...parts);
const packageJson = JSON.parse(fs.readFileSync(inRoot("package.json"), "utf8"));

/** A step that did not succeed; its output has been printed already. */
export class StepFailed extends Error {}

export function requireNode() {
  const major = Number(process.versions.node.split(".")[0]);
  if (major >= NODE_MAJOR_MIN) return;
  console.error(`Slotwright needs Node ${NODE_MAJOR_MIN} or later; this is ${process.version}. Get it from https://nodejs.org.`);
  process.exit(1);
}

/** Installs packages when one the lockfile names is missing or of another version. */
export async function install(say = console.log) {
  if (packagesAreComplete()) return;
  say("Installing packages (once; a minute or so) ...");
  // Development packages are part of it: the compiler and the bundler build what `npm start` runs.
  await npm("Installing packages", ["ci", "--include=dev", "--no-audit", "--no-fund"]);
}

export async function generateClient() {
  const key = hashOf(["prisma/schema.prisma", "prisma.config.ts"], packageJson.devDependencies.prisma);
  if (fs.existsSync(inRoot("src/server/generated/client.ts")) && isDone("client", key)) return;
  await tool("Generating the database client", "prisma/build/index.js", ["generate"]);
  markDone("client", key);
}

export async function buildServer(say = console.log) {
  const key = hashOf(["src", "seed", "tsconfig.json", "package-lock.json"]);
  if (!isDone("server", key)) {
    say("Compiling the server ...");
    await tool("Compiling the server", "typescript/bin/tsc", ["-b", "src/server", "src/cli"]);
    markDone("server", key);
  }
  // Beside the compiled server, for it to name; the screens are built with the same name in them.
  fs.writeFileSync(inRoot("dist/contract.txt"), contractKey());
}

export async function buildWeb(say = console.log) {
  const key = hashOf(["web", "src/core", "src/contract", "package-lock.json"]);
  if (fs.existsSync(inRoot("dist/web/index.html")) && isDone("web", key)) return;
  say("Building the screens ...");
  const env = { VITE_CONTRACT: contractKey() };
  await tool("Building the screens", "vite/bin/vite.js", ["build", "web", "--logLevel", "warn"], env);
  markDone("web", key);
}

/** What the schemas of the API are made from. */
const contractKey = () => hashOf(["src/contract", "src/core", "package-lock.json"]).slice(0, 16);

/** All of the above, in turn, while no other process does the same here. */
export async function prepare(say = console.log) {
  await alone(async () => {
    await install(say);
    await generateClient();
    await buildServer(say);
    await buildWeb(say);
  });
}

/** Runs a package's own program with this node. Rejects with StepFailed after printing what it said. */
export function tool(title, entry, args, env = {}) {
  return quietly(title, process.execPath, [inRoot("node_modules", entry), ...args], false, env);
}

function npm(title, args) {
  const cli = process.env.npm_execpath; // set when npm itself started us: the very same npm, found without a shell
  if (cli && /\.c?js$/.test(cli)) return quietly(title, process.execPath, [cli, ...args]);
  return quietly(title, process.platform === "win32" ? "npm.cmd" : "npm", args, process.platform === "win32");
}

async function quietly(title, command, args, shell = false, extra = {}) {
  const output = [];
  const code = await new Promise((resolve) => {
    const env = { ...process.env, ...extra, NO_COLOR: "1" };
    const child = spawn(command, args, { cwd: root, env, stdio: ["ignore", "pipe", "pipe"], shell });
    child.stdout.on("data", (chunk) => output.push(chunk));
    child.stderr.on("data", (chunk) => output.push(chunk));
    child.on("error", (error) => {
      output.push(Buffer.from(`${error.message}\n`));
      resolve(-1);
    });
    child.on("close", resolve);
  });
  if (code === 0) return;
  const said = stripVTControlCharacters(Buffer.concat(output).toString("utf8")); // some colour whatever they are told
  process.stderr.write(`\n${said}\n`);
  throw new StepFailed(`${title} failed (exit code ${code}); what it said stands above.`);
}

/** Compares the lockfile with npm's own record of what lies in node_modules. Packages for other systems may be absent. */
function packagesAreComplete() {
  const wanted = readJson(inRoot("package-lock.json"))?.packages ?? {};
  const present = readJson(inRoot("node_modules/.package-lock.json"))?.packages;
  if (!present) return false;
  return Object.entries(wanted).every(
    ([place, { version, optional, devOptional }]) =>
      place === "" || present[place]?.version === version || ((optional || devOptional) && !present[place]),
  );
}

function readJson(file) {
  try {
    return JSON.parse(fs.readFileSync(file, "utf8"));
  } catch {
    return undefined;
  }
}

function hashOf(places, extra = "") {
  const hash = createHash("sha256").update(`${process.version}\0${extra}\0`);
  for (const place of places)
    for (const file of filesBelow(place)) hash.update(`${file}\0`).update(fs.readFileSync(inRoot(file)));
  return hash.digest("hex");
}

function filesBelow(place) {
  const at = inRoot(place);
  if (!fs.existsSync(at)) return [];
  if (!fs.statSync(at).isDirectory()) return [place];
  if (place === "src/server/generated") return []; // follows from the schema
  return fs
    .readdirSync(at)
    .sort()
    .flatMap((name) => filesBelow(`${place}/${name}`));
}

const stampFile = (step) => inRoot("dist/.steps", step);

function isDone(step, key) {
  return fs.existsSync(stampFile(step)) && fs.readFileSync(stampFile(step), "utf8") === key;
}

function markDone(step, key) {
  fs.mkdirSync(inRoot("dist/.steps"), { recursive: true });
  fs.writeFileSync(stampFile(step), key);
}

/** One preparation at a time: a folder is made by exactly one of two processes. Left behind by a killed one, it is broken. */
export async function alone(work) {
  const lock = inRoot("dist/.preparing");
  const owner = path.join(lock, "pid");
  fs.mkdirSync(inRoot("dist"), { recursive: true });
  for (;;) {
    try {
      fs.mkdirSync(lock);
      break;
    } catch (error) {
      if (error.code !== "EEXIST") throw error;
      if (isAbandoned(lock, owner)) fs.rmSync(lock, { recursive: true, force: true });
      else await new Promise((resolve) => setTimeout(resolve, LOCK_POLL_MS));
    }
  }
  try {
    fs.writeFileSync(owner, String(process.pid));
    return await work();
  } finally {
    fs.rmSync(lock, { recursive: true, force: true });
  }
}

function isAbandoned(lock, owner) {
  try {
    if (Date.now() - fs.statSync(lock).mtimeMs > LOCK_STALE_MS) return true;
    if (!fs.existsSync(owner)) return false; // its maker is about to write it
    process.kill(Number(fs.readFileSync(owner, "utf8")), 0);
    return false;
  } catch (error) {
    return error.code === "ESRCH";
  }
}
