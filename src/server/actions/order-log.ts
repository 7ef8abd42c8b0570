/** The audit trail of one order: entries about it and about its operations, with the names of the fields that changed. */
import type { OrderLog } from "../../contract/api/order-log.ts";
import { listAuditOf } from "../store/audit.ts";
import { readOrder } from "../store/order-store.ts";
import type { Store } from "../store/store.ts";
import { noSuch } from "./refused.ts";

const SIZE = 100;

export async function orderLog(store: Store, id: string): Promise<OrderLog> {
  const order = await readOrder(store, id);
  if (order === null) throw noSuch("order", id);
  const operations = new Map(order.operations.map((operation) => [`operation ${operation.id}`, operation.id]));
  const { items, total } = await listAuditOf(store, [`order ${id}`, ...operations.keys()], SIZE);
  return {
    items: items.map(({ detail, ...row }) => ({
      ...{ id: row.id, at: row.at.toISOString(), actor: row.actor, action: row.action },
      operation: operations.get(row.subject) ?? null,
      fields: changedFields(detail),
    })),
    total,
  };
}

/** Only the first level: what is inside would be a page of its own. */
function changedFields(detail: unknown): string[] {
  const { before, after } = (detail ?? {}) as { before?: unknown; after?: unknown };
  if (!isRecord(before) || !isRecord(after)) return [];
  return [...new Set([...Object.keys(before), ...Object.keys(after)])].filter(
    (key) => JSON.stringify(before[key]) !== JSON.stringify(after[key]),
  );
}

const isRecord = (value: unknown): value is Record<string, unknown> =>
  typeof value === "object" && value !== null && !Array.isArray(value);
