/**
 * Changing what a problem is built from: the site, the plant, the order book. Every change is tried on the whole shop
 * first - the new shop must compile - and then written in the same transaction, so that the store never holds a shop
 * that cannot be planned. One writer at a time.
 */

import { isDeepStrictEqual } from "node:util";
import type { LiveEvent } from "../../contract/api/event.ts";
import type { OrderBody } from "../../contract/api/order.ts";
import type { PlantEntity, PlantKind } from "../../contract/api/shop.ts";
import type { SiteInput } from "../../contract/api/site.ts";
import { LIST_OF } from "../../contract/apply-edits.ts";
import type { ProblemFile } from "../../contract/problem-file.ts";
import type { Problem } from "../../core/problem/problem.ts";
import { record } from "../store/audit.ts";
import { announce } from "../store/notice.ts";
import { addLinks, addOrders, linksInto, readOrder, removeOrder, replaceOrder } from "../store/order-store.ts";
import { readPlant, removePlant, writePlant } from "../store/plant-store.ts";
import { bumpShop, ensureSite, lockSite, type Site, saveSite } from "../store/site-store.ts";
import { databaseRefusal, type Store } from "../store/store.ts";
import type { Actor } from "./actor.ts";
import type { Office } from "./planning-state.ts";
import { progressInFile } from "./progress-in-file.ts";
import { type Expected, expectRevision, noSuch, Refused } from "./refused.ts";
import { compileShop, minuteOfNow, readShop, type Shop } from "./shop-file.ts";

/** What people call one of each kind. */
export const PLANT_WORDS: Readonly<Record<PlantKind, string>> = {
  calendars: "calendar",
  machines: "machine",
  crews: "crew",
  supplies: "supply",
  kits: "kit",
  "setup-tables": "setup table",
  routes: "route template",
  "run-hour-rules": "run-hour rule",
  "upkeep-rules": "upkeep rule",
};

type Saved = { readonly revision: number; readonly made: boolean };

/** Runs a change alone, on a locked site, and says so to the screens; what the database refuses becomes a refusal. */
export async function changeShop<T>(
  office: Office,
  event: LiveEvent,
  work: (locked: { store: Store; site: Site; shop: Shop; now: number }) => Promise<T>,
): Promise<T> {
  await ensureSite(office.store, office.clock());
  try {
    return await office.store.inTransaction(async (store) => {
      const site = await lockSite(store);
      const now = minuteOfNow(site, office.clock());
      const answer = await work({ store, site, shop: await readShop(store, site, now), now });
      await bumpShop(store);
      await announce(store, event);
      return answer;
    });
  } catch (error) {
    throw asRefusal(error);
  }
}

/** What the database refused as a refusal in words; every other error as it is. */
export function asRefusal(error: unknown): unknown {
  const refusal = error instanceof Refused ? null : databaseRefusal(error);
  return refusal === null ? error : new Refused("conflict", REFUSED_BY_DATABASE[refusal]);
}

const REFUSED_BY_DATABASE = {
  overlap: "Two published operations would stand on one machine at the same time.",
  dangling: "Something else still points at it, or it points at something that is not there.",
  duplicate: "Something with this id exists already.",
  check: "A duration or amount is outside what the shop allows.",
  range: "Something would end before it begins.",
} as const;

/** Compiles a changed shop. Faults inside the changed entity point into the request body, others name their place in the shop. */
export function tried(file: ProblemFile, places: readonly { at: string; body: string }[]): Problem {
  try {
    return compileShop(file);
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    const faults = error.faults.map(({ pointer, message }) => {
      const place = places.find(({ at }) => pointer === at || pointer.startsWith(`${at}/`));
      return place
        ? { pointer: place.body + pointer.slice(place.at.length), message }
        : { pointer: "", message: `${pointer.slice(1)}: ${message}` };
    });
    throw new Refused("invalid", faults[0]?.message ?? error.message, faults);
  }
}

/** An array with the entity in place of the one of the same id, or at the end. */
function withEntity<T extends { readonly id: string }>(list: readonly T[], entity: T): { list: T[]; index: number } {
  const at = list.findIndex((other) => other.id === entity.id);
  const index = at === -1 ? list.length : at;
  return { list: [...list.slice(0, index), entity, ...list.slice(index + 1)], index };
}

export async function savePlant<K extends PlantKind>(
  office: Office,
  actor: Actor,
  kind: K,
  id: string,
  body: PlantEntity<K>,
  expected: Expected,
): Promise<Saved> {
  if (body.id !== id)
    throw new Refused("invalid", "The id in the body differs from the one in the address.", [
      { pointer: "/id", message: `expected "${id}"` },
    ]);
  return changeShop(office, { type: "shop" }, async ({ store, shop }) => {
    const before = await readPlant(store, kind, id);
    expectRevision(expected, before?.revision ?? null, `The ${PLANT_WORDS[kind]} "${id}"`);
    const key = LIST_OF[kind];
    if (key !== null) {
      const { list, index } = withEntity(shop.file[key] as readonly { id: string }[], body);
      tried({ ...shop.file, [key]: list }, [{ at: `/${key}/${index}`, body: "" }]);
    }
    const revision = await writePlant(store, kind, body);
    await record(store, actor.name, before ? "changed" : "made", `${PLANT_WORDS[kind]} ${id}`, {
      before: before?.body ?? null,
      after: body,
    });
    return { revision, made: before === null };
  });
}

export async function deletePlant(office: Office, actor: Actor, kind: PlantKind, id: string, expected: Expected): Promise<void> {
  await changeShop(office, { type: "shop" }, async ({ store, shop }) => {
    const before = await readPlant(store, kind, id);
    if (!before) throw noSuch(PLANT_WORDS[kind], id);
    expectRevision(expected, before.revision, `The ${PLANT_WORDS[kind]} "${id}"`);
    const key = LIST_OF[kind];
    if (key !== null)
      stillNeeded(PLANT_WORDS[kind], id, () =>
        tried({ ...shop.file, [key]: shop.file[key].filter((entity: { id: string }) => entity.id !== id) }, []),
      );
    await removePlant(store, kind, id);
    await record(store, actor.name, "deleted", `${PLANT_WORDS[kind]} ${id}`, { before: before.body });
  });
}

/** What stops compiling without the thing still needs it. */
function stillNeeded(what: string, id: string, attempt: () => unknown): void {
  try {
    attempt();
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    throw new Refused("conflict", `The ${what} "${id}" is still in use; change what uses it first.`, error.faults);
  }
}

/** The shop with an order in place of the one of that id; links and spans into it are exchanged with it. */
function withOrder(file: ProblemFile, body: OrderBody): { file: ProblemFile; places: { at: string; body: string }[] } {
  const { links, kitSpans, ...order } = body;
  const orders = withEntity(file.orders, order);
  const gone = new Set(
    [...(file.orders.find((o) => o.id === order.id)?.operations ?? []), ...order.operations].map((operation) => operation.id),
  );
  const otherLinks = file.links.filter((link) => !gone.has(link.to));
  const otherSpans = file.kitSpans.filter((span) => !gone.has(span.to));
  return {
    file: { ...file, orders: orders.list, links: [...otherLinks, ...links], kitSpans: [...otherSpans, ...kitSpans] },
    places: [
      { at: `/orders/${orders.index}`, body: "" },
      ...links.map((_, i) => ({ at: `/links/${otherLinks.length + i}`, body: `/links/${i}` })),
      ...kitSpans.map((_, i) => ({ at: `/kitSpans/${otherSpans.length + i}`, body: `/kitSpans/${i}` })),
    ],
  };
}

/** Reports are stored in minutes, whatever they were written in, so that running work can be carried on to now. */
export function withReportsInMinutes<T extends Pick<OrderBody, "operations">>(orders: readonly T[], problem: Problem): T[] {
  const progress = new Map(problem.operations.map((operation) => [operation.id, operation.progress]));
  return orders.map((order) => ({
    ...order,
    operations: order.operations.map((operation) => {
      const known = progress.get(operation.id);
      if (!known) return operation;
      return { ...operation, progress: progressInFile(known) };
    }),
  }));
}

export async function saveOrder(office: Office, actor: Actor, id: string, body: OrderBody, expected: Expected): Promise<Saved> {
  if (body.id !== id)
    throw new Refused("invalid", "The id in the body differs from the one in the address.", [
      { pointer: "/id", message: `expected "${id}"` },
    ]);
  return changeShop(office, { type: "orders" }, async ({ store, shop, now }) => {
    const before = await readOrder(store, id);
    expectRevision(expected, before?.revision ?? null, `The order "${id}"`);
    const own = new Set(body.operations.map((operation) => operation.id));
    const strangers = [
      ...body.links.flatMap((link, i) =>
        own.has(link.to)
          ? []
          : [
              {
                pointer: `/links/${i}/to`,
                message: "expected an operation of this order: a link is kept with the order it leads to",
              },
            ],
      ),
      ...body.kitSpans.flatMap((span, i) =>
        own.has(span.to) ? [] : [{ pointer: `/kitSpans/${i}/to`, message: "expected an operation of this order" }],
      ),
    ];
    if (strangers.length > 0) throw new Refused("invalid", "A link leads to another order.", strangers);
    refuseDecisions(actor, body);
    const changed = withOrder(shop.file, body);
    const was = before ? (await orderBody(store, id)).body : undefined;
    const [written = body] = withReportsInMinutes([body], tried(changed.file, changed.places));
    if (!before) {
      const { links, kitSpans, ...order } = written;
      await addOrders(store, [order], now);
      await addLinks(store, links, kitSpans);
    }
    const revision = before ? await replaceOrder(store, written, now) : 1;
    await record(store, actor.name, before ? "changed" : "made", `order ${id}`, { before: was, after: body });
    return { revision, made: before === null };
  });
}

/** A requester asks for work; what is fixed or already done is for planners and operators to say. */
function refuseDecisions(actor: Actor, body: OrderBody): void {
  if (actor.role !== "requester") return;
  const faults = body.operations.flatMap((operation, i) => {
    const decided = operation.pin !== null || !isDeepStrictEqual(operation.progress, { done: [], running: [] });
    return decided ? [{ pointer: `/operations/${i}`, message: "expected neither pin nor progress in a request" }] : [];
  });
  if (faults.length > 0) throw new Refused("forbidden", "Pins and progress are set by planners and operators.", faults);
}

export async function deleteOrder(office: Office, actor: Actor, id: string, expected: Expected): Promise<void> {
  await changeShop(office, { type: "orders" }, async ({ store, shop }) => {
    const before = await readOrder(store, id);
    if (!before) throw noSuch("order", id);
    expectRevision(expected, before.revision, `The order "${id}"`);
    const own = new Set(before.operations.map((operation) => operation.id));
    const rest: ProblemFile = {
      ...shop.file,
      orders: shop.file.orders.filter((order) => order.id !== id),
      links: shop.file.links.filter((link) => !own.has(link.to)),
      kitSpans: shop.file.kitSpans.filter((span) => !own.has(span.to)),
    };
    stillNeeded("order", id, () => tried(rest, []));
    await removeOrder(store, id);
    const { revision: _revision, ...body } = before;
    await record(store, actor.name, "deleted", `order ${id}`, { before: body });
  });
}

/** The order as the API carries it, with its revision. */
export async function orderBody(store: Store, id: string): Promise<{ body: OrderBody; revision: number }> {
  const order = await readOrder(store, id);
  if (!order) throw noSuch("order", id);
  const { revision, ...rest } = order;
  const operations = rest.operations.map(({ reported: _reported, ...operation }) => operation);
  return { body: { ...rest, operations, ...(await linksInto(store, id)) }, revision };
}

export async function changeSite(office: Office, actor: Actor, input: SiteInput, expected: Expected): Promise<number> {
  return changeShop(office, { type: "shop" }, async ({ store, site, shop, now }) => {
    expectRevision(expected, site.revision, "The site");
    const fixedNow = input.clock === undefined ? site.fixedNow : input.clock === "live" ? null : input.clock;
    const changed: Site = {
      ...site,
      name: input.name,
      zone: input.zone,
      weights: input.weights,
      fixedNow,
      horizonMinutes: Math.round(input.horizonDays * 1440),
      followsPlan: input.followsPlan ?? site.followsPlan,
      freezeMinutes: input.freezeHours === null ? null : Math.round(input.freezeHours * 60),
    };
    const at = fixedNow ?? (site.fixedNow === null ? now : minuteOfNow(changed, office.clock()));
    const file = {
      ...shop.file,
      name: changed.name,
      zone: changed.zone,
      weights: changed.weights,
      now: at,
      horizon: at + changed.horizonMinutes,
    };
    tried(file, [
      { at: "/zone", body: "/zone" },
      { at: "/horizon", body: "/horizonDays" },
      { at: "/now", body: "/clock" },
      { at: "/weights", body: "/weights" },
    ]);
    const { revision, shopRevision: _s, ...fields } = changed;
    await saveSite(store, fields);
    await record(store, actor.name, "changed", "site", { after: input });
    return revision + 1;
  });
}
