/**
 * Requests for rig time, from the asking to the answer. Accepting is a step (order and plan together, one undo); offering another
 * slot holds it, so that it stands on the board as tentative and frees itself; agreeing makes the held slot an order like any
 * other. A slot that ran out, and an acceptance that was undone, leave the request open again: that is read from hold and book, so it cannot be
 * missed.
 */
import { isDeepStrictEqual } from "node:util";
import type { OrderBody } from "../../contract/api/order.ts";
import type {
  RequestInput,
  RequestMessage,
  RequestOffer,
  RequestState,
  RequestSummary,
  RequestView,
} from "../../contract/api/request.ts";
import type { Plan } from "../../core/problem/plan.ts";
import { record } from "../store/audit.ts";
import { readHold } from "../store/hold-store.ts";
import { announce } from "../store/notice.ts";
import { readOrder } from "../store/order-store.ts";
import {
  addRequest,
  changeRequest,
  isInBook,
  listRequestRows,
  openRequestsFor,
  type RequestRow,
  readRequest,
} from "../store/request-store.ts";
import { ensureSite } from "../store/site-store.ts";
import type { Actor } from "./actor.ts";
import { applyStep } from "./apply-step.ts";
import { confirmHold, holdSlot, releaseHold } from "./hold-slot.ts";
import type { Office } from "./planning-state.ts";
import { type Expected, noSuch, Refused } from "./refused.ts";
import { tryEdits } from "./shop-edits.ts";
import { minuteOfNow, readShop } from "./shop-file.ts";

/** Enough for a year of a busy test field. */
const SHOWN_MOST = 500;

export async function makeRequest(office: Office, actor: Actor, { order, campaign, note }: RequestInput): Promise<RequestView> {
  const decided = order.operations.flatMap(({ pin, progress }, i) =>
    pin === null && progress.done.length === 0 && isDeepStrictEqual([progress.running ?? []].flat(), [])
      ? []
      : [{ pointer: `/order/operations/${i}`, message: "expected neither pin nor progress in a request" }],
  );
  if (decided.length > 0) throw new Refused("invalid", "Pins and progress are set by planners and operators.", decided);
  const row = await alone(office, async (inner) => {
    const { store } = inner;
    if ((await readOrder(store, order.id)) || (await openRequestsFor(store, order.id)) > 0)
      throw new Refused("conflict", `There is an order or a request with the number "${order.id}" already.`, [
        { pointer: "/order/id", message: "is taken; ask under another number" },
      ]);
    const found = await compiled(inner, actor, order);
    const made = await addRequest(store, {
      requesterId: actor.id,
      requester: actor.name,
      title: order.name || order.id,
      note,
      campaign,
      body: order,
      earliest: found.release,
      wantedBy: found.due,
      messages: [message(office, actor, "asked", note)],
      at: office.clock(),
    });
    await record(store, actor.name, "asked", `request ${made.number}`, { order: order.id, note });
    await announce(store, { type: "request", number: made.number });
    return made;
  });
  return showRequest(office, actor, row.number);
}

/** Tries the order in the shop of today, so that what cannot be read is refused now and not when it is accepted. */
async function compiled({ store, clock }: Office, actor: Actor, order: OrderBody) {
  const site = await ensureSite(store, clock());
  const now = minuteOfNow(site, clock());
  try {
    const { problem } = await tryEdits({ store, shop: await readShop(store, site, now), now, actor }, [
      { kind: "orders", id: order.id, after: order },
    ]);
    const found = problem.orders.find(({ id }) => id === order.id);
    if (!found) throw new Error(`order ${order.id} was not read`);
    return found;
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    const faults = error.faults.map(({ pointer, message: text }) => ({
      pointer: pointer.replace(/^\/edits\/0\/after/, "/order"),
      message: text,
    }));
    throw new Refused(error.refusal, error.message, faults);
  }
}

export async function acceptRequest(
  office: Office,
  actor: Actor,
  number: number,
  { plan, note }: { readonly plan: Plan | null; readonly note: string },
  expected: Expected,
): Promise<RequestView> {
  return changed(office, actor, number, ["asked"], "accepted", note, async (inner, row) => {
    const after = withRequester(row);
    await applyStep(inner, actor, expected, {
      edits: [{ kind: "orders", id: row.body.id, after }],
      plan: plan as Parameters<typeof applyStep>[3]["plan"],
      note: `Request ${number} accepted: ${row.title}`,
    });
    return { offer: row.offer, holdId: null };
  });
}

/** Holds the slot that the plan gives the order; a slot offered before is freed. */
export async function counterRequest(
  office: Office,
  actor: Actor,
  number: number,
  { plan, until, note }: { readonly plan: Plan; readonly until: number; readonly note: string },
  expected: Expected,
): Promise<RequestView> {
  return changed(office, actor, number, ["asked"], "countered", note, async (inner, row) => {
    const order = withRequester(row);
    const hold = await holdSlot(
      inner,
      actor,
      {
        order,
        plan: plan as Parameters<typeof holdSlot>[2]["plan"],
        until,
        purpose: "request",
        note: `Request ${number} of ${row.requester}`,
      },
      expected,
    );
    return { offer: offerOf(order, plan, until), holdId: hold.id };
  });
}

export const declineRequest = (office: Office, actor: Actor, number: number, note: string): Promise<RequestView> =>
  changed(office, actor, number, ["asked", "countered"], "declined", note, freed(actor));

export const withdrawRequest = (office: Office, actor: Actor, number: number, note: string): Promise<RequestView> =>
  changed(office, actor, number, ["asked", "countered"], "withdrawn", note, freed(actor, true));

/** Whoever asked takes the slot offered. */
export const agreeToOffer = (office: Office, actor: Actor, number: number, note: string): Promise<RequestView> =>
  changed(
    office,
    actor,
    number,
    ["countered"],
    "accepted",
    note,
    async (inner, row) => {
      ownOnly(actor, row);
      if (row.holdId !== null) await confirmHold(inner, actor, row.holdId);
      return { offer: row.offer, holdId: null };
    },
    "agreed",
  );

/** The slot offered does not suit: it is freed, and the request is open again. */
export const askAgain = (office: Office, actor: Actor, number: number, note: string): Promise<RequestView> =>
  changed(office, actor, number, ["countered"], "asked", note, freed(actor, true), "askedAgain");

type Outcome = { readonly offer: RequestOffer | null; readonly holdId: string | null };

const freed =
  (actor: Actor, own = false) =>
  async (inner: Office, row: RequestRow): Promise<Outcome> => {
    if (own) ownOnly(actor, row);
    if (row.holdId !== null && (await readHold(inner.store, row.holdId))?.state === "held")
      await releaseHold(inner, actor, row.holdId);
    return { offer: row.offer, holdId: null };
  };

function ownOnly(actor: Actor, { requesterId, requester }: RequestRow): void {
  if (actor.role === "requester" && actor.id !== requesterId)
    throw new Refused("forbidden", `This was asked for by ${requester}: only they or a planner may answer for it.`);
}

/** One change of a request in one transaction with what it does to order book and draft. */
async function changed(
  office: Office,
  actor: Actor,
  number: number,
  from: readonly RequestState[],
  to: RequestState,
  note: string,
  work: (inner: Office, row: RequestRow) => Promise<Outcome>,
  said: RequestMessage["said"] = to,
): Promise<RequestView> {
  await alone(office, async (inner) => {
    const row = await readRequest(inner.store, number);
    if (!row) throw noSuch("request", String(number));
    const now = await stateOf(inner, row);
    if (!from.includes(now.state))
      throw new Refused("conflict", `Request ${number} ${STANDS[now.state]}, so this cannot be done any more. Read it again.`);
    const outcome = await work(inner, now.lapsed ? { ...row, holdId: null } : row);
    const after = await changeRequest(
      inner.store,
      row,
      { state: to, ...outcome },
      message(office, actor, said, note),
      office.clock(),
    );
    if (!after) throw new Refused("stale", `Request ${number} was changed in between. Read it again.`);
    await record(inner.store, actor.name, said, `request ${number}`, { order: row.body.id, note });
    await announce(inner.store, { type: "request", number });
  });
  return showRequest(office, actor, number);
}

const STANDS: Readonly<Record<RequestState, string>> = {
  asked: "waits for an answer",
  countered: "has another slot on offer",
  accepted: "was accepted",
  declined: "was declined",
  withdrawn: "was withdrawn",
};

/** In one transaction, on a memory of its own. */
const alone = <T>(office: Office, work: (inner: Office) => Promise<T>): Promise<T> =>
  office.store.inTransaction((store) => work({ ...office, store, memory: { ...office.memory } }));

/** A held slot that is over, and an accepted order that was taken back, decide how the request stands, however that came to be. */
async function stateOf({ store }: Office, row: RequestRow): Promise<{ state: RequestState; lapsed: boolean; held: boolean }> {
  const lapsed = { state: "asked", lapsed: true, held: false } as const;
  if (row.state === "accepted")
    return (await isInBook(store, row.body.id)) ? { state: "accepted", lapsed: false, held: false } : lapsed;
  if (row.state !== "countered") return { state: row.state, lapsed: false, held: false };
  const hold = row.holdId === null ? null : await readHold(store, row.holdId);
  if (hold?.state === "held") return { state: "countered", lapsed: false, held: true };
  if (hold?.state === "confirmed") return { state: "accepted", lapsed: false, held: false };
  return lapsed;
}

const message = (office: Office, actor: Actor, said: RequestMessage["said"], text: string): RequestMessage => ({
  at: office.clock().toISOString(),
  by: actor.name,
  said,
  text,
});

const withRequester = ({ body, requester }: RequestRow): OrderBody => ({ ...body, requester: body.requester ?? requester });

function offerOf(order: OrderBody, plan: Plan, until: number): RequestOffer {
  const own = new Map(order.operations.map((operation) => [operation.id, operation]));
  const lots = plan.operations.flatMap(({ operation, lots: placed }) =>
    placed.flatMap((lot) => {
      const known = own.get(operation);
      return known ? [{ ...lot, machines: known.modes.find(({ id }) => id === lot.mode)?.machines ?? [] }] : [];
    }),
  );
  if (lots.length === 0)
    throw new Refused("invalid", "The plan holds no work of this request, so there is no slot to offer.", [
      { pointer: "/plan/operations", message: `expected the operations of ${order.id}` },
    ]);
  return {
    start: Math.min(...lots.map(({ start }) => start)),
    end: Math.max(...lots.map(({ end }) => end)),
    machines: [...new Set(lots.flatMap(({ machines }) => machines))],
    until,
  };
}

export async function listRequests(office: Office, actor: Actor): Promise<{ items: RequestSummary[] }> {
  const rows = await listRequestRows(office.store, SHOWN_MOST);
  return { items: await Promise.all(rows.map((row) => summary(office, actor, row))) };
}

export async function showRequest(office: Office, actor: Actor, number: number): Promise<RequestView> {
  const row = await readRequest(office.store, number);
  if (!row) throw noSuch("request", String(number));
  return { ...(await summary(office, actor, row)), body: row.body, campaign: row.campaign, messages: [...row.messages] };
}

async function summary(office: Office, actor: Actor, row: RequestRow): Promise<RequestSummary> {
  const { state, lapsed, held } = await stateOf(office, row);
  const { number, title, requester, note, earliest, wantedBy, offer, revision } = row;
  return {
    number,
    title,
    requester,
    mine: actor.id === row.requesterId,
    state,
    lapsed,
    order: row.body.id,
    note,
    earliest,
    wantedBy,
    offer,
    hold: held ? row.holdId : null,
    lastMessage: row.messages.at(-1) ?? message(office, actor, state, ""),
    createdAt: row.createdAt.toISOString(),
    changedAt: row.changedAt.toISOString(),
    revision,
  };
}
