/** The audit trail of one order: entries about it and about its operations, with the names of the fields that changed. */
import { z } from "zod";
import type { OrderLog } from "../../contract/api/order-log.ts";
import { progressViewSchema } from "../../contract/api/planning-problem.ts";
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
      ...saidWith(row.action, detail),
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

/** The note of a report, and the bad pieces of the lot it ends. */
function saidWith(action: string, detail: unknown): { note: string | null; scrap: number } {
  const said = reportSchema.safeParse(detail);
  if (!said.success) return { note: null, scrap: 0 };
  const scrap = action === "reported done" ? (said.data.after?.done.at(-1)?.scrap ?? 0) : 0;
  return { note: said.data.note ?? null, scrap };
}

const reportSchema = z.object({ note: z.string().optional(), after: progressViewSchema.optional().catch(undefined) });

const isRecord = (value: unknown): value is Record<string, unknown> =>
  typeof value === "object" && value !== null && !Array.isArray(value);
