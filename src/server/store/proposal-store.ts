/** Drafts that were proposed for publishing. The plan stands in the row, because draft revisions are forgotten in time. */
import type { Plan } from "../../core/problem/plan.ts";
import { json, type Store } from "./store.ts";

export type ProposalState = "open" | "published" | "declined" | "withdrawn" | "overtaken";
export type ProposalRow = {
  readonly id: number;
  readonly draft: number;
  readonly plan: Plan;
  readonly note: string;
  readonly proposedBy: string;
  readonly proposedAt: Date;
  readonly state: ProposalState;
  readonly decidedBy: string | null;
  readonly decidedAt: Date | null;
  readonly reason: string;
  readonly version: number | null;
};

type Stored = Omit<ProposalRow, "plan" | "state"> & { readonly plan: unknown; readonly state: string };
const rowOf = (row: Stored): ProposalRow => ({ ...row, plan: row.plan as Plan, state: row.state as ProposalState });

export async function addProposal(
  store: Store,
  row: { draft: number; plan: Plan; note: string; proposedBy: string; proposedAt: Date },
): Promise<number> {
  const { id } = await store.db.planProposal.create({ data: { ...row, plan: json(row.plan) }, select: { id: true } });
  return id;
}

export async function readProposal(store: Store, id: number): Promise<ProposalRow | null> {
  const row = await store.db.planProposal.findUnique({ where: { id } });
  return row && rowOf(row);
}

/** Open ones first, then newest. */
export async function listProposals(store: Store, size: number): Promise<ProposalRow[]> {
  const open = await store.db.planProposal.findMany({ where: { state: "open" }, orderBy: { id: "desc" }, take: size });
  const rest = await store.db.planProposal.findMany({ where: { state: { not: "open" } }, orderBy: { id: "desc" }, take: size });
  return [...open, ...rest].slice(0, size).map(rowOf);
}

export async function decideProposal(
  store: Store,
  id: number,
  decision: { state: ProposalState; decidedBy: string; decidedAt: Date; reason?: string; version?: number },
): Promise<void> {
  await store.db.planProposal.update({ where: { id }, data: decision });
}
