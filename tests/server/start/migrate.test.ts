/**
 * The migrations runner on a real server: order, once only, several at once, a failing file, an edited or unknown history.
 */
import fs from "node:fs/promises";
import os from "node:os";
import path from "node:path";
import pg from "pg";
import { afterEach, beforeEach, expect, test } from "vitest";
import { migrate, readMigrations } from "../../../src/server/start/migrate.ts";
import { MIGRATIONS_FOLDER } from "../../../src/server/start/places.ts";
import { emptyDatabase, type FreshDatabase, freshDatabase } from "../support/fresh-database.ts";

let database: FreshDatabase;
let folder: string;

beforeEach(async () => {
  database = await emptyDatabase();
  folder = await fs.mkdtemp(path.join(os.tmpdir(), "slotwright-migrations-"));
  await write("1_table", "CREATE TABLE part (name TEXT NOT NULL);");
  await write("2_row", "INSERT INTO part VALUES ('rotor'); INSERT INTO part VALUES ('stator');");
});
afterEach(async () => {
  await database.drop();
  await fs.rm(folder, { recursive: true });
});

async function write(name: string, sql: string): Promise<void> {
  await fs.mkdir(path.join(folder, name), { recursive: true });
  await fs.writeFile(path.join(folder, name, "migration.sql"), sql);
}

async function column(sql: string): Promise<unknown[]> {
  const client = new pg.Client({ connectionString: database.url });
  await client.connect();
  try {
    return (await client.query({ text: sql, rowMode: "array" })).rows.flat();
  } finally {
    await client.end();
  }
}

test("several starts at once apply each migration exactly once, in order of their names", async () => {
  const applied = await Promise.all([1, 2, 3, 4].map(() => migrate(database.url, folder)));
  expect(applied.filter((names) => names.length > 0)).toEqual([["1_table", "2_row"]]);
  expect(await column("SELECT name FROM part")).toEqual(["rotor", "stator"]);
  expect(await column("SELECT migration_name FROM _prisma_migrations ORDER BY finished_at")).toEqual(["1_table", "2_row"]);
});

test("a failing migration leaves nothing of itself, keeps those before it, and can be repaired and run again", async () => {
  await write("3_broken", "CREATE TABLE half (x INT); INSERT INTO nowhere VALUES (1);");
  await expect(migrate(database.url, folder)).rejects.toThrow(/3_broken failed and left nothing behind.*nowhere/);
  expect(await column("SELECT to_regclass('half')")).toEqual([null]);
  expect(await column("SELECT count(*)::int FROM part")).toEqual([2]);
  await write("3_broken", "CREATE TABLE half (x INT);");
  expect(await migrate(database.url, folder)).toEqual(["3_broken"]);
});

test("an edited migration is refused by name", async () => {
  await migrate(database.url, folder);
  await write("2_row", "INSERT INTO part VALUES ('shaft');");
  await expect(migrate(database.url, folder)).rejects.toThrow(/2_row was edited/);
});

test("a database ahead of this version is refused", async () => {
  await migrate(database.url, folder);
  await fs.rm(path.join(folder, "2_row"), { recursive: true });
  await expect(migrate(database.url, folder)).rejects.toThrow(/has migration 2_row, which this version does not know/);
});

test("the template every test copies carries the shop's own migrations", async () => {
  const copy = await freshDatabase();
  try {
    expect(await migrate(copy.url, MIGRATIONS_FOLDER)).toEqual([]);
    expect((await readMigrations(MIGRATIONS_FOLDER)).length).toBeGreaterThan(0);
  } finally {
    await copy.drop();
  }
});
