/** Requests as rows. A change names the revision it was made from; somebody else's change in between is told, never overwritten. */
import type { OrderBody } from "../../contract/api/order.ts";
import type { RequestMessage, RequestOffer, RequestState } from "../../contract/api/request.ts";
import type { Campaign } from "../../contract/campaign/campaign-schema.ts";
import { json, jsonOrNull, type Store } from "./store.ts";

export type RequestRow = {
  readonly number: number;
  readonly requesterId: string;
  readonly requester: string;
  readonly title: string;
  readonly note: string;
  readonly state: RequestState;
  readonly campaign: Campaign | null;
  readonly body: OrderBody;
  readonly earliest: number;
  readonly wantedBy: number | null;
  readonly offer: RequestOffer | null;
  readonly holdId: string | null;
  readonly messages: readonly RequestMessage[];
  readonly revision: number;
  readonly createdAt: Date;
  readonly changedAt: Date;
};

type Row = Awaited<ReturnType<Store["db"]["rigRequest"]["findMany"]>>[number];

const rowOf = ({ orderName: _name, ...row }: Row): RequestRow => ({
  ...row,
  state: row.state as RequestState,
  campaign: row.campaign as Campaign | null,
  body: row.body as unknown as OrderBody,
  offer: row.offer as RequestOffer | null,
  messages: row.messages as unknown as readonly RequestMessage[],
});

type Fresh = Omit<RequestRow, "number" | "revision" | "createdAt" | "changedAt" | "offer" | "holdId" | "state"> & {
  readonly at: Date;
};

export async function addRequest(store: Store, { at, campaign, body, messages, ...fields }: Fresh): Promise<RequestRow> {
  const written = { campaign: jsonOrNull(campaign), body: json(body), messages: json(messages) };
  return rowOf(
    await store.db.rigRequest.create({ data: { ...fields, ...written, orderName: body.id, createdAt: at, changedAt: at } }),
  );
}

export async function readRequest(store: Store, number: number): Promise<RequestRow | null> {
  const row = await store.db.rigRequest.findUnique({ where: { number } });
  return row && rowOf(row);
}

/** The latest change first. */
export const listRequestRows = async (store: Store, most: number): Promise<RequestRow[]> =>
  (await store.db.rigRequest.findMany({ orderBy: [{ changedAt: "desc" }, { number: "desc" }], take: most })).map(rowOf);

/** Open requests that would become an order of this number. */
export const openRequestsFor = (store: Store, order: string): Promise<number> =>
  store.db.rigRequest.count({ where: { orderName: order, state: { in: ["asked", "countered"] } } });

export const isInBook = async (store: Store, order: string): Promise<boolean> =>
  (await store.db.order.count({ where: { id: order } })) > 0;

type Change = { readonly state: RequestState; readonly offer: RequestOffer | null; readonly holdId: string | null };

/** null: somebody else changed it since. */
export async function changeRequest(
  store: Store,
  row: RequestRow,
  { state, offer, holdId }: Change,
  message: RequestMessage,
  at: Date,
): Promise<RequestRow | null> {
  const { count } = await store.db.rigRequest.updateMany({
    where: { number: row.number, revision: row.revision },
    data: {
      state,
      offer: jsonOrNull(offer),
      holdId,
      messages: json([...row.messages, message]),
      changedAt: at,
      revision: { increment: 1 },
    },
  });
  return count === 0 ? null : readRequest(store, row.number);
}
