/**
 * Orders with their operations, modes, phases, links and kit spans. An operation is read back from its body; the rows
 * beside it (modes, machines, phases, draws, kits) exist so that the database can refuse what must not be, and are
 * written in the same transaction. Pins and progress change more often than orders and have columns of their own.
 */
import { isDeepStrictEqual } from "node:util";
import type { OrderBody } from "../../contract/api/order.ts";
import type { KitSpanInFile, LinkInFile } from "../../contract/file/link-schema.ts";
import { asListOfLots, type OperationInFile, type OrderInFile } from "../../contract/file/order-schema.ts";
import { json, jsonOrNull, type Store } from "./store.ts";

/** An operation as stored: `reported` is the minute at which its running work stood as written. */
export type StoredOperation = OperationInFile & { readonly reported: number | null };
export type StoredOrder = Omit<OrderInFile, "operations"> & {
  readonly operations: readonly StoredOperation[];
  readonly revision: number;
};

type Pin = OperationInFile["pin"];
type Progress = OperationInFile["progress"];

/** A column as stored, in the old form too: one running lot, or null. */
const progressOf = (column: unknown): Progress => {
  const { done = [], running = [] } = (column ?? {}) as { done?: Progress["done"]; running?: unknown };
  return { done, running: asListOfLots(running) as Progress["running"] };
};

const operationsWith = { operations: { orderBy: { position: "asc" } } } as const;

type OrderRow = {
  body: unknown;
  revision: number;
  operations: { body: unknown; pin: unknown; progress: unknown; reportedMinute: number | null }[];
};

function orderOf(row: OrderRow): StoredOrder {
  return {
    ...(row.body as Omit<OrderInFile, "operations">),
    revision: row.revision,
    operations: row.operations.map((operation) => ({
      ...(operation.body as OperationInFile),
      pin: (operation.pin as Pin) ?? null,
      progress: progressOf(operation.progress),
      reported: operation.reportedMinute,
    })),
  };
}

export const listOrders = async (store: Store): Promise<StoredOrder[]> =>
  (await store.db.order.findMany({ orderBy: [{ position: "asc" }, { id: "asc" }], include: operationsWith })).map(orderOf);

export async function readOrder(store: Store, id: string): Promise<StoredOrder | null> {
  const row = await store.db.order.findUnique({ where: { id }, include: operationsWith });
  return row && orderOf(row);
}

/** Its place in the book; null: it is not there. */
export const orderPlace = async (store: Store, id: string): Promise<number | null> =>
  (await store.db.order.findUnique({ where: { id }, select: { position: true } }))?.position ?? null;

export async function orderRevisions(store: Store, ids: readonly string[]): Promise<Record<string, number>> {
  const rows = await store.db.order.findMany({ where: { id: { in: [...ids] } }, select: { id: true, revision: true } });
  return Object.fromEntries(rows.map((row) => [row.id, row.revision]));
}

export const listLinks = async (store: Store): Promise<LinkInFile[]> =>
  (await store.db.link.findMany({ orderBy: [{ position: "asc" }] })).map((row) => row.body as LinkInFile);

export const listKitSpans = async (store: Store): Promise<KitSpanInFile[]> =>
  (await store.db.kitSpan.findMany({ orderBy: [{ position: "asc" }] })).map((row) => row.body as KitSpanInFile);

/** Links and kit spans that end in an operation of the order: they travel with it. */
export async function linksInto(store: Store, order: string): Promise<{ links: LinkInFile[]; kitSpans: KitSpanInFile[] }> {
  const into = { where: { to: { orderId: order } }, orderBy: { position: "asc" } } as const;
  const [links, spans] = [await store.db.link.findMany(into), await store.db.kitSpan.findMany(into)];
  return { links: links.map((row) => row.body as LinkInFile), kitSpans: spans.map((row) => row.body as KitSpanInFile) };
}

/** Rows of one operation in the tables beside it. */
function rowsBeside(operation: OperationInFile) {
  const operationId = operation.id;
  return {
    modes: operation.modes.map((mode, position) => ({ operationId, id: mode.id, position, calendarId: mode.calendar })),
    machines: operation.modes.flatMap((mode) =>
      mode.machines.map((machineId, position) => ({
        operationId,
        modeId: mode.id,
        position,
        machineId,
        family: jsonOrNull(mode.families?.[position]),
      })),
    ),
    phases: operation.modes.flatMap((mode) =>
      mode.phases.map((phase, position) => ({
        operationId,
        modeId: mode.id,
        position,
        kind: phase.kind,
        flow: phase.flow,
        minutes: phase.work.kind === "fixed" ? phase.work.minutes : null,
        secondsPerPiece: phase.work.kind === "perPiece" ? phase.work.seconds : null,
        maxWait: phase.maxWait,
        needs: json(phase.needs),
      })),
    ),
    draws: operation.modes.flatMap((mode) =>
      mode.phases.flatMap((phase, index) =>
        phase.draws.map((draw, position) => ({
          operationId,
          modeId: mode.id,
          phase: index,
          position,
          supplyId: draw.supply,
          amount: draw.amount,
        })),
      ),
    ),
    kits: operation.kits.map((hold, position) => ({ operationId, position, kitId: hold.kit, count: hold.count })),
  };
}

async function writeBeside(store: Store, operations: readonly OperationInFile[]): Promise<void> {
  const rows = operations.map(rowsBeside);
  await store.db.operationMode.createMany({ data: rows.flatMap((r) => r.modes) });
  await store.db.modeMachine.createMany({ data: rows.flatMap((r) => r.machines) });
  await store.db.phase.createMany({ data: rows.flatMap((r) => r.phases) });
  await store.db.phaseDraw.createMany({ data: rows.flatMap((r) => r.draws) });
  await store.db.operationKit.createMany({ data: rows.flatMap((r) => r.kits) });
}

function operationRow(order: string, operation: OperationInFile, position: number) {
  const { pin: _pin, progress: _progress, ...body } = operation;
  return {
    id: operation.id,
    orderId: order,
    position,
    name: operation.name ?? operation.id,
    piecesPerUnit: operation.piecesPerUnit,
    body: json(body),
  };
}

const decided = (operation: OperationInFile, reported: number | null) => {
  const nothing = operation.progress.done.length === 0 && operation.progress.running.length === 0;
  return {
    pin: jsonOrNull(operation.pin),
    progress: jsonOrNull(nothing ? null : operation.progress),
    reportedMinute: operation.progress.running.length === 0 ? null : reported,
  };
};

function orderRow(order: OrderInFile) {
  const { operations: _operations, ...body } = order;
  return {
    id: order.id,
    name: order.name ?? order.id,
    kind: order.kind,
    quantity: order.quantity,
    scrapPerMille: order.scrapPerMille,
    weight: order.weight,
    requester: order.requester,
    notes: order.notes ?? "",
    body: json(body),
  };
}

const linkRow = (link: LinkInFile) => ({
  id: link.id,
  kind: link.kind,
  fromId: link.from,
  toId: link.to,
  minLag: link.kind === "lag" ? link.minLag : null,
  maxLag: link.kind === "lag" ? link.maxLag : null,
  pieces: link.kind === "transfer" ? link.pieces : null,
  body: json(link),
});

const spanRow = (span: KitSpanInFile) => ({
  id: span.id,
  kitId: span.kit,
  count: span.count,
  fromId: span.from,
  toId: span.to,
  body: json(span),
});

/** Adds many orders at once, before their links. `reported`: the minute at which running work stood as written. */
/** New orders go to the end of the book; `place`: where one that is put back had stood. */
export async function addOrders(store: Store, orders: readonly OrderInFile[], reported: number, place?: number): Promise<void> {
  const at = place === undefined ? {} : { position: place };
  await store.db.order.createMany({ data: orders.map((order) => ({ ...orderRow(order), ...at })) });
  await store.db.operation.createMany({
    data: orders.flatMap((order) =>
      order.operations.map((operation, i) => ({ ...operationRow(order.id, operation, i), ...decided(operation, reported) })),
    ),
  });
  await writeBeside(
    store,
    orders.flatMap((order) => order.operations),
  );
}

export async function addLinks(store: Store, links: readonly LinkInFile[], kitSpans: readonly KitSpanInFile[]): Promise<void> {
  await store.db.link.createMany({ data: links.map(linkRow) });
  await store.db.kitSpan.createMany({ data: kitSpans.map(spanRow) });
}

/**
 * Replaces an order. Operations that stay keep their row (published lots and links from other orders hang on it);
 * pins and progress come with the body.
 */
export async function replaceOrder(store: Store, body: OrderBody, reported: number): Promise<number> {
  const { links, kitSpans, ...order } = body;
  const before = await store.db.operation.findMany({
    where: { orderId: order.id },
    select: { id: true, progress: true, reportedMinute: true },
  });
  const known = new Map(before.map((row) => [row.id, row]));
  const wanted = new Set(order.operations.map((operation) => operation.id));
  const into = { where: { to: { orderId: order.id } } } as const;
  await store.db.link.deleteMany(into);
  await store.db.kitSpan.deleteMany(into);
  await store.db.operation.deleteMany({ where: { orderId: order.id, id: { notIn: [...wanted] } } });
  const { revision } = await store.db.order.update({
    where: { id: order.id },
    data: { ...orderRow(order), revision: { increment: 1 } },
  });
  for (const [position, operation] of order.operations.entries()) {
    const old = known.get(operation.id);
    const unchanged = isDeepStrictEqual(progressOf(old?.progress).running, operation.progress.running);
    const row = {
      ...operationRow(order.id, operation, position),
      ...decided(operation, unchanged ? (old?.reportedMinute ?? reported) : reported),
    };
    if (old) await store.db.operation.update({ where: { id: operation.id }, data: row });
    else await store.db.operation.create({ data: row });
  }
  await store.db.operationMode.deleteMany({ where: { operationId: { in: [...wanted] } } });
  await store.db.operationKit.deleteMany({ where: { operationId: { in: [...wanted] } } });
  await writeBeside(store, order.operations);
  await addLinks(store, links, kitSpans);
  return revision;
}

/** A slot held for it is free with it. */
export async function removeOrder(store: Store, id: string): Promise<void> {
  await store.db.hold.updateMany({ where: { orderId: id, state: "held" }, data: { state: "released", endedAt: new Date() } });
  await store.db.order.delete({ where: { id } });
}

export async function savePin(store: Store, order: string, operation: string, pin: Pin): Promise<void> {
  await store.db.operation.update({ where: { id: operation }, data: { pin: jsonOrNull(pin) } });
  await bumpOrder(store, order);
}

/** `reported`: the minute at which running work stood so, or at which a start was withdrawn; null: nothing to carry on from. */
export async function saveProgress(
  store: Store,
  order: string,
  operation: string,
  progress: Progress,
  reported: number | null,
): Promise<void> {
  await restateProgress(store, operation, progress, reported);
  await bumpOrder(store, order);
}

/** Pins and progress are part of the order, so its revision grows with them. */
const bumpOrder = async (store: Store, id: string): Promise<void> =>
  void (await store.db.order.update({ where: { id }, data: { revision: { increment: 1 } } }));

/** The same progress in the state of a later minute: no change that anybody made, so the order keeps its revision. */
export async function restateProgress(
  store: Store,
  operation: string,
  progress: Progress,
  reported: number | null,
): Promise<void> {
  const nothing = progress.done.length === 0 && progress.running.length === 0;
  await store.db.operation.update({
    where: { id: operation },
    data: { progress: jsonOrNull(nothing ? null : progress), reportedMinute: reported },
  });
}

/** What is stored of each operation's progress: how many lots are done, whether one runs, the minute of the last report. */
export async function listProgress(
  store: Store,
): Promise<ReadonlyMap<string, { done: number; running: boolean; reported: number | null }>> {
  const rows = await store.db.operation.findMany({ select: { id: true, progress: true, reportedMinute: true } });
  return new Map(
    rows.map(({ id, progress, reportedMinute }) => {
      const known = progressOf(progress);
      return [id, { done: known.done.length, running: known.running.length > 0, reported: reportedMinute }];
    }),
  );
}
