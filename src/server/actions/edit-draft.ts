/**
 * The draft: an append-only list of plans with a pointer. Saving appends, undo and redo move the pointer, reset appends the
 * published plan. A revision that was a step (apply-step.ts) changed the shop too; undo and redo put both back together.
 */
import type { DraftAnswer } from "../../contract/api/plan.ts";
import type { FaultAtPointer } from "../../contract/api/problem-details.ts";
import type { Plan } from "../../core/problem/plan.ts";
import type { Problem } from "../../core/problem/problem.ts";
import { record } from "../store/audit.ts";
import { announce } from "../store/notice.ts";
import { addDraft, type DraftRow, nextDraft, readDraft } from "../store/plan-store.ts";
import { followDraft } from "../store/scenario-store.ts";
import { bumpShop, ensureSite, lockSite, pointTo, type Site } from "../store/site-store.ts";
import type { Store } from "../store/store.ts";
import type { Actor } from "./actor.ts";
import { asRefusal } from "./edit-shop.ts";
import { lotWithoutMeaning } from "./fit-plan.ts";
import { currentDraft, type Office, type PlanningState, planningState } from "./planning-state.ts";
import { type Expected, expectRevision, Refused } from "./refused.ts";
import { type RecordedEdit, type Locked as ShopLocked, type Tried, tryAgain } from "./shop-edits.ts";
import { minuteOfNow, readShop } from "./shop-file.ts";

export const draftView = ({ draft, plan }: Pick<PlanningState, "draft" | "plan">): DraftAnswer["draft"] => ({
  revision: draft.number,
  canUndo: draft.previous !== null,
  canRedo: draft.canRedo,
  basedOn: draft.basedOn,
  plan: plan as DraftAnswer["draft"]["plan"],
  note: draft.note,
});

export async function draftAnswer(office: Office): Promise<DraftAnswer> {
  const state = await planningState(office);
  return { draft: draftView(state), check: state.check as DraftAnswer["check"] };
}

export type Locked = { readonly store: Store; readonly site: Site; readonly state: PlanningState };

/** Runs a change of the draft alone and answers with the draft after it. */
export async function changeDraft(
  office: Office,
  expected: Expected | "unasked",
  work: (locked: Locked) => Promise<number>,
): Promise<DraftAnswer> {
  await ensureSite(office.store, office.clock());
  try {
    await office.store.inTransaction(async (store) => {
      const site = await lockSite(store);
      const state = await planningState({ ...office, store, memory: { ...office.memory } });
      if (expected !== "unasked") expectRevision(expected, state.draft.number, "The draft plan");
      const number = await work({ store, site, state });
      await pointTo(store, { draftNumber: number });
      await announce(store, { type: "draft", revision: number });
    });
  } catch (error) {
    throw asRefusal(error);
  }
  return draftAnswer(office);
}

/** Edits of the shop within a change of the draft: tried by `attempt` on the shop as it stands, and said to the screens once written. */
export async function editsOf(
  office: Office,
  { store, site }: Locked,
  actor: Actor,
  attempt: (shop: ShopLocked) => Promise<Tried>,
): Promise<Tried> {
  const now = minuteOfNow(site, office.clock());
  const { problem, write } = await attempt({ store, shop: await readShop(store, site, now), now, actor });
  return {
    problem,
    async write() {
      const recorded = await write();
      if (recorded.length > 0) {
        await bumpShop(store);
        if (recorded.some(({ kind }) => kind === "orders")) await announce(store, { type: "orders" });
        if (recorded.some(({ kind }) => kind !== "orders")) await announce(store, { type: "shop" });
      }
      return recorded;
    },
  };
}

/** What has no meaning in a plan, at its place in the request. Conflicts are not among it: a draft may have them. */
export function meaninglessIn(problem: Problem, plan: Plan): FaultAtPointer[] {
  const operations = new Map(problem.operations.map((operation) => [operation.id, operation]));
  const seen = new Set<string>();
  return plan.operations.flatMap((planned, i): FaultAtPointer[] => {
    const at = `/plan/operations/${i}`;
    const operation = operations.get(planned.operation);
    if (!operation) return [{ pointer: `${at}/operation`, message: `there is no operation "${planned.operation}"` }];
    if (seen.has(planned.operation)) return [{ pointer: `${at}/operation`, message: "stands in the plan twice" }];
    seen.add(planned.operation);
    return planned.lots.flatMap((lot, j) => {
      const trouble = lotWithoutMeaning(operation, lot) ?? (lot.end < lot.start ? "ends before it starts" : null);
      return trouble === null ? [] : [{ pointer: `${at}/lots/${j}`, message: trouble }];
    });
  });
}

export const saveDraft = (
  office: Office,
  actor: Actor,
  input: { plan: Plan; note: string },
  expected: Expected,
): Promise<DraftAnswer> =>
  changeDraft(office, expected, async ({ store, state }) => {
    const faults = meaninglessIn(state.problem, input.plan);
    if (faults.length > 0) throw new Refused("invalid", faults[0]?.message ?? "", faults);
    const number = await append(store, state.draft, input.plan, input.note || "Edited", actor);
    await record(store, actor.name, "edited", `draft ${number}`, { note: input.note });
    return number;
  });

const append = (
  store: Store,
  draft: DraftRow,
  plan: Plan,
  note: string,
  actor: Pick<Actor, "name">,
  basedOn = draft.basedOn,
): Promise<number> => addDraft(store, { previous: draft.number, plan, note, author: actor.name, basedOn });

export const undoDraft = (office: Office, actor: Actor, expected: Expected): Promise<DraftAnswer> =>
  changeDraft(office, expected ?? "unasked", async (locked) => {
    const { store, state } = locked;
    const to = state.draft.previous;
    if (to === null) throw new Refused("conflict", "There is nothing to undo.");
    await turn(office, locked, actor, state.draft, "undo");
    await followDraft(store, state.draft.number, "undo", actor.name, office.clock());
    await record(store, actor.name, "undid", `draft ${state.draft.number}`);
    return to;
  });

export const redoDraft = (office: Office, actor: Actor, expected: Expected): Promise<DraftAnswer> =>
  changeDraft(office, expected ?? "unasked", async (locked) => {
    const { store, state } = locked;
    const to = await nextDraft(store, state.draft.number);
    const next = to === null ? null : await readDraft(store, to);
    if (to === null || !next) throw new Refused("conflict", "There is nothing to redo.");
    await turn(office, locked, actor, next, "redo");
    await followDraft(store, to, "redo", actor.name, office.clock());
    await record(store, actor.name, "redid", `draft ${to}`);
    return to;
  });

/** Takes back or repeats what a revision changed in the shop. */
async function turn(office: Office, locked: Locked, actor: Actor, { edits }: DraftRow, way: "undo" | "redo"): Promise<void> {
  if (edits === null) return;
  const recorded = edits as readonly RecordedEdit[];
  await (await editsOf(office, locked, actor, (shop) => tryAgain(shop, recorded, way))).write();
}

export const resetDraft = (office: Office, actor: Actor, expected: Expected): Promise<DraftAnswer> =>
  changeDraft(office, expected ?? "unasked", async ({ store, site, state }) => {
    if (site.publishedVersion === null || !state.problem.published)
      throw new Refused("conflict", "Nothing is published yet, so there is nothing to go back to.");
    const number = await append(
      store,
      state.draft,
      state.problem.published,
      `Back to published version ${site.publishedVersion}`,
      actor,
      site.publishedVersion,
    );
    await record(store, actor.name, "reset", `draft ${number}`);
    return number;
  });

/**
 * Appends a plan that was made and checked elsewhere (the one before stays an undo away); answers with its revision. Reads nothing of the shop: whoever looks at
 * the draft next compiles and checks it anyhow, and who cancelled a run waits for this.
 */
export async function appendPlan(
  { store, clock }: Pick<Office, "store" | "clock">,
  author: string,
  plan: Plan,
  note: string,
): Promise<number> {
  await ensureSite(store, clock());
  try {
    return await store.inTransaction(async (locked) => {
      const site = await lockSite(locked);
      const number = await append(locked, await currentDraft(locked, site), plan, note, { name: author });
      await pointTo(locked, { draftNumber: number });
      await announce(locked, { type: "draft", revision: number });
      return number;
    });
  } catch (error) {
    throw asRefusal(error);
  }
}
