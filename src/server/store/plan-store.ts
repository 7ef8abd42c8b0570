/**
 * Draft revisions (append only, a pointer in the site), published versions, and the lots of the version in force, which
 * the database itself keeps from overlapping on a machine.
 */
import type { AcknowledgedCaution } from "../../contract/api/caution.ts";
import type { PlanChanges } from "../../contract/api/plan.ts";
import type { Plan } from "../../core/problem/plan.ts";
import type { Problem } from "../../core/problem/problem.ts";
import { json, jsonOrNull, type Store } from "./store.ts";

export type DraftRow = {
  readonly number: number;
  readonly previous: number | null;
  readonly plan: Plan;
  readonly note: string;
  readonly author: string;
  readonly basedOn: number | null;
  /** What the step that made it changed in the shop; null: the plan alone. Its shape is the actions' (shop-edits.ts). */
  readonly edits: unknown;
  readonly canRedo: boolean;
};

export async function readDraft(store: Store, number: number): Promise<DraftRow | null> {
  const row = await store.db.draftRevision.findUnique({ where: { number } });
  if (!row) return null;
  return { ...row, plan: row.plan as unknown as Plan, canRedo: (await nextDraft(store, number)) !== null };
}

/** Where redo leads: the newest revision that grew from this one. */
export async function nextDraft(store: Store, number: number): Promise<number | null> {
  const next = await store.db.draftRevision.findFirst({
    where: { previous: number },
    orderBy: { number: "desc" },
    select: { number: true },
  });
  return next?.number ?? null;
}

/** How many revisions undo can reach back through; each holds a whole plan, so a shop of years would drown in them. */
export const DRAFTS_MAX = 300;

/** Appends a revision and forgets the oldest beyond the limit; their way back then ends at the oldest one kept. */
export async function addDraft(
  store: Store,
  draft: {
    previous: number | null;
    plan: Plan;
    note: string;
    author: string;
    basedOn: number | null;
    edits?: readonly unknown[];
  },
  limit = DRAFTS_MAX,
): Promise<number> {
  const { number } = await store.db.draftRevision.create({
    data: { ...draft, plan: json(draft.plan), edits: jsonOrNull(draft.edits?.length ? draft.edits : null) },
    select: { number: true },
  });
  const oldest = await store.db.draftRevision.findFirst({
    orderBy: { number: "desc" },
    skip: limit - 1,
    select: { number: true },
  });
  if (oldest) {
    const kept = draft.previous ?? number; // one undo must still lead there, and the site still points at it
    await store.db.draftRevision.updateMany({
      where: { previous: { lt: oldest.number }, number: { gte: oldest.number, not: number } },
      data: { previous: null },
    });
    await store.db.draftRevision.updateMany({ where: { number: { lt: oldest.number } }, data: { previous: null } });
    await store.db.draftRevision.deleteMany({ where: { number: { lt: oldest.number, not: kept } } });
  }
  return number;
}

export type VersionHead = {
  readonly version: number;
  readonly note: string;
  readonly acknowledgedBy: string | null;
  readonly publishedBy: string;
  readonly publishedAt: Date;
};
export type VersionRow = VersionHead & {
  readonly plan: Plan;
  readonly changes: PlanChanges;
  readonly cautions: readonly AcknowledgedCaution[];
};

const head = { version: true, note: true, acknowledgedBy: true, publishedBy: true, publishedAt: true } as const;

export async function readVersion(store: Store, version: number): Promise<VersionRow | null> {
  // Not the problem of then: it is large, and asked for alone.
  const select = { ...head, plan: true, changes: true, cautions: true };
  const row = await store.db.publishedVersion.findUnique({ where: { version }, select });
  return (
    row && {
      ...row,
      plan: row.plan as unknown as Plan,
      changes: row.changes as unknown as PlanChanges,
      cautions: row.cautions as unknown as AcknowledgedCaution[],
    }
  );
}

/** The problem as it stood when the version was published; null: it was not kept. */
export async function problemOfVersion(store: Store, version: number): Promise<Problem | null> {
  const row = await store.db.publishedVersion.findUnique({ where: { version }, select: { problem: true } });
  return (row?.problem ?? null) as unknown as Problem | null;
}

export const readVersionHead = (store: Store, version: number): Promise<VersionHead | null> =>
  store.db.publishedVersion.findUnique({ where: { version }, select: head });

/** 0 when nothing was ever published. Numbers are never used twice, also not after an import emptied the shop of its plans. */
export async function newestVersion(store: Store): Promise<number> {
  const { _max } = await store.db.publishedVersion.aggregate({ _max: { version: true } });
  return _max.version ?? 0;
}

export async function listVersions(store: Store, page: number, size: number): Promise<{ items: VersionHead[]; total: number }> {
  const items = await store.db.publishedVersion.findMany({
    orderBy: { version: "desc" },
    skip: (page - 1) * size,
    take: size,
    select: head,
  });
  return { items, total: await store.db.publishedVersion.count() };
}

/** How many versions keep the problem of their day: it is the largest part of them, and nobody looks back so far. */
export const PROBLEMS_MAX = 200;

export async function addVersion(
  store: Store,
  row: {
    version: number;
    plan: Plan;
    changes: PlanChanges;
    cautions: readonly AcknowledgedCaution[];
    problem: Problem;
    note: string;
    acknowledgedBy: string | null;
    publishedBy: string;
    publishedAt: Date;
  },
): Promise<void> {
  await store.db.publishedVersion.create({
    data: {
      ...row,
      plan: json(row.plan),
      changes: json(row.changes),
      cautions: json(row.cautions),
      problem: json(row.problem),
    },
  });
  await store.db.publishedVersion.updateMany({
    where: { version: { lte: row.version - PROBLEMS_MAX } },
    data: { problem: jsonOrNull(null) },
  });
}

/** One row for each machine that a lot occupies. */
export type PublishedLotRow = { operationId: string; lot: number; machineId: string; startAt: Date; endAt: Date };

/** Puts the lots of a version in force in place of those before; throws `overlap` (store.ts) when two want one machine at once. */
export async function replacePublishedLots(store: Store, version: number, lots: readonly PublishedLotRow[]): Promise<void> {
  await store.db.publishedLot.deleteMany({});
  await store.db.publishedLot.createMany({ data: lots.map((lot) => ({ ...lot, version })) });
}

export const countDrafts = (store: Store): Promise<number> => store.db.draftRevision.count();
