/** Who did what to what, for good. Written in the transaction of the deed. */
import { json, type Store } from "./store.ts";

export async function record(store: Store, actor: string, action: string, subject: string, detail: unknown = {}): Promise<void> {
  await store.db.auditEntry.create({ data: { actor, action, subject, detail: json(detail) } });
}

export type AuditRow = {
  readonly id: string;
  readonly at: Date;
  readonly actor: string;
  readonly action: string;
  readonly subject: string;
  readonly detail: unknown;
};

/** Entries about exactly these things, newest first. */
export async function listAuditOf(
  store: Store,
  subjects: readonly string[],
  size: number,
): Promise<{ items: AuditRow[]; total: number }> {
  const where = { subject: { in: [...subjects] } };
  const rows = await store.db.auditEntry.findMany({ where, orderBy: { id: "desc" }, take: size });
  return { items: rows.map((row) => ({ ...row, id: String(row.id) })), total: await store.db.auditEntry.count({ where }) };
}

/** Newest first; `subject` is a part of what it was done to. */
export async function listAudit(
  store: Store,
  page: number,
  size: number,
  subject?: string,
): Promise<{ items: AuditRow[]; total: number }> {
  const where = subject ? { subject: { contains: subject } } : {};
  const rows = await store.db.auditEntry.findMany({ where, orderBy: { id: "desc" }, skip: (page - 1) * size, take: size });
  return { items: rows.map((row) => ({ ...row, id: String(row.id) })), total: await store.db.auditEntry.count({ where }) };
}
