/**
 * Publishing: the draft becomes the version in force. One transaction writes the version with its change list and puts its
 * lots in place of the old ones; the database refuses a machine used twice, and then nothing has happened.
 */
import type { PlanChanges, VersionView } from "../../contract/api/plan.ts";
import type { Plan } from "../../core/problem/plan.ts";
import type { Problem } from "../../core/problem/problem.ts";
import { followPlan } from "../feeds/follow-plan.ts";
import { record } from "../store/audit.ts";
import { announce } from "../store/notice.ts";
import {
  addDraft,
  addVersion,
  listVersions,
  newestVersion,
  type PublishedLotRow,
  readVersion,
  replacePublishedLots,
  type VersionHead,
} from "../store/plan-store.ts";
import { bumpShop, ensureSite, lockSite, pointTo } from "../store/site-store.ts";
import { databaseRefusal } from "../store/store.ts";
import type { Actor } from "./actor.ts";
import { instantOf } from "./dates.ts";
import { planChanges } from "./plan-changes.ts";
import { type Office, planningState } from "./planning-state.ts";
import { type Expected, expectRevision, noSuch, Refused } from "./refused.ts";
import { settleProgress } from "./settle-progress.ts";

const NOTHING: Plan = { operations: [] };

export async function changesToPublish(office: Office): Promise<{ changes: PlanChanges; revision: number }> {
  const { problem, plan, check, draft } = await planningState(office);
  return { changes: planChanges(problem, problem.published ?? NOTHING, plan, check), revision: draft.number };
}

export async function publishPlan(
  office: Office,
  actor: Actor,
  input: { note: string; acknowledgedBy?: string | undefined },
  expected: Expected,
): Promise<VersionHead> {
  await ensureSite(office.store, office.clock());
  try {
    return await office.store.inTransaction(async (store) => {
      const site = await lockSite(store);
      const { problem, plan, check, draft } = await planningState({ ...office, store, memory: { ...office.memory } });
      expectRevision(expected, draft.number, "The draft plan");
      if (plan.operations.length === 0) throw new Refused("conflict", "The draft plan is empty; there is nothing to publish.");
      const acknowledgedBy = input.acknowledgedBy?.trim() || null;
      if (check.conflicts.length > 0 && acknowledgedBy === null)
        throw new Refused(
          "conflict",
          `The draft has ${check.conflicts.length} conflicts, first: ${check.conflicts[0]?.sentence} Resolve them, or publish with the name of whoever has read them (acknowledgedBy).`,
        );
      const changes = planChanges(problem, problem.published ?? NOTHING, plan, check);
      const version = (await newestVersion(store)) + 1;
      const head = { version, note: input.note, acknowledgedBy, publishedBy: actor.name, publishedAt: office.clock() };
      await addVersion(store, { ...head, plan, changes });
      await replacePublishedLots(store, version, lotRows(problem, plan));
      await followPlan(store, problem, plan, version, office.clock());
      const number = await addDraft(store, {
        previous: draft.number,
        plan,
        note: `Published as version ${version}`,
        author: actor.name,
        basedOn: version,
      });
      await pointTo(store, { draftNumber: number, publishedVersion: version });
      // The new plan shows running work only from now on, and done work not at all.
      await settleProgress(store, problem, { anew: true });
      await bumpShop(store);
      await record(store, actor.name, "published", `version ${version}`, {
        note: input.note,
        acknowledgedBy,
        conflicts: check.conflicts.length,
        from: site.publishedVersion,
      });
      await announce(store, { type: "published", version });
      await announce(store, { type: "draft", revision: number });
      return head;
    });
  } catch (error) {
    if (databaseRefusal(error) !== "overlap") throw error;
    throw new Refused(
      "conflict",
      "Two operations of the draft stand on one machine at the same time; the database refuses to publish that. Move one of them first.",
    );
  }
}

/** What stands on which machine when. Done lots are history and not among it. */
export function lotRows(problem: Problem, plan: Plan): PublishedLotRow[] {
  const operations = new Map(problem.operations.map((operation) => [operation.id, operation]));
  return plan.operations.flatMap(({ operation, lots }) =>
    lots.flatMap((lot, index) =>
      (operations.get(operation)?.modes.find((mode) => mode.id === lot.mode)?.machines ?? []).map((machineId) => ({
        operationId: operation,
        lot: index,
        machineId,
        startAt: instantOf(problem, lot.start),
        endAt: instantOf(problem, lot.end),
      })),
    ),
  );
}

export const versionHeadView = ({ version, note, acknowledgedBy, publishedBy, publishedAt }: VersionHead) => ({
  version,
  note,
  acknowledgedBy,
  by: publishedBy,
  publishedAt: publishedAt.toISOString(),
});

export async function publishedVersions(office: Office, page: number, size: number) {
  const { items, total } = await listVersions(office.store, page, size);
  return { items: items.map(versionHeadView), total, page, size };
}

export async function publishedVersion(office: Office, version: number): Promise<VersionView> {
  const row = await readVersion(office.store, version);
  if (!row) throw noSuch("published version", String(version));
  return { ...versionHeadView(row), plan: row.plan as VersionView["plan"], changes: row.changes };
}
