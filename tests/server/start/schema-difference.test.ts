/**
 * Schema and migrations describe the same database; and the comparison that says so does notice a column too many.
 */
import fs from "node:fs/promises";
import os from "node:os";
import path from "node:path";
import { expect, test } from "vitest";
import { MIGRATIONS_FOLDER, SCHEMA_FILE } from "../../../src/server/start/places.ts";
import { schemaDifference } from "../../../src/server/start/schema-difference.ts";
import { emptyDatabase } from "../support/fresh-database.ts";

test("the migrations lead exactly to the schema, and a column only the schema has is reported", async () => {
  const database = await emptyDatabase();
  const folder = await fs.mkdtemp(path.join(os.tmpdir(), "slotwright-schema-"));
  try {
    expect(await schemaDifference(database.url, SCHEMA_FILE, MIGRATIONS_FOLDER)).toBeUndefined();
    const longer = path.join(folder, "schema.prisma");
    const schema = await fs.readFile(SCHEMA_FILE, "utf8");
    await fs.writeFile(longer, schema.replace(/^model (\w+) \{$/m, "model $1 {\n  forgotten String?"));
    expect(await schemaDifference(database.url, longer, MIGRATIONS_FOLDER)).toMatch(/ADD COLUMN\s+"forgotten" TEXT/);
  } finally {
    await database.drop();
    await fs.rm(folder, { recursive: true });
  }
});
