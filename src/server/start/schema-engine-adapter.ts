/**
 * Lets Prisma's schema engine work over node-postgres: adapter-pg 7.10 serves queries, but not yet the engine's own needs.
 * Three repairs: scripts are sent whole (the adapter cuts at every semicolon, also inside function bodies); the catalogues'
 * one-byte "char" type is let through; a shadow database is dropped only after its connections are closed.
 * Promises that a shadow database is never the database it is made beside. For the migration tool only.
 */
import { randomUUID } from "node:crypto";
import { PrismaPg } from "@prisma/adapter-pg";
import {
  bindMigrationAwareSqlAdapterFactory,
  ColumnTypeEnum,
  type SqlDriverAdapter,
  type SqlMigrationAwareDriverAdapterFactory,
  type SqlQuery,
  type SqlResultSet,
} from "@prisma/driver-adapter-utils";
import pg from "pg";

const CATALOGUE_CHAR = 18; // pg_type oid of "char", which the adapter refuses
const TEXT = 25; // pg_type oid of text, which it knows

export function schemaEngineAdapter(databaseUrl: string): ReturnType<typeof bindMigrationAwareSqlAdapterFactory> {
  const url = new URL(databaseUrl);
  const own = url.pathname.slice(1);
  const factory: SqlMigrationAwareDriverAdapterFactory = {
    provider: "postgres",
    adapterName: "@prisma/adapter-pg",
    connect: () => open(url, own),
    async connectToShadowDb() {
      const shadow = `shadow_${randomUUID().replaceAll("-", "")}`;
      await administer(url, own, `CREATE DATABASE ${shadow}`);
      return open(url, shadow, () => administer(url, own, `DROP DATABASE IF EXISTS ${shadow} WITH (FORCE)`));
    },
  };
  return bindMigrationAwareSqlAdapterFactory(factory);
}

async function open(url: URL, database: string, afterClosing = async (): Promise<void> => undefined): Promise<SqlDriverAdapter> {
  const pool = new pg.Pool(connection(url, database));
  const charColumns = relabelCatalogueChars(pool);
  const adapter = await new PrismaPg(pool).connect();
  return Object.assign(adapter, {
    async executeScript(sql: string): Promise<void> {
      await pool.query(sql);
    },
    async queryRaw(query: SqlQuery): Promise<SqlResultSet> {
      const result = await queryOf(adapter)(query);
      const chars = charColumns.get(result.rows);
      if (!chars) return result;
      return { ...result, columnTypes: result.columnTypes.map((type, i) => (chars[i] ? ColumnTypeEnum.Character : type)) };
    },
    async dispose(): Promise<void> {
      await pool.end();
      await afterClosing();
    },
  });
}

/** The adapter's own `queryRaw`, which the property assigned above hides. */
function queryOf(adapter: SqlDriverAdapter): (query: SqlQuery) => Promise<SqlResultSet> {
  const { queryRaw } = Object.getPrototypeOf(adapter) as SqlDriverAdapter;
  return queryRaw.bind(adapter);
}

/** Results show "char" columns as text; which they were is remembered by the very array of rows the adapter hands on. */
function relabelCatalogueChars(pool: pg.Pool): WeakMap<unknown[][], readonly boolean[]> {
  const remembered = new WeakMap<unknown[][], readonly boolean[]>();
  const send = pool.query.bind(pool) as (...args: unknown[]) => Promise<pg.QueryArrayResult>;
  const relabelled = async (...args: unknown[]): Promise<pg.QueryArrayResult> => {
    const result = await send(...args);
    if (!Array.isArray(result) && result.fields.some((field) => field.dataTypeID === CATALOGUE_CHAR)) {
      remembered.set(
        result.rows,
        result.fields.map((field) => field.dataTypeID === CATALOGUE_CHAR),
      );
      for (const field of result.fields) if (field.dataTypeID === CATALOGUE_CHAR) field.dataTypeID = TEXT;
    }
    return result;
  };
  Object.assign(pool, { query: relabelled });
  return remembered;
}

/** Field by field: given a connection string, node-postgres would let its database win over the shadow's name. */
function connection(url: URL, database: string): pg.ClientConfig {
  return {
    host: url.hostname,
    port: Number(url.port),
    user: decodeURIComponent(url.username),
    password: decodeURIComponent(url.password),
    database,
  };
}

async function administer(url: URL, database: string, sql: string): Promise<void> {
  const client = new pg.Client(connection(url, database));
  await client.connect();
  try {
    await client.query(sql);
  } finally {
    await client.end();
  }
}
