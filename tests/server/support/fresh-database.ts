/**
 * A migrated database of its own for one test file, copied from the run's template (about 0.2 s).
 * Promises that no other test sees it. Nobody may stay connected to the template itself.
 */
import { randomUUID } from "node:crypto";
import pg from "pg";
import { inject } from "vitest";

export type FreshDatabase = Readonly<{ url: string; drop(): Promise<void> }>;

const COPY_ATTEMPTS = 100;
const TEMPLATE_IN_USE = "55006"; // PostgreSQL error code: another test file is copying it at this moment

export async function freshDatabase(): Promise<FreshDatabase> {
  const templateUrl = inject("templateUrl");
  const template = new URL(templateUrl).pathname.slice(1);
  const name = `t_${randomUUID().replaceAll("-", "")}`;
  for (let attempt = 1; ; attempt++) {
    try {
      await administer(templateUrl, `CREATE DATABASE ${name} TEMPLATE ${template}`);
      break;
    } catch (error) {
      if (attempt >= COPY_ATTEMPTS || (error as { code?: string }).code !== TEMPLATE_IN_USE) throw error;
      await new Promise((resolve) => setTimeout(resolve, 50));
    }
  }
  return {
    url: withDatabase(templateUrl, name),
    drop: () => administer(templateUrl, `DROP DATABASE IF EXISTS ${name} WITH (FORCE)`),
  };
}

/** An empty database without any migration. */
export async function emptyDatabase(): Promise<FreshDatabase> {
  const templateUrl = inject("templateUrl");
  const name = `e_${randomUUID().replaceAll("-", "")}`;
  await administer(templateUrl, `CREATE DATABASE ${name}`);
  return {
    url: withDatabase(templateUrl, name),
    drop: () => administer(templateUrl, `DROP DATABASE IF EXISTS ${name} WITH (FORCE)`),
  };
}

function withDatabase(url: string, database: string): string {
  const changed = new URL(url);
  changed.pathname = `/${database}`;
  return changed.href;
}

async function administer(templateUrl: string, sql: string): Promise<void> {
  const client = new pg.Client({ connectionString: withDatabase(templateUrl, "postgres") });
  await client.connect();
  try {
    await client.query(sql);
  } finally {
    await client.end();
  }
}
