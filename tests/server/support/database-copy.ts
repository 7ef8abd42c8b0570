/**
 * Databases made beside a template on its own server: copies of it (about 0.2 s) and empty ones.
 * Promises that nobody else sees one. Nobody may stay connected to a template itself.
 */
import { randomUUID } from "node:crypto";
import pg from "pg";

export type FreshDatabase = Readonly<{ url: string; drop(): Promise<void> }>;

const COPY_ATTEMPTS = 100;
const TEMPLATE_IN_USE = "55006"; // PostgreSQL error code: another test file is copying it at this moment

/** A copy of the database at `templateUrl`, beside it on the same server. */
export async function copyOfDatabase(templateUrl: string): Promise<FreshDatabase> {
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

/** An empty database without any migration, beside the one at `templateUrl`. */
export async function newDatabase(templateUrl: string): Promise<FreshDatabase> {
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
