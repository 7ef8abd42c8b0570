/**
 * Publishing: the draft becomes the version in force. One transaction writes the version with its change list and puts its
 * lots in place of the old ones; the database refuses a machine used twice, and then nothing has happened.
 */
import type { Acknowledgement } from "../../contract/api/caution.ts";
import type { PublishCheck, VersionView } from "../../contract/api/plan.ts";
import type { Plan } from "../../core/problem/plan.ts";
import type { Problem } from "../../core/problem/problem.ts";
import { followPlan } from "../feeds/follow-plan.ts";
import { eventsNow } from "../feeds/tentative-events.ts";
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
import { acknowledged, cautionsOfPlan } from "./cautions.ts";
import { instantOf } from "./dates.ts";
import { planChanges } from "./plan-changes.ts";
import { type Office, planningState } from "./planning-state.ts";
import { decideProposals, expectProposed } from "./proposals.ts";
import { type Expected, expectRevision, noSuch, Refused } from "./refused.ts";
import { mayPublish } from "./settings.ts";
import { settleProgress } from "./settle-progress.ts";

const NOTHING: Plan = { operations: [] };

export async function changesToPublish(office: Office, actor: Actor): Promise<{ check: PublishCheck; revision: number }> {
  const { problem, plan, check, draft } = await planningState(office);
  return {
    check: {
      ...planChanges(problem, problem.published ?? NOTHING, plan, check),
      cautions: [...(await cautionsOfPlan(office.store, { problem, plan }))],
      mayPublish: await mayPublish(office.store, actor),
    },
    revision: draft.number,
  };
}

export type PublishWish = {
  readonly note: string;
  readonly acknowledgedBy?: string | undefined;
  readonly cautions?: readonly Acknowledgement[];
  readonly proposal?: number | undefined;
};

export async function publishPlan(office: Office, actor: Actor, input: PublishWish, expected: Expected): Promise<VersionHead> {
  await ensureSite(office.store, office.clock());
  try {
    return await office.store.inTransaction(async (store) => {
      const site = await lockSite(store);
      if (!(await mayPublish(store, actor)))
        throw new Refused("forbidden", "Here only administrators publish. Propose the draft instead, with a note for them.");
      const { problem, plan, check, draft } = await planningState({ ...office, store, memory: { ...office.memory } });
      expectRevision(expected, draft.number, "The draft plan");
      if (plan.operations.length === 0) throw new Refused("conflict", "The draft plan is empty; there is nothing to publish.");
      const acknowledgedBy = input.acknowledgedBy?.trim() || null;
      if (check.conflicts.length > 0 && acknowledgedBy === null)
        throw new Refused(
          "conflict",
          `The draft has ${check.conflicts.length} conflicts, first: ${check.conflicts[0]?.sentence} Resolve them, or publish with the name of whoever has read them (acknowledgedBy).`,
        );
      const cautions = acknowledged(await cautionsOfPlan(store, { problem, plan }), input.cautions ?? [], "The draft");
      if (input.proposal !== undefined) await expectProposed(store, input.proposal, draft);
      const changes = planChanges(problem, problem.published ?? NOTHING, plan, check);
      const version = (await newestVersion(store)) + 1;
      const head = { version, note: input.note, acknowledgedBy, publishedBy: actor.name, publishedAt: office.clock() };
      await addVersion(store, { ...head, plan, changes, cautions, problem });
      await decideProposals(store, draft, version, actor.name, head.publishedAt);
      await replacePublishedLots(store, version, lotRows(problem, plan));
      const events = await eventsNow(store, { problem, published: plan, draft: plan });
      await followPlan(store, problem, events, version, office.clock());
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
        cautions: cautions.map(({ id, title, items, operations, by }) => ({ id, title, items, operations, by })),
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
  return { ...versionHeadView(row), plan: row.plan as VersionView["plan"], changes: row.changes, cautions: [...row.cautions] };
}
