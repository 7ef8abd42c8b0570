/**
 * The edits of a step, tried on the whole shop and then written: the new shop must compile before a row is touched. What
 * was there before is kept with each edit, so that undo puts it back. What happened meanwhile stays: progress and pins that
 * an edit did not change are never touched by it or by its undo; anything else that was changed since makes undo refuse.
 * Call it inside a transaction with the site locked.
 */
import { isDeepStrictEqual } from "node:util";
import type { OrderBody } from "../../contract/api/order.ts";
import type { PlantEntity, PlantKind } from "../../contract/api/shop.ts";
import { PLANT_KINDS } from "../../contract/api/shop.ts";
import type { ShopEdit } from "../../contract/api/step.ts";
import { applyEditsWithPlaces, keyOf } from "../../contract/apply-edits.ts";
import type { Minute } from "../../core/calendar/minute.ts";
import type { Problem } from "../../core/problem/problem.ts";
import { record } from "../store/audit.ts";
import {
  addLinks,
  addOrders,
  linksInto,
  orderPlace,
  readOrder,
  removeOrder,
  replaceOrder,
  restateProgress,
  type StoredOrder,
  saveProgress,
} from "../store/order-store.ts";
import { readPlant, removePlant, writePlant } from "../store/plant-store.ts";
import type { Store } from "../store/store.ts";
import type { Actor } from "./actor.ts";
import { PLANT_WORDS, tried, withReportsInMinutes } from "./edit-shop.ts";
import { progressInFile } from "./progress-in-file.ts";
import { expectRevision, noSuch, Refused } from "./refused.ts";
import { correctCounters } from "./run-hours.ts";
import { settleProgress } from "./settle-progress.ts";
import { type Shop, shopAsOfNow } from "./shop-file.ts";

type Reported = Readonly<Record<string, Minute>>;
/**
 * An entity as it stood or stands; null: it is not there. `reported`: since when running work of an operation stands so. `place`: where in
 * its list, so that a deletion taken back puts it there again (steps of before places were kept have none).
 */
type Standing = { readonly body: unknown; readonly reported: Reported; readonly place?: number | undefined } | null;

/** As kept with the draft revision. */
export type RecordedEdit = {
  readonly kind: ShopEdit["kind"];
  readonly id: string;
  readonly before: Standing;
  readonly after: Standing;
};

/** An edit with what must still be there for it to make sense; left out: whatever is there. */
type Wanted = {
  readonly edit: ShopEdit;
  readonly instead?: Standing;
  readonly reported?: Reported;
  readonly place?: number | undefined;
};

export type Locked = { readonly store: Store; readonly shop: Shop; readonly now: Minute; readonly actor: Pick<Actor, "name"> };

export type Tried = {
  /** As of now, with the edits in it. */
  readonly problem: Problem;
  write(): Promise<readonly RecordedEdit[]>;
};

/** Tries the edits of a request. */
export async function tryEdits(locked: Locked, edits: readonly ShopEdit[]): Promise<Tried> {
  refuseMisnamed(edits);
  for (const edit of edits) {
    if (!("revision" in edit) || edit.revision === undefined) continue;
    const there =
      edit.kind === "orders" ? await readOrder(locked.store, edit.id) : await readPlant(locked.store, edit.kind, edit.id);
    expectRevision(edit.revision, there?.revision ?? null, `The ${wordOf(edit.kind)} "${edit.id}"`);
  }
  return attempt(
    locked,
    edits.map((edit) => ({ edit })),
  );
}

/** Puts back what stood before the edits (undo), or makes them again (redo). */
export async function tryAgain(locked: Locked, recorded: readonly RecordedEdit[], way: "undo" | "redo"): Promise<Tried> {
  const turned =
    way === "redo" ? recorded : [...recorded].reverse().map((edit) => ({ ...edit, before: edit.after, after: edit.before }));
  const wanted: Wanted[] = [];
  for (const { kind, id, before, after } of turned) {
    const there = await standingOf(locked.store, kind, id);
    if (!same(kind, there, before))
      throw new Refused(
        "conflict",
        `The ${wordOf(kind)} "${id}" was changed since this step, so it cannot be ${way === "undo" ? "taken back" : "repeated"} with it. ` +
          `Change the ${wordOf(kind)} itself instead.`,
      );
    const body = kind === "orders" ? withPinsOf(after, before, there, id, way) : (after?.body ?? null);
    wanted.push({
      edit: { kind, id, after: body } as ShopEdit,
      instead: before,
      ...(after ? { reported: after.reported, place: after.place } : {}),
    });
  }
  return attempt(locked, wanted);
}

async function attempt({ store, shop, now, actor }: Locked, wanted: readonly Wanted[]): Promise<Tried> {
  const edits = wanted.map(({ edit }) => edit);
  for (const { kind, id, after } of edits)
    if (after === null && (await standingOf(store, kind, id)) === null) throw noSuch(wordOf(kind), id);
  const known = new Set(shop.file.orders.flatMap((order) => order.operations.map((operation) => operation.id)));
  const given = new Set(
    edits.flatMap((edit) => (edit.kind === "orders" ? edit.after?.operations.map(({ id }) => id) : []) ?? []),
  );
  for (const { kind, id } of edits) if (kind === "progress" && !known.has(id) && !given.has(id)) throw noSuch("operation", id);
  refuseStrangers(edits);

  const { file, places } = applyEditsWithPlaces(shop.file, edits);
  const compiled = tried(file, places);
  const reports = new Map(shop.reports);
  for (const { edit, reported } of wanted) {
    if (edit.kind === "progress") reports.delete(edit.id);
    if (edit.kind === "progress" && edit.after.running.length > 0) reports.set(edit.id, now);
    for (const [id, minute] of Object.entries(reported ?? {}))
      if (!known.has(id) || edit.kind === "progress") reports.set(id, minute);
  }
  const { problem } = shopAsOfNow({ ...shop, file, reports });

  return {
    problem,
    async write() {
      const before = new Map<string, Standing>();
      for (const { kind, id } of edits) before.set(keyOf({ kind, id }), await standingOf(store, kind, id));
      const settled = edits.some(({ kind }) => kind === "progress") ? shopAsOfNow(shop).problem : null;
      if (settled)
        await settleProgress(store, settled, {
          except: edits.flatMap((e) => (e.kind === "progress" ? [e.id] : [])),
          anew: false,
        });

      const places = new Map(wanted.map(({ edit, place }) => [keyOf(edit), place]));
      await writeInOrder(store, edits, places, compiled, shop, now);
      for (const { edit, reported } of wanted)
        await writeHappened(store, edit, { reported: reported ?? {}, shop, settled, compiled, now });

      const recorded: RecordedEdit[] = [];
      for (const { kind, id, after } of edits) {
        const was = before.get(keyOf({ kind, id })) ?? null;
        const is = await standingOf(store, kind, id);
        recorded.push({ kind, id, before: was, after: is });
        const word = kind === "progress" ? "reported" : was === null ? "made" : after === null ? "deleted" : "changed";
        await record(store, actor.name, word, `${wordOf(kind)} ${id}`, { before: was?.body ?? null, after: is?.body ?? null });
      }
      return recorded;
    },
  };
}

/** Plant that orders point at first, links when both their ends are there, deletions when nothing needs the thing any more. */
async function writeInOrder(
  store: Store,
  edits: readonly ShopEdit[],
  places: ReadonlyMap<string, number | undefined>,
  compiled: Problem,
  shop: Shop,
  now: Minute,
): Promise<void> {
  const plant = (kind: PlantKind) => edits.filter((edit) => edit.kind === kind);
  const writePlantOf = async (kind: PlantKind): Promise<void> => {
    for (const { id, after } of plant(kind))
      if (after !== null) await writePlant(store, kind, after as PlantEntity<typeof kind>, places.get(keyOf({ kind, id })));
  };
  const orders = edits.filter((edit) => edit.kind === "orders");

  for (const kind of PLANT_KINDS) if (kind !== "run-hour-rules") await writePlantOf(kind);
  for (const { id, after } of orders) if (after === null) await removeOrder(store, id);

  const bodies: OrderBody[] = [];
  for (const { after } of orders) {
    if (after === null) continue;
    const stored = new Map((await readOrder(store, after.id))?.operations.map((operation) => [operation.id, operation]));
    const into = await linksInto(store, after.id);
    const [inMinutes = after] = withReportsInMinutes([after], compiled);
    const operations = inMinutes.operations.map((operation) => {
      const before = stored.get(operation.id);
      return before ? { ...operation, progress: before.progress } : operation;
    });
    bodies.push({ ...after, operations, links: after.links ?? into.links, kitSpans: after.kitSpans ?? into.kitSpans });
  }
  const there = new Set(shop.file.orders.map(({ id }) => id));
  for (const body of bodies) if (there.has(body.id)) await replaceOrder(store, { ...body, links: [], kitSpans: [] }, now);
  for (const { links: _links, kitSpans: _kitSpans, ...order } of bodies)
    if (!there.has(order.id)) await addOrders(store, [order], now, places.get(keyOf({ kind: "orders", id: order.id })));
  for (const { links, kitSpans } of bodies) await addLinks(store, links, kitSpans);

  await writePlantOf("run-hour-rules");
  for (const kind of [...PLANT_KINDS].reverse())
    for (const { id, after } of plant(kind)) if (after === null) await removePlant(store, kind, id);
}

type Happened = {
  readonly reported: Reported;
  readonly shop: Shop;
  /** As of now before the edits; null: no edit is about progress. */
  readonly settled: Problem | null;
  readonly compiled: Problem;
  readonly now: Minute;
};

/** Progress that an edit is about, and since when the rest of its order stands as it does. */
async function writeHappened(store: Store, edit: ShopEdit, { reported, shop, settled, compiled, now }: Happened): Promise<void> {
  if (edit.kind === "progress") {
    const operation = compiled.operations.find(({ id }) => id === edit.id);
    const before = settled?.operations.find(({ id }) => id === edit.id);
    if (!operation) return;
    const written = progressInFile(operation.progress);
    if (before) await correctCounters(store, before, operation.progress);
    await saveProgress(
      store,
      operation.order,
      edit.id,
      written,
      reported[edit.id] ?? (written.running.length === 0 ? null : now),
    );
    return;
  }
  if (edit.kind !== "orders" || edit.after === null) return;
  for (const operation of (await readOrder(store, edit.id))?.operations ?? []) {
    const minute = shop.reports.get(operation.id) ?? reported[operation.id];
    if (minute !== undefined) await restateProgress(store, operation.id, operation.progress, minute);
  }
}

async function standingOf(store: Store, kind: ShopEdit["kind"], id: string): Promise<Standing> {
  if (kind === "orders") {
    const order = await readOrder(store, id);
    if (!order) return null;
    const { revision: _revision, operations, ...rest } = order;
    const body = {
      ...rest,
      operations: operations.map(({ reported: _r, ...operation }) => operation),
      ...(await linksInto(store, id)),
    };
    return { body: plain(body), reported: reportsOf(order), place: (await orderPlace(store, id)) ?? undefined };
  }
  if (kind === "progress") {
    const row = await store.db.operation.findUnique({ where: { id }, select: { orderId: true } });
    const order = row && (await readOrder(store, row.orderId));
    const operation = order?.operations.find((candidate) => candidate.id === id);
    if (!operation) return null;
    return { body: plain(operation.progress), reported: operation.reported === null ? {} : { [id]: operation.reported } };
  }
  const there = await readPlant(store, kind, id);
  return there && { body: plain(there.body), reported: {}, place: there.position };
}

const reportsOf = (order: StoredOrder): Reported =>
  Object.fromEntries(order.operations.flatMap(({ id, reported }) => (reported === null ? [] : [[id, reported]])));

/** As JSON keeps it: without fields that are undefined. */
const plain = (value: unknown): unknown => JSON.parse(JSON.stringify(value));

/** Progress and pins of an order change by reports and decisions of their own. */
function same(kind: ShopEdit["kind"], a: Standing, b: Standing): boolean {
  if (a === null || b === null) return a === b;
  if (kind === "progress") return isDeepStrictEqual(a, b);
  return isDeepStrictEqual(kind === "orders" ? essence(a.body) : a.body, kind === "orders" ? essence(b.body) : b.body);
}

const essence = (body: unknown): unknown => {
  const { operations, links, kitSpans, ...order } = body as OrderBody;
  const byId = <T extends { id: string }>(list: readonly T[]): T[] => [...list].sort((a, b) => (a.id < b.id ? -1 : 1));
  return {
    ...order,
    operations: operations.map(({ pin: _pin, progress: _progress, ...operation }) => operation),
    links: byId(links),
    kitSpans: byId(kitSpans),
  };
};

/** The body to put in place, with pins that the step had not changed as they are today. */
function withPinsOf(target: Standing, from: Standing, there: Standing, id: string, way: "undo" | "redo"): OrderBody | null {
  if (target === null) return null;
  const pins = (standing: Standing) =>
    new Map((standing?.body as OrderBody | undefined)?.operations.map((operation) => [operation.id, operation.pin ?? null]));
  const [was, is] = [pins(from), pins(there)];
  const body = target.body as OrderBody;
  return {
    ...body,
    operations: body.operations.map((operation) => {
      if (!is.has(operation.id)) return operation;
      const now = is.get(operation.id) ?? null;
      const untouched = isDeepStrictEqual(was.get(operation.id) ?? null, operation.pin ?? null);
      if (!untouched && !isDeepStrictEqual(now, was.get(operation.id) ?? null))
        throw new Refused(
          "conflict",
          `${operation.id} of order "${id}" was pinned or unpinned since this step, so it cannot be ${way === "undo" ? "taken back" : "repeated"}.`,
        );
      return { ...operation, pin: untouched ? now : operation.pin };
    }),
  };
}

const wordOf = (kind: ShopEdit["kind"]): string =>
  kind === "orders" ? "order" : kind === "progress" ? "operation" : PLANT_WORDS[kind];

function refuseMisnamed(edits: readonly ShopEdit[]): void {
  const seen = new Set<string>();
  const faults = edits.flatMap((edit, i) => {
    const again = seen.has(keyOf(edit));
    seen.add(keyOf(edit));
    if (again) return [{ pointer: `/edits/${i}/id`, message: `the ${wordOf(edit.kind)} "${edit.id}" stands in the step twice` }];
    if (edit.kind === "progress" || edit.after === null || edit.after.id === edit.id) return [];
    return [{ pointer: `/edits/${i}/after/id`, message: `expected "${edit.id}", the id of the edit` }];
  });
  if (faults.length > 0) throw new Refused("invalid", faults[0]?.message ?? "", faults);
}

/** A link is kept with the order it leads to. */
function refuseStrangers(edits: readonly ShopEdit[]): void {
  const faults = edits.flatMap((edit, i) => {
    if (edit.kind !== "orders" || edit.after === null) return [];
    const own = new Set(edit.after.operations.map(({ id }) => id));
    const strange = (key: "links" | "kitSpans") =>
      (edit.after?.[key] ?? []).flatMap(({ to }, j) =>
        own.has(to) ? [] : [{ pointer: `/edits/${i}/after/${key}/${j}/to`, message: "expected an operation of this order" }],
      );
    return [...strange("links"), ...strange("kitSpans")];
  });
  if (faults.length > 0) throw new Refused("invalid", "A link leads to another order.", faults);
}
