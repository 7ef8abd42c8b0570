/**
 * Prisma's settings: where the schema and the migrations lie.
 * `generate`, `validate` and `format` need no schema engine, yet the command line fetches one unless a variable names an
 * existing file; naming node itself keeps these three offline. Migrations go through `npm run migration`, not through here.
 */
import process from "node:process";
import { defineConfig } from "prisma/config";

const offlineCommands = ["generate", "validate", "format"];
if (process.argv.some((word) => offlineCommands.includes(word))) {
  process.env.PRISMA_SCHEMA_ENGINE_BINARY ??= process.execPath;
}
process.env.CHECKPOINT_DISABLE ??= "1"; // no version check over the network

export default defineConfig({
  schema: "prisma/schema.prisma",
  migrations: { path: "prisma/migrations" },
  datasource: { url: process.env.DATABASE_URL ?? "postgresql://unset" },
});
