/**
 * `npm run migration -- check`        fails when prisma/schema.prisma and the migrations describe different databases
 * `npm run migration -- new <name>`   writes the difference into a new migration for you to read, complete and explain
 * Prisma's own schema engine, as WebAssembly over node-postgres on a throwaway server: no native engine is fetched.
 * Promises to touch no database but the throwaway one. What the schema cannot say (CHECK, EXCLUDE, triggers) it does not
 * compare: tests hold those.
 */
import fs from "node:fs/promises";
import os from "node:os";
import path from "node:path";
import process from "node:process";
import { startEmbeddedPostgres } from "./embedded-postgres.ts";
import { MIGRATIONS_FOLDER, SCHEMA_FILE } from "./places.ts";
import { schemaDifference } from "./schema-difference.ts";

const USAGE = "Usage: npm run migration -- check | new <name>   (a name in small letters, digits and _)";

process.exitCode = await main(process.argv.slice(2));

async function main([command, name, ...rest]: readonly string[]): Promise<number> {
  const wantsNew = command === "new" && name !== undefined && /^[a-z][a-z0-9_]*$/.test(name);
  if (rest.length > 0 || !(wantsNew || (command === "check" && name === undefined))) {
    console.error(USAGE);
    return 2;
  }
  const folder = await fs.mkdtemp(path.join(os.tmpdir(), "slotwright-migration-"));
  const postgres = await startEmbeddedPostgres({ folder, throwaway: true });
  try {
    const sql = await schemaDifference(postgres.url, SCHEMA_FILE, MIGRATIONS_FOLDER);
    if (sql === undefined) {
      console.log("Schema and migrations agree.");
      return 0;
    }
    if (wantsNew) {
      console.log(`Wrote ${await writeMigration(name, sql)}: say in its first line why it is needed, and only expand.`);
      return 0;
    }
    console.error(`The schema is ahead of the migrations. They lack:\n\n${sql}`);
    return 1;
  } finally {
    await postgres.stop();
  }
}

async function writeMigration(name: string, sql: string): Promise<string> {
  const stamp = new Date().toISOString().replaceAll(/\D/g, "").slice(0, 14);
  const folder = path.join(MIGRATIONS_FOLDER, `${stamp}_${name}`);
  await fs.mkdir(folder);
  await fs.writeFile(path.join(folder, "migration.sql"), sql);
  return path.relative(process.cwd(), folder);
}
