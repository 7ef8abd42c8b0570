/** Who did what to what, for good. Written in the transaction of the deed. */
import { json, type Store } from "./store.ts";

export async function record(store: Store, actor: string, action: string, subject: string, detail: unknown = {}): Promise<void> {
  await store.db.auditEntry.create({ data: { actor, action, subject, detail: json(detail) } });
}
