/**
 * A database of its own for one test file, from the template of the run that `database-setup.ts` has migrated.
 */
import { inject } from "vitest";
import { copyOfDatabase, type FreshDatabase, newDatabase } from "./database-copy.ts";

export type { FreshDatabase } from "./database-copy.ts";

export function freshDatabase(): Promise<FreshDatabase> {
  return copyOfDatabase(inject("templateUrl"));
}

/** An empty database without any migration. */
export function emptyDatabase(): Promise<FreshDatabase> {
  return newDatabase(inject("templateUrl"));
}
