/**
 * What SQL the migrations lack to reach the schema; undefined when they agree.
 * Promises to apply the migrations only to a shadow database of its own on the given server.
 */
import fs from "node:fs/promises";
import { createRequire } from "node:module";
import path from "node:path";
import * as bindings from "@prisma/schema-engine-wasm/schema_engine_bg";
import { readMigrations } from "./migrate.ts";
import { schemaEngineAdapter } from "./schema-engine-adapter.ts";

const LOCKFILE = "migration_lock.toml";

export async function schemaDifference(
  serverUrl: string,
  schemaFile: string,
  migrationsFolder: string,
): Promise<string | undefined> {
  loading ??= loadEngine();
  await loading;
  const schema = { path: schemaFile, content: await fs.readFile(schemaFile, "utf8") };
  const migrations = await readMigrations(migrationsFolder);
  const lockfile = await fs.readFile(path.join(migrationsFolder, LOCKFILE), "utf8");
  const engine = await bindings.SchemaEngine.new(
    { datamodels: [[schema.path, schema.content]] },
    () => undefined,
    schemaEngineAdapter(serverUrl),
  );
  const { exitCode, stdout } = await engine.diff({
    from: {
      tag: "migrations",
      baseDir: migrationsFolder,
      lockfile: { path: LOCKFILE, content: lockfile },
      shadowDbInitScript: "",
      migrationDirectories: migrations.map(({ name, sql }) => ({
        path: name,
        migrationFile: { path: "migration.sql", content: { tag: "ok", value: sql } },
      })),
    },
    to: { tag: "schemaDatamodel", files: [schema] },
    script: true,
    exitCode: true,
    filters: { externalTables: [], externalEnums: [] },
  });
  return exitCode === 0 ? undefined : (stdout ?? "");
}

type EngineExports = { __wbindgen_start(): void };
type Loadable = { __wbg_set_wasm(exports: EngineExports): void };
/** Of the browser's WebAssembly interface only what is used: node's types do not declare it. */
type WebAssemblyOfNode = {
  instantiate(bytes: Uint8Array, imports: Record<string, unknown>): Promise<{ instance: { exports: EngineExports } }>;
};

/** Once per process: a second instance would take the memory from under the first. */
let loading: Promise<void> | undefined;

/** The package leaves it to its user to instantiate the WebAssembly file that lies beside its bindings. */
async function loadEngine(): Promise<void> {
  const { WebAssembly } = globalThis as unknown as { WebAssembly: WebAssemblyOfNode };
  const folder = path.dirname(createRequire(import.meta.url).resolve("@prisma/schema-engine-wasm"));
  const bytes = await fs.readFile(path.join(folder, "schema_engine_bg.wasm"));
  const { instance } = await WebAssembly.instantiate(bytes, { "./schema_engine_bg.js": bindings });
  (bindings as unknown as Loadable).__wbg_set_wasm(instance.exports);
  instance.exports.__wbindgen_start();
}
