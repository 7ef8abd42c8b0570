/** Scenarios as rows: changes and plan of each what-if, who made it and how it ended. None is ever deleted by itself. */
import type { ScenarioState } from "../../contract/api/scenario.ts";
import type { ScenarioChange } from "../../contract/scenario/change.ts";
import type { Plan } from "../../core/problem/plan.ts";
import { announce } from "./notice.ts";
import { json, jsonOrNull, type Store } from "./store.ts";

/** `current` is false when the changes are younger than the plan. */
export type ScenarioPlan = { readonly plan: Plan; readonly current: boolean };

export type ScenarioRow = {
  readonly id: string;
  readonly name: string;
  readonly note: string;
  readonly changes: readonly ScenarioChange[];
  /** null: the draft's. */
  readonly plan: ScenarioPlan | null;
  readonly basedOnDraft: number | null;
  readonly author: string;
  readonly state: ScenarioState;
  /** The draft revision it was merged as; null: not merged, or changed or taken up again since. */
  readonly mergedAs: number | null;
  readonly revision: number;
  readonly createdAt: Date;
  readonly changedAt: Date;
  readonly changedBy: string;
};

type Row = Awaited<ReturnType<Store["db"]["scenario"]["findMany"]>>[number];

const rowOf = (row: Row): ScenarioRow => ({
  ...row,
  state: row.state as ScenarioState,
  changes: row.changes as unknown as readonly ScenarioChange[],
  plan: row.plan as unknown as ScenarioPlan | null,
});

/** Open ones first, then by the last change. */
export async function listScenarioRows(store: Store, most: number): Promise<ScenarioRow[]> {
  const order = { orderBy: { changedAt: "desc" }, take: most } as const;
  const open = await store.db.scenario.findMany({ where: { state: "open" }, ...order });
  const over = await store.db.scenario.findMany({ where: { state: { not: "open" } }, ...order });
  return [...open, ...over].slice(0, most).map(rowOf);
}

export async function readScenarioRow(store: Store, id: string): Promise<ScenarioRow | null> {
  const row = await store.db.scenario.findUnique({ where: { id } });
  return row && rowOf(row);
}

export async function addScenarioRow(
  store: Store,
  scenario: Pick<ScenarioRow, "name" | "note" | "changes" | "plan" | "basedOnDraft" | "author">,
): Promise<ScenarioRow> {
  const { changes, plan, ...rest } = scenario;
  const row = rowOf(
    await store.db.scenario.create({
      data: { ...rest, changes: json(changes), plan: jsonOrNull(plan), changedBy: scenario.author },
    }),
  );
  await announce(store, { type: "scenario", id: row.id, revision: row.revision });
  return row;
}

export type ScenarioEdit = Partial<Pick<ScenarioRow, "name" | "note" | "changes" | "plan" | "state" | "mergedAs">>;

/** What makes of it another scenario than the one that was merged. */
const ANOTHER = ["changes", "plan", "state"] as const;

/** Changes the row if it stands at that revision, and tells the screens; null when somebody was faster. */
export async function changeScenarioRow(
  store: Store,
  id: string,
  revision: number,
  edit: ScenarioEdit,
  changedBy: string,
  changedAt: Date,
): Promise<ScenarioRow | null> {
  const { changes, plan, ...rest } = edit;
  const { count } = await store.db.scenario.updateMany({
    where: { id, revision },
    data: {
      ...(ANOTHER.some((field) => edit[field] !== undefined) ? { mergedAs: null } : {}),
      ...rest,
      ...(changes === undefined ? {} : { changes: json(changes) }),
      ...(plan === undefined ? {} : { plan: jsonOrNull(plan) }),
      changedBy,
      changedAt,
      revision: { increment: 1 },
    },
  });
  if (count === 0) return null;
  await announce(store, { type: "scenario", id, revision: revision + 1 });
  return readScenarioRow(store, id);
}

/** The scenario whose merging the draft revision was follows it: open when it is undone, merged when it is done again. */
export async function followDraft(
  store: Store,
  draft: number,
  way: "undo" | "redo",
  changedBy: string,
  changedAt: Date,
): Promise<void> {
  const [from, state] = way === "undo" ? ["merged", "open"] : ["open", "merged"];
  for (const { id, revision } of await store.db.scenario.findMany({ where: { mergedAs: draft, state: from } }))
    await changeScenarioRow(store, id, revision, { state: state as ScenarioState, mergedAs: draft }, changedBy, changedAt);
}
