/**
 * What was reported as done runs again when that report is taken back: as it stood in the minute of the report, which the audit
 * trail has kept, if nothing else was said about it since. Changes nothing.
 */
import { z } from "zod";
import { progressViewSchema } from "../../contract/api/planning-problem.ts";
import type { Minute } from "../../core/calendar/minute.ts";
import type { Operation, Progress } from "../../core/orders/operation.ts";
import { listAuditOf } from "../store/audit.ts";
import type { Store } from "../store/store.ts";

const detailSchema = z.object({ at: z.int(), before: progressViewSchema, after: progressViewSchema });

/** null: nothing of the kind is known. */
export async function beforeDone(
  store: Store,
  { id, progress }: Operation,
): Promise<{ readonly progress: Progress; readonly at: Minute } | null> {
  if (progress.done.length === 0 || progress.running.length > 0) return null;
  const [last] = (await listAuditOf(store, [`operation ${id}`], 1)).items;
  const detail = detailSchema.safeParse(last?.detail);
  if (last?.action !== "reported done" || !detail.success) return null;
  const { at, before, after } = detail.data;
  return JSON.stringify(after.done) === JSON.stringify(progress.done) ? { progress: before, at } : null;
}
