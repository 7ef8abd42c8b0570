/** The one row of the site, and the lock that lets one writer at a time change what a problem is built from. */
import type { Minute } from "../../core/calendar/minute.ts";
import { type CostWeights, DEFAULT_WEIGHTS } from "../../core/problem/objective.ts";
import { json, type Store } from "./store.ts";

export type Site = {
  readonly name: string;
  readonly zone: string;
  /** ISO instant in UTC. */
  readonly origin: string;
  readonly fixedNow: Minute | null;
  readonly horizonMinutes: Minute;
  readonly freezeMinutes: Minute | null;
  readonly weights: CostWeights;
  /** Work counts as begun and ended as published unless somebody reports otherwise. */
  readonly followsPlan: boolean;
  readonly revision: number;
  readonly shopRevision: number;
  readonly draftNumber: number | null;
  readonly publishedVersion: number | null;
  /** shopRevision right after the demo was loaded, and when that was; null: not a demo. */
  readonly demoRevision: number | null;
  readonly demoLoadedAt: Date | null;
};

/** Six weeks, and a day of frozen work. */
const DEFAULT_HORIZON = 42 * 1440;

export async function readSite(store: Store): Promise<Site | null> {
  const row = await store.db.site.findUnique({ where: { id: 1 } });
  return row && { ...row, origin: row.origin.toISOString(), weights: row.weights as CostWeights };
}

/** The site; made on the first call of an empty database, with its origin at the last UTC midnight 7 days before `now`. */
export async function ensureSite(store: Store, now: Date): Promise<Site> {
  const there = await readSite(store);
  if (there) return there;
  const day = 86_400_000;
  const origin = new Date(Math.floor(now.getTime() / day) * day - 7 * day);
  await store.db.$executeRaw`
    INSERT INTO "site" ("id", "name", "zone", "origin", "horizon_minutes", "freeze_minutes", "weights")
    VALUES (1, 'New shop', 'UTC', ${origin}, ${DEFAULT_HORIZON}, 1440, ${JSON.stringify(DEFAULT_WEIGHTS)}::jsonb) ON CONFLICT DO NOTHING`;
  const made = await readSite(store);
  if (!made) throw new Error("the site row was removed while it was made");
  return made;
}

/** Locks the site until the transaction ends: changes of shop and plan happen one after the other, and none is built on a stale read. */
export async function lockSite(store: Store): Promise<Site> {
  await store.db.$queryRaw`SELECT "id" FROM "site" WHERE "id" = 1 FOR UPDATE`;
  const site = await readSite(store);
  if (!site) throw new Error("no site: the server makes it at its start");
  return site;
}

export async function saveSite(store: Store, change: Partial<Omit<Site, "revision" | "shopRevision">>): Promise<void> {
  const { weights, ...rest } = change;
  await store.db.site.update({
    where: { id: 1 },
    data: { ...rest, ...(weights ? { weights: json(weights) } : {}), revision: { increment: 1 }, shopRevision: { increment: 1 } },
  });
}

/** Says that something a problem is built from has changed. */
export async function bumpShop(store: Store): Promise<number> {
  const { shopRevision } = await store.db.site.update({
    where: { id: 1 },
    data: { shopRevision: { increment: 1 } },
    select: { shopRevision: true },
  });
  return shopRevision;
}

export const pointTo = async (
  store: Store,
  to: { draftNumber?: number | null; publishedVersion?: number | null },
): Promise<void> => void (await store.db.site.update({ where: { id: 1 }, data: to }));

/** Remembers that the shop, as it is now, is the untouched demo. */
export async function saveDemoMark(store: Store, loadedAt: Date): Promise<void> {
  await store.db.$executeRaw`UPDATE "site" SET "demo_revision" = "shop_revision", "demo_loaded_at" = ${loadedAt} WHERE "id" = 1`;
}
