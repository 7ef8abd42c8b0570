/** What PostgreSQL itself refuses, tried with plain SQL past all of our own code. */
import pg from "pg";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { replacePublishedLots } from "../../../src/server/store/plan-store.ts";
import { databaseRefusal, openStore } from "../../../src/server/store/store.ts";
import { type FreshDatabase, freshDatabase } from "../support/fresh-database.ts";

let database: FreshDatabase;
let client: pg.Client;

beforeAll(async () => {
  database = await freshDatabase();
  client = new pg.Client({ connectionString: database.url });
  await client.connect();
  await client.query(`
    INSERT INTO machine (id, name, position, body) VALUES ('m', 'M', 1, '{}'), ('n', 'N', 2, '{}');
    INSERT INTO customer_order (id, name, kind, quantity, scrap_per_mille, weight, body) VALUES ('o', 'O', 'production', 1, 0, 1, '{}');
    INSERT INTO operation (id, order_id, position, name, pieces_per_unit, body) VALUES ('a', 'o', 0, 'A', 1, '{}'), ('b', 'o', 1, 'B', 1, '{}');
    INSERT INTO operation_mode (operation_id, id, position) VALUES ('a', 'x', 0);
    INSERT INTO mode_machine (operation_id, mode_id, position, machine_id) VALUES ('a', 'x', 0, 'm');
    INSERT INTO published_version (version, plan, changes, note, published_by) VALUES (1, '{}', '{}', '', 'test');
    ${lot("a", "m", "08:00", "10:00")}`);
});
afterAll(async () => {
  await client.end();
  await database.drop();
});

const lot = (operation: string, machine: string, start: string, end: string): string =>
  `INSERT INTO published_lot (version, operation_id, lot, machine_id, start_at, end_at)
   VALUES (1, '${operation}', 0, '${machine}', '2026-06-08T${start}Z', '2026-06-08T${end}Z');`;

/** SQLSTATE of what the statement raises; "" when it passes. Leaves nothing behind. */
async function state(sql: string): Promise<string> {
  await client.query("BEGIN");
  try {
    await client.query(sql);
    return "";
  } catch (error) {
    return (error as { code: string }).code;
  } finally {
    await client.query("ROLLBACK");
  }
}

const phase = (fields: string, values: string): string =>
  `INSERT INTO phase (operation_id, mode_id, position, kind, flow, needs, ${fields}) VALUES ('a', 'x', 0, 'run', 'solid', '[]', ${values})`;
const link = (fields: string, values: string): string =>
  `INSERT INTO link (id, from_id, to_id, body, ${fields}) VALUES ('l', 'a', 'b', '{}', ${values})`;

const EXCLUSION = "23P01";
const CHECK = "23514";
const FOREIGN_KEY = "23503";
const RESTRICT = "23001"; // what PostgreSQL 18 says where ON DELETE RESTRICT stands in the way; older ones say 23503

describe("two published operations on one machine", () => {
  test.each([
    ["the same time", lot("b", "m", "08:00", "10:00"), EXCLUSION],
    ["one minute too early", lot("b", "m", "09:59", "11:00"), EXCLUSION],
    ["inside the other", lot("b", "m", "08:30", "09:00"), EXCLUSION],
    ["touching", lot("b", "m", "10:00", "11:00"), ""],
    ["another machine", lot("b", "n", "08:00", "10:00"), ""],
  ])("%s", async (_, sql, expected) => expect(await state(sql)).toBe(expected));

  test("the store names the refusal, and the lots in force stay", async () => {
    const store = openStore(database.url);
    const row = (operationId: string) => ({
      operationId,
      lot: 0,
      machineId: "n",
      startAt: new Date("2026-06-09T08:00Z"),
      endAt: new Date("2026-06-09T09:00Z"),
    });
    const error: unknown = await store
      .inTransaction((tx) => replacePublishedLots(tx, 1, [row("a"), row("b")]))
      .catch((e: unknown) => e);
    expect(databaseRefusal(error)).toBe("overlap");
    expect((await client.query("SELECT machine_id FROM published_lot")).rows).toEqual([{ machine_id: "m" }]);
    await store.close();
  });
});

test.each([
  ["a lot that ends before it starts", lot("b", "n", "10:00", "09:00"), "22000"],
  ["a phase of negative minutes", phase("minutes", "-1"), CHECK],
  ["a phase of no minutes", phase("minutes", "0"), ""],
  ["a piece under a minute", phase("seconds_per_piece", "59"), CHECK],
  ["both kinds of work", phase("minutes, seconds_per_piece", "1, 60"), CHECK],
  ["neither kind of work", phase("max_wait", "1"), CHECK],
  ["a negative longest wait", phase("minutes, max_wait", "1, -1"), CHECK],
  ["a negative lag", link("kind, min_lag", "'lag', -1"), CHECK],
  ["a lag without minutes", link("kind", "'lag'"), CHECK],
  ["a transfer of no pieces", link("kind, pieces", "'transfer', 0"), CHECK],
  ["a good link", link("kind, min_lag, max_lag", "'lag', 0, 10"), ""],
  ["an order for nothing", "UPDATE customer_order SET quantity = 0", CHECK],
  ["a role that does not exist", `INSERT INTO "user" (id, name, email, role) VALUES ('u', 'U', 'u@example.test', 'king')`, CHECK],
  [
    "a second site",
    "INSERT INTO site (id, name, zone, origin, horizon_minutes, weights) VALUES (2, '', 'UTC', now(), 1440, '{}')",
    CHECK,
  ],
])("durations and words: %s", async (_, sql, expected) => expect(await state(sql)).toBe(expected));

test.each([
  [
    "an operation of no order",
    "INSERT INTO operation (id, order_id, position, name, pieces_per_unit, body) VALUES ('c', 'nowhere', 0, 'C', 1, '{}')",
    FOREIGN_KEY,
  ],
  [
    "a link to no operation",
    "INSERT INTO link (id, kind, from_id, to_id, min_lag, body) VALUES ('l', 'lag', 'a', 'nowhere', 0, '{}')",
    FOREIGN_KEY,
  ],
  [
    "a mode on no machine",
    "INSERT INTO mode_machine (operation_id, mode_id, position, machine_id) VALUES ('a', 'x', 1, 'nowhere')",
    FOREIGN_KEY,
  ],
  ["a machine of no calendar", "UPDATE machine SET calendar_id = 'nowhere'", FOREIGN_KEY],
  [
    "a kit that does not exist",
    "INSERT INTO operation_kit (operation_id, position, kit_id, count) VALUES ('a', 0, 'nowhere', 1)",
    FOREIGN_KEY,
  ],
])("dangling: %s", async (_, sql, expected) => expect(await state(sql)).toBe(expected));

test("a machine that a mode names cannot go", async () => {
  expect([RESTRICT, FOREIGN_KEY]).toContain(await state("DELETE FROM machine WHERE id = 'm'"));
});
