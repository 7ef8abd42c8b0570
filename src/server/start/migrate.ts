/**
 * Applies `prisma/migrations/<name>/migration.sql` in the order of their names, with plain SQL over node-postgres.
 * Promises Prisma's own table layout, checksums and advisory lock, so that Prisma's tools and this runner agree about what
 * has been applied; each migration is one transaction, so a failing one leaves nothing behind; several processes at once
 * wait for one another. Refuses a database that is ahead of this version or whose history was edited. Never goes back.
 */
import { createHash, randomUUID } from "node:crypto";
import fs from "node:fs/promises";
import path from "node:path";
import pg from "pg";

const PRISMA_LOCK = 72_707_369; // the number Prisma's schema engine takes, so the two exclude each other
const LOCK_WAIT = "60s";

const HISTORY_TABLE = `
  CREATE TABLE IF NOT EXISTS _prisma_migrations (
    id VARCHAR(36) PRIMARY KEY NOT NULL,
    checksum VARCHAR(64) NOT NULL,
    finished_at TIMESTAMPTZ,
    migration_name VARCHAR(255) NOT NULL,
    logs TEXT,
    rolled_back_at TIMESTAMPTZ,
    started_at TIMESTAMPTZ NOT NULL DEFAULT now(),
    applied_steps_count INTEGER NOT NULL DEFAULT 0
  )`;

type Migration = Readonly<{ name: string; sql: string; checksum: string }>;
type Applied = Readonly<{ migration_name: string; checksum: string; finished_at: Date | null }>;

/** Returns the names of the migrations applied now. */
export async function migrate(databaseUrl: string, folder: string): Promise<readonly string[]> {
  const migrations = await readMigrations(folder);
  const client = new pg.Client({ connectionString: databaseUrl });
  await client.connect();
  try {
    await client.query(`SET lock_timeout = '${LOCK_WAIT}'`);
    await client.query(`SELECT pg_advisory_lock(${PRISMA_LOCK})`); // held until this connection ends
    await client.query("SET lock_timeout = 0");
    await client.query(HISTORY_TABLE);
    const { rows } = await client.query<Applied>(
      "SELECT migration_name, checksum, finished_at FROM _prisma_migrations WHERE rolled_back_at IS NULL",
    );
    const due = dueMigrations(migrations, rows);
    for (const migration of due) await apply(client, migration);
    return due.map((migration) => migration.name);
  } finally {
    await client.end();
  }
}

export async function readMigrations(folder: string): Promise<readonly Migration[]> {
  const entries = await fs.readdir(folder, { withFileTypes: true });
  const names = entries.filter((entry) => entry.isDirectory()).map((entry) => entry.name);
  return Promise.all(
    names.sort().map(async (name) => {
      const sql = await fs.readFile(path.join(folder, name, "migration.sql"), "utf8");
      return { name, sql, checksum: createHash("sha256").update(sql).digest("hex") };
    }),
  );
}

function dueMigrations(known: readonly Migration[], applied: readonly Applied[]): readonly Migration[] {
  const byName = new Map(known.map((migration) => [migration.name, migration]));
  for (const row of applied) {
    const migration = byName.get(row.migration_name);
    if (!migration) {
      throw new Error(
        `The database has migration ${row.migration_name}, which this version does not know. Start a newer version on it.`,
      );
    }
    if (!row.finished_at) {
      throw new Error(
        `Migration ${row.migration_name} was begun by another tool and never finished. Resolve it before starting.`,
      );
    }
    if (migration.checksum !== row.checksum) {
      throw new Error(
        `Migration ${row.migration_name} was edited after it was applied. Restore the file; put changes in a new one.`,
      );
    }
  }
  const done = new Set(applied.map((row) => row.migration_name));
  return known.filter((migration) => !done.has(migration.name));
}

async function apply(client: pg.Client, migration: Migration): Promise<void> {
  await client.query("BEGIN");
  try {
    await client.query(migration.sql); // without parameters a whole file may be sent, function bodies included
    await client.query(
      `INSERT INTO _prisma_migrations (id, checksum, migration_name, finished_at, applied_steps_count)
       VALUES ($1, $2, $3, clock_timestamp(), 1)`,
      [randomUUID(), migration.checksum, migration.name],
    );
    await client.query("COMMIT");
  } catch (cause) {
    await client.query("ROLLBACK");
    throw new Error(`Migration ${migration.name} failed and left nothing behind: ${(cause as Error).message}`, { cause });
  }
}
