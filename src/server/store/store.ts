/**
 * The way to the database. A Store is a connection or, inside `inTransaction`, the transaction: functions of this room
 * take one and work the same in both. Prisma stays in this room; whoever needs plain SQL (queue, notices) asks here.
 */
import { PrismaPg } from "@prisma/adapter-pg";
import pg from "pg";
import { Prisma, PrismaClient } from "../generated/client.ts";

/** One process: enough for every screen of a shop, few enough for PostgreSQL's default of 100 with several workers. */
const CONNECTIONS_MAX = 8;
/** Imports of whole shops take seconds, on a machine busy with planning minutes (1,500 operations: 74 s seen). */
const TRANSACTION_TIMEOUT_MS = 300_000;

export type Store = {
  readonly db: Prisma.TransactionClient;
  inTransaction<T>(work: (store: Store) => Promise<T>): Promise<T>;
};

export type StoreConnection = Store & { readonly url: string; readonly pool: pg.Pool; close(): Promise<void> };

export function openStore(url: string, onError: (error: Error) => void = () => {}): StoreConnection {
  const pool = new pg.Pool({ connectionString: url, max: CONNECTIONS_MAX });
  pool.on("error", onError); // an idle connection lost (database restart): the pool makes a new one, unheard it would end the process
  const prisma = new PrismaClient({ adapter: new PrismaPg(pool) });
  return {
    url,
    pool,
    db: prisma,
    inTransaction: (work) =>
      prisma.$transaction((tx) => work(within(tx)), { timeout: TRANSACTION_TIMEOUT_MS, maxWait: TRANSACTION_TIMEOUT_MS }),
    close: async () => {
      await prisma.$disconnect();
      await pool.end();
    },
  };
}

/** A transaction inside a transaction is the same one. */
function within(tx: Prisma.TransactionClient): Store {
  const store: Store = { db: tx, inTransaction: (work) => work(store) };
  return store;
}

/** Plain data as a JSON column; null becomes JSON null, not SQL NULL. */
export const json = (value: unknown): Prisma.InputJsonValue =>
  value === null ? (Prisma.JsonNull as unknown as Prisma.InputJsonValue) : (value as Prisma.InputJsonValue);

/** Plain data as a nullable JSON column; null becomes SQL NULL. */
export const jsonOrNull = (value: unknown): Prisma.InputJsonValue | typeof Prisma.DbNull =>
  value === null || value === undefined ? Prisma.DbNull : (value as Prisma.InputJsonValue);

export type DatabaseRefusal = "overlap" | "dangling" | "duplicate" | "check" | "range";

const SQL_STATES: Readonly<Record<string, DatabaseRefusal>> = {
  "23P01": "overlap",
  "23503": "dangling",
  "23001": "dangling",
  "23505": "duplicate",
  "23514": "check",
  "22000": "range",
};
const PRISMA_CODES: Readonly<Record<string, DatabaseRefusal>> = {
  P2002: "duplicate",
  P2003: "dangling",
  P2039: "overlap",
  P2004: "check",
};

/** Why the database refused a write, or null when the error is something else. */
export function databaseRefusal(error: unknown): DatabaseRefusal | null {
  for (let e = error, depth = 0; typeof e === "object" && e !== null && depth < 6; depth++) {
    const { originalCode, code, meta, cause } = e as {
      originalCode?: unknown;
      code?: unknown;
      meta?: { driverAdapterError?: unknown };
      cause?: unknown;
    };
    const state = [originalCode, code].find((c): c is string => typeof c === "string" && c in SQL_STATES);
    if (state !== undefined) return SQL_STATES[state] ?? null;
    if (meta?.driverAdapterError === undefined && cause === undefined)
      return typeof code === "string" ? (PRISMA_CODES[code] ?? null) : null;
    e = meta?.driverAdapterError ?? cause;
  }
  return null;
}

/** The store's connection or transaction for libraries that bring SQL of their own. */
export const plainSql = (store: Store) => ({
  executeSql: async (text: string, values: unknown[] = []) => ({
    rows: await store.db.$queryRawUnsafe<unknown[]>(text, ...values),
  }),
});
