/**
 * Proposing a draft, and what becomes of proposals: withdrawn by whoever made them, declined with a reason or published by those
 * with the right. Publishing anything decides all open ones: the same plan is published, others are overtaken.
 */
import type { ProposalDecision, ProposalHead, ProposalView } from "../../contract/api/proposal.ts";
import { check } from "../../core/check/checker.ts";
import type { Plan } from "../../core/problem/plan.ts";
import { record } from "../store/audit.ts";
import { announce } from "../store/notice.ts";
import type { DraftRow } from "../store/plan-store.ts";
import { addProposal, decideProposal, listProposals, type ProposalRow, readProposal } from "../store/proposal-store.ts";
import { ensureSite, lockSite } from "../store/site-store.ts";
import type { Store } from "../store/store.ts";
import type { Actor } from "./actor.ts";
import { cautionsOfPlan } from "./cautions.ts";
import { fitPlan } from "./fit-plan.ts";
import { planChanges } from "./plan-changes.ts";
import { type Office, planningState } from "./planning-state.ts";
import { type Expected, expectRevision, noSuch, Refused } from "./refused.ts";
import { mayPublish } from "./settings.ts";

const LISTED = 50;

const sameDraft = (row: Pick<ProposalRow, "draft" | "plan">, draft: Pick<DraftRow, "number" | "plan">): boolean =>
  row.draft === draft.number || JSON.stringify(row.plan) === JSON.stringify(draft.plan);

const headOf = (row: ProposalRow, draft: Pick<DraftRow, "number" | "plan">): ProposalHead => ({
  id: row.id,
  draft: row.draft,
  note: row.note,
  by: row.proposedBy,
  at: row.proposedAt.toISOString(),
  state: row.state,
  decidedBy: row.decidedBy,
  decidedAt: row.decidedAt?.toISOString() ?? null,
  reason: row.reason,
  version: row.version,
  isDraft: sameDraft(row, draft),
});

export async function proposals(office: Office): Promise<{ items: ProposalHead[] }> {
  const { draft } = await planningState(office);
  return { items: (await listProposals(office.store, LISTED)).map((row) => headOf(row, draft)) };
}

export async function proposal(office: Office, actor: Actor, id: number): Promise<ProposalView> {
  const { problem, draft } = await planningState(office);
  const row = await readProposal(office.store, id);
  if (row === null) throw noSuch("proposal", String(id));
  const plan = fitPlan(problem, row.plan);
  return {
    ...headOf(row, draft),
    plan: plan as ProposalView["plan"],
    check: {
      ...planChanges(problem, problem.published ?? { operations: [] }, plan, check(problem, plan)),
      cautions: [...(await cautionsOfPlan(office.store, { problem, plan }))],
      mayPublish: await mayPublish(office.store, actor),
    },
  };
}

export async function proposeDraft(office: Office, actor: Actor, note: string, expected: Expected): Promise<number> {
  await ensureSite(office.store, office.clock());
  return office.store.inTransaction(async (store) => {
    await lockSite(store);
    const { draft } = await planningState({ ...office, store, memory: { ...office.memory } });
    expectRevision(expected, draft.number, "The draft plan");
    if (draft.plan.operations.length === 0)
      throw new Refused("conflict", "The draft plan is empty; there is nothing to propose.");
    const [known] = (await listProposals(store, LISTED)).filter((row) => row.state === "open" && row.draft === draft.number);
    if (known) throw new Refused("conflict", `This draft is proposed already, by ${known.proposedBy} (proposal ${known.id}).`);
    const row = { draft: draft.number, plan: draft.plan as Plan, note, proposedBy: actor.name, proposedAt: office.clock() };
    const id = await addProposal(store, row);
    await record(store, actor.name, "proposed", `proposal ${id}`, { draft: draft.number, note });
    await announce(store, { type: "draft", revision: draft.number });
    return id;
  });
}

export async function decide(office: Office, actor: Actor, id: number, decision: ProposalDecision): Promise<void> {
  await office.store.inTransaction(async (store) => {
    const { draftNumber } = await lockSite(store);
    const row = await readProposal(store, id);
    if (row === null) throw noSuch("proposal", String(id));
    if (row.state !== "open") throw new Refused("conflict", `Proposal ${id} is ${row.state} already.`);
    if (decision.kind === "withdraw" && row.proposedBy !== actor.name)
      throw new Refused("forbidden", `Only ${row.proposedBy}, who made it, can withdraw this proposal.`);
    if (decision.kind === "decline" && !(await mayPublish(store, actor)))
      throw new Refused("forbidden", "Only those who may publish decline a proposal.");
    const state = decision.kind === "withdraw" ? "withdrawn" : "declined";
    const reason = decision.kind === "decline" ? decision.reason : "";
    await decideProposal(store, id, { state, decidedBy: actor.name, decidedAt: office.clock(), reason });
    await record(store, actor.name, state, `proposal ${id}`, { note: row.note, reason });
    await announce(store, { type: "draft", revision: draftNumber ?? row.draft });
  });
}

/** Refuses when the draft is not (any more) what was proposed: nobody publishes something else than they reviewed. */
export async function expectProposed(store: Store, id: number, draft: DraftRow): Promise<void> {
  const row = await readProposal(store, id);
  if (row === null) throw noSuch("proposal", String(id));
  if (row.state !== "open") throw new Refused("conflict", `Proposal ${id} is ${row.state} already.`);
  if (!sameDraft(row, draft))
    throw new Refused(
      "conflict",
      `The draft has changed since proposal ${id} was made. Take the proposed plan as the draft first, or publish the draft as it is now without naming the proposal.`,
    );
}

export async function decideProposals(store: Store, draft: DraftRow, version: number, by: string, at: Date): Promise<void> {
  for (const row of await listProposals(store, LISTED)) {
    if (row.state !== "open") continue;
    const same = sameDraft(row, draft);
    await decideProposal(store, row.id, {
      ...{ state: same ? "published" : "overtaken", decidedBy: by, decidedAt: at },
      ...(same ? { version } : {}),
    });
  }
}
