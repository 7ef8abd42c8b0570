/**
 * The database the application runs on: the one DATABASE_URL names, else the embedded one in the data folder; migrated.
 * Promises an address that answers and carries this version's tables. `stop` stops only a server that belongs to the folder.
 */
import path from "node:path";
import { startEmbeddedPostgres } from "./embedded-postgres.ts";
import { migrate } from "./migrate.ts";
import { MIGRATIONS_FOLDER } from "./places.ts";
import type { Settings } from "./settings.ts";

export type RunningDatabase = Readonly<{
  url: string;
  /** For the log: which database this is, without its password. */
  description: string;
  applied: readonly string[];
  stop(): Promise<void>;
}>;

export async function openDatabase(settings: Settings): Promise<RunningDatabase> {
  if (settings.databaseUrl !== undefined) {
    const applied = await migrate(settings.databaseUrl, MIGRATIONS_FOLDER);
    const { host, pathname } = new URL(settings.databaseUrl);
    return { url: settings.databaseUrl, description: `${host}${pathname}`, applied, stop: async () => undefined };
  }
  const folder = path.join(settings.dataFolder, "postgres");
  const postgres = await startEmbeddedPostgres({ folder, port: settings.embeddedDatabasePort });
  try {
    const applied = await migrate(postgres.url, MIGRATIONS_FOLDER);
    const description = `PostgreSQL in ${postgres.folder}${postgres.startedHere ? "" : " (was still running; taken over)"}`;
    return { url: postgres.url, description, applied, stop: () => postgres.stop() };
  } catch (error) {
    await postgres.stop();
    throw error;
  }
}
