/** Holds as rows: who keeps which slot for whom until when, and how it ended. A hold whose order left the book is over. */
import type { HoldView } from "../../contract/api/hold.ts";
import type { OperationInFile } from "../../contract/file/order-schema.ts";
import type { Minute } from "../../core/calendar/minute.ts";
import { json, type Store } from "./store.ts";

type Pin = OperationInFile["pin"];
export type PinBefore = { readonly operation: string; readonly pin: Pin };

export type HoldRow = HoldView & { readonly pinsBefore: readonly PinBefore[] };
export type HoldEnd = "confirmed" | "expired" | "released";

type Row = Awaited<ReturnType<Store["db"]["hold"]["findMany"]>>[number];

const rowOf = (row: Row): HoldRow => ({
  id: row.id,
  order: row.orderName,
  until: row.until,
  purpose: row.purpose as HoldView["purpose"],
  state: row.state as HoldView["state"],
  note: row.note,
  heldBy: row.heldBy,
  heldAt: row.createdAt.toISOString(),
  endedBy: row.endedBy,
  endedAt: row.endedAt?.toISOString() ?? null,
  keepsOrder: !row.madeOrder,
  pinsBefore: row.pinsBefore as unknown as readonly PinBefore[],
});

export async function addHold(
  store: Store,
  hold: Pick<HoldRow, "order" | "until" | "purpose" | "note" | "heldBy" | "keepsOrder" | "pinsBefore"> & { heldAt: Date },
): Promise<HoldRow> {
  const { order, keepsOrder, heldAt, pinsBefore, ...rest } = hold;
  return rowOf(
    await store.db.hold.create({
      data: {
        ...rest,
        orderId: order,
        orderName: order,
        madeOrder: !keepsOrder,
        createdAt: heldAt,
        pinsBefore: json(pinsBefore),
      },
    }),
  );
}

export async function readHold(store: Store, id: string): Promise<HoldRow | null> {
  const row = await store.db.hold.findUnique({ where: { id } });
  return row && rowOf(row);
}

/** Held slots, the next to end first. */
export const heldSlots = async (store: Store): Promise<HoldRow[]> =>
  (await store.db.hold.findMany({ where: { state: "held" }, orderBy: [{ until: "asc" }, { createdAt: "asc" }] })).map(rowOf);

/** Held ones, and those that were agreed to: the latest of each order. */
export async function slotsTalkedAbout(store: Store): Promise<HoldRow[]> {
  const rows = await store.db.hold.findMany({ where: { state: { in: ["held", "confirmed"] } }, orderBy: { createdAt: "asc" } });
  return [...new Map(rows.map((row) => [row.orderId, rowOf(row)])).values()];
}

/** Ended ones, the latest first. */
export const endedHolds = async (store: Store, count: number): Promise<HoldRow[]> =>
  (await store.db.hold.findMany({ where: { state: { not: "held" } }, orderBy: { endedAt: "desc" }, take: count })).map(rowOf);

/** Ids of held slots whose minute has come. */
export const holdsDue = async (store: Store, now: Minute): Promise<string[]> =>
  (
    await store.db.hold.findMany({
      where: { state: "held", until: { lte: now } },
      orderBy: { until: "asc" },
      select: { id: true },
    })
  ).map(({ id }) => id);

/** Ends a hold that is still held; false: somebody else did. */
export async function endHold(store: Store, id: string, end: { state: HoldEnd; by: string; at: Date }): Promise<boolean> {
  const { count } = await store.db.hold.updateMany({
    where: { id, state: "held" },
    data: { state: end.state, endedBy: end.by, endedAt: end.at },
  });
  return count > 0;
}
