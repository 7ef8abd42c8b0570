/**
 * Problem, draft and the checker's word on it as they stand now: what GET /plan shows and every action on plans begins with.
 * Compiling and checking is kept until the shop, the draft or the minute changes; everything kept is immutable.
 */
import { check } from "../../core/check/checker.ts";
import type { CheckResult } from "../../core/check/conflict.ts";
import type { OperationId } from "../../core/orders/operation.ts";
import type { Plan } from "../../core/problem/plan.ts";
import type { Problem } from "../../core/problem/problem.ts";
import { addDraft, type DraftRow, nextDraft, readDraft } from "../store/plan-store.ts";
import { ensureSite, pointTo, type Site } from "../store/site-store.ts";
import type { Store } from "../store/store.ts";
import type { AsOfNow } from "./as-of-now.ts";
import { fitPlan } from "./fit-plan.ts";
import { minuteOfNow, readShop, shopAsOfNow } from "./shop-file.ts";

export type PlanningState = {
  readonly site: Site;
  readonly problem: Problem;
  /** Whose progress is taken from the plan in force: nobody reported it. */
  readonly assumed: ReadonlySet<OperationId>;
  readonly draft: DraftRow;
  /** The draft fitted to the shop of now. */
  readonly plan: Plan;
  readonly check: CheckResult;
};

/** What actions need besides their input. */
export type Office = { readonly store: Store; readonly clock: () => Date; readonly memory: Memory };

/**
 * The last problem and check, by what they were made from. One process has one. A transaction works on a copy of it: what it
 * finds there is true before its own changes, and what it adds must not outlive it, for it may yet be rolled back.
 */
export type Memory = { problem: { key: string; value: AsOfNow } | null; state: { key: string; value: PlanningState } | null };
export const emptyMemory = (): Memory => ({ problem: null, state: null });

export async function currentProblem(office: Office): Promise<AsOfNow & { site: Site; key: string }> {
  const site = await ensureSite(office.store, office.clock());
  const now = minuteOfNow(site, office.clock());
  const key = `${site.origin} ${site.revision} ${site.shopRevision} ${site.publishedVersion} ${now}`;
  if (office.memory.problem?.key !== key)
    office.memory.problem = { key, value: shopAsOfNow(await readShop(office.store, site, now)) };
  return { site, ...office.memory.problem.value, key };
}

export async function planningState(office: Office): Promise<PlanningState> {
  const { site, problem, assumed, key: problemKey } = await currentProblem(office);
  const draft = await currentDraft(office.store, site, office.memory.state?.value.draft);
  const key = `${problemKey} ${draft.number} ${draft.canRedo}`;
  if (office.memory.state?.key !== key) {
    const plan = fitPlan(problem, draft.plan);
    office.memory.state = { key, value: { site, problem, assumed, draft, plan, check: check(problem, plan) } };
  }
  return office.memory.state.value;
}

/** The draft pointed at; an empty first one is made when there is none. Of a revision that is known only the way forward is read. */
export async function currentDraft(store: Store, site: Site, known?: DraftRow): Promise<DraftRow> {
  const number = site.draftNumber ?? (await addFirstDraft(store));
  // A revision is written once, and its number is given once.
  if (known?.number === number) return { ...known, canRedo: (await nextDraft(store, number)) !== null };
  const draft = await readDraft(store, number);
  if (!draft) throw new Error(`draft revision ${number} is missing`); // the foreign key forbids it
  return draft;
}

async function addFirstDraft(store: Store): Promise<number> {
  const number = await addDraft(store, {
    previous: null,
    plan: { operations: [] },
    note: "Empty plan",
    author: "Slotwright",
    basedOn: null,
  });
  await pointTo(store, { draftNumber: number });
  return number;
}
