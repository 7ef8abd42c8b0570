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

export type ScenarioEdit = Partial<Pick<ScenarioRow, "name" | "note" | "changes" | "plan" | "state">>;

/** Changes the row if it stands at that revision, and tells the screens; null when somebody was faster. */
export async function changeScenarioRow(
  store: Store,
  id: string,
  revision: number,
  { changes, plan, ...rest }: ScenarioEdit,
  changedBy: string,
  changedAt: Date,
): Promise<ScenarioRow | null> {
  const { count } = await store.db.scenario.updateMany({
    where: { id, revision },
    data: {
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
