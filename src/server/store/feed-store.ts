/** Calendar feeds (secret addresses, hashed) and the events as they were last published: their UID, SEQUENCE and content. */
import { json, type Store } from "./store.ts";

export type FeedRow = {
  readonly id: string;
  readonly audience: string;
  readonly subject: string;
  readonly content: string;
  readonly madeBy: string;
  readonly madeById: string;
  readonly createdAt: Date;
  readonly revokedAt: Date | null;
};

export type EntryRow = {
  readonly audience: string;
  readonly operationId: string;
  readonly lot: number;
  readonly part: number;
  readonly uid: string;
  readonly sequence: number;
  readonly hash: string;
  readonly body: unknown;
  readonly startAt: Date;
  readonly endAt: Date;
  readonly version: number;
  readonly changedAt: Date;
  readonly cancelledAt: Date | null;
};

const withoutSecret = { secretHash: true } as const;

export const addFeed = (
  store: Store,
  feed: { audience: string; subject: string; content: string; secretHash: string; madeBy: string; madeById: string },
): Promise<FeedRow> => store.db.calendarFeed.create({ data: feed, omit: withoutSecret });

/** Those still good: one person's, or everybody's. */
export const listFeeds = (store: Store, madeById: string | null): Promise<FeedRow[]> =>
  store.db.calendarFeed.findMany({
    where: { revokedAt: null, ...(madeById === null ? {} : { madeById }) },
    orderBy: [{ createdAt: "desc" }, { id: "asc" }],
    omit: withoutSecret,
  });

export const readFeed = (store: Store, id: string): Promise<FeedRow | null> =>
  store.db.calendarFeed.findUnique({ where: { id }, omit: withoutSecret });

export const feedOfSecret = (store: Store, secretHash: string): Promise<FeedRow | null> =>
  store.db.calendarFeed.findUnique({ where: { secretHash, revokedAt: null }, omit: withoutSecret });

export async function revokeFeed(store: Store, id: string, at: Date): Promise<void> {
  await store.db.calendarFeed.update({ where: { id }, data: { revokedAt: at } });
}

export const entriesOf = (store: Store, audience: string): Promise<EntryRow[]> =>
  store.db.calendarEntry.findMany({
    where: { audience },
    orderBy: [{ startAt: "asc" }, { operationId: "asc" }, { lot: "asc" }, { part: "asc" }],
  });

export const allEntries = (store: Store): Promise<EntryRow[]> => store.db.calendarEntry.findMany();

/** The published version that the entries speak of; null: none yet. */
export async function entriesVersion(store: Store): Promise<number | null> {
  return (await store.db.calendarEntry.aggregate({ _max: { version: true } }))._max.version;
}

export type NewEntry = Omit<EntryRow, "uid" | "sequence" | "cancelledAt">;

export async function addEntries(store: Store, entries: readonly NewEntry[]): Promise<void> {
  await store.db.calendarEntry.createMany({ data: entries.map((entry) => ({ ...entry, body: json(entry.body) })) });
}

/** Writes what has changed about an event and says so by its SEQUENCE. */
export async function changeEntry(
  store: Store,
  { audience, operationId, lot, part }: Pick<EntryRow, "audience" | "operationId" | "lot" | "part">,
  change: Partial<Pick<EntryRow, "hash" | "body" | "startAt" | "endAt" | "version">> & {
    readonly changedAt: Date;
    readonly cancelledAt: Date | null;
  },
): Promise<void> {
  const { body, ...rest } = change;
  await store.db.calendarEntry.update({
    where: { audience_operationId_lot_part: { audience, operationId, lot, part } },
    data: { ...rest, ...(body === undefined ? {} : { body: json(body) }), sequence: { increment: 1 } },
  });
}

/** All entries have been compared with this version. */
export async function stampEntries(store: Store, version: number): Promise<void> {
  await store.db.calendarEntry.updateMany({ data: { version } });
}

/** Forgets what was cancelled, or ended, before these moments. */
export async function forgetEntries(store: Store, cancelledBefore: Date, endedBefore: Date): Promise<void> {
  await store.db.calendarEntry.deleteMany({
    where: { OR: [{ cancelledAt: { lt: cancelledBefore } }, { endAt: { lt: endedBefore } }] },
  });
}
