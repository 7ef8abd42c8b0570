/**
 * Scenarios: made from the draft or from one another, changed, merged into the draft as one step, dropped and taken up again. None of
 * it touches the published plan, and nothing but merging touches the draft. Whoever changes one says which revision they saw.
 */
import { isDeepStrictEqual } from "node:util";
import type { DraftAnswer } from "../../contract/api/plan.ts";
import type { ScenarioHead, ScenarioInput, ScenarioPatch, ScenarioState, ScenarioView } from "../../contract/api/scenario.ts";
import { record } from "../store/audit.ts";
import {
  addScenarioRow,
  changeScenarioRow,
  listScenarioRows,
  readScenarioRow,
  type ScenarioEdit,
  type ScenarioRow,
} from "../store/scenario-store.ts";
import type { Actor } from "./actor.ts";
import { applyStep } from "./apply-step.ts";
import { meaninglessIn } from "./edit-draft.ts";
import { type Office, planningState } from "./planning-state.ts";
import { type Expected, expectRevision, noSuch, Refused } from "./refused.ts";
import { scenarioNow, scenarioState, shopNow } from "./scenario-state.ts";

const LISTED_MOST = 200;

export const headOf = ({ plan, changes, mergedAs: _mergedAs, createdAt, changedAt, ...row }: ScenarioRow): ScenarioHead => ({
  ...row,
  planned: plan === null ? "draft" : plan.current ? "planned" : "old",
  changes: changes.length,
  createdAt: createdAt.toISOString(),
  changedAt: changedAt.toISOString(),
});

export const listScenarios = async ({ store }: Office): Promise<{ items: ScenarioHead[] }> => ({
  items: (await listScenarioRows(store, LISTED_MOST)).map(headOf),
});

/** Also when the changed shop does not hold together any more: then that is said among the troubles. */
export async function showScenario(office: Office, id: string): Promise<ScenarioView> {
  const row = await present(office, id);
  const view = (troubles: ScenarioView["troubles"]): ScenarioView => ({ ...headOf(row), changes: [...row.changes], troubles });
  try {
    return view([...(await scenarioState(office, id)).troubles]);
  } catch (error) {
    if (!(error instanceof Refused) || error.refusal !== "invalid") throw error;
    return view(error.faults.slice(0, 20).map(({ message }) => ({ change: -1, field: "", message })));
  }
}

export async function addScenario(office: Office, actor: Actor, input: ScenarioInput): Promise<ScenarioView> {
  const { draft, plan } = await planningState(office);
  const from = input.from === null ? null : await present(office, input.from);
  const changes = [...(from?.changes ?? []), ...input.changes];
  const inherited = from?.plan ? { plan: from.plan.plan, current: from.plan.current && input.changes.length === 0 } : null;
  const own = input.plan === null ? inherited : { plan: input.plan, current: true };
  const wanted = {
    ...{ name: input.name, note: input.note, changes, plan: own },
    ...{ basedOnDraft: from === null ? draft.number : from.basedOnDraft, author: actor.name },
  };
  await refuseWrong(office, wanted, plan, from?.changes.length ?? 0);
  const row = await office.store.inTransaction(async (store) => {
    const made = await addScenarioRow(store, wanted);
    await record(store, actor.name, "made", `scenario ${made.id}`, { name: input.name, from: input.from });
    return made;
  });
  return showScenario(office, row.id);
}

export async function changeScenario(
  office: Office,
  actor: Actor,
  id: string,
  patch: ScenarioPatch,
  expected: Expected,
): Promise<ScenarioView> {
  const row = await present(office, id);
  expectRevision(expected, row.revision, `The scenario "${row.name}"`);
  if (row.state !== "open")
    throw new Refused("conflict", `The scenario "${row.name}" is ${row.state}; take it up again before changing it.`);
  const changed = patch.changes !== undefined && !isDeepStrictEqual(patch.changes, row.changes);
  const old = row.plan === null ? null : { ...row.plan, current: row.plan.current && !changed };
  const plan = patch.plan === undefined ? old : patch.plan === null ? null : { plan: patch.plan, current: true };
  const { plan: _plan, name, note, changes } = patch;
  const edit: ScenarioEdit = {
    ...(name === undefined ? {} : { name }),
    ...(note === undefined ? {} : { note }),
    ...(changes === undefined ? {} : { changes }),
    plan,
  };
  if (changed || patch.plan) {
    const state = await planningState(office);
    const kept = changes?.findIndex((change, i) => !isDeepStrictEqual(change, row.changes[i])) ?? row.changes.length;
    await refuseWrong(
      office,
      { ...row, ...edit },
      state.plan,
      kept < 0 ? (changes?.length ?? 0) : kept,
      patch.plan !== undefined,
    );
  }
  return saved(office, actor, row, edit, "changed");
}

/** Drops a scenario, or takes one up again that was merged or dropped. */
export async function moveScenario(
  office: Office,
  actor: Actor,
  id: string,
  to: Extract<ScenarioState, "open" | "dropped">,
  expected: Expected,
): Promise<ScenarioView> {
  const row = await present(office, id);
  expectRevision(expected, row.revision, `The scenario "${row.name}"`);
  return saved(office, actor, row, { state: to }, to === "open" ? "took up" : "dropped");
}

/** Its changes and its plan become one step of the draft, undone as one. `expected` is the draft's revision. */
export async function mergeScenario(office: Office, actor: Actor, id: string, expected: Expected): Promise<DraftAnswer> {
  return office.store.inTransaction(async (store) => {
    const inside = { ...office, store, memory: { ...office.memory } };
    const { row, edits, plan, troubles } = await scenarioState(inside, id);
    if (row.state !== "open")
      throw new Refused("conflict", `The scenario "${row.name}" is ${row.state}; take it up again before adopting it.`);
    if (troubles.length > 0)
      throw new Refused(
        "conflict",
        `A change of "${row.name}" speaks of what is not there any more (${troubles[0]?.message}); remove it from the scenario first.`,
      );
    const step = { edits: [...edits], plan: plan as DraftAnswer["draft"]["plan"], note: `Scenario: ${row.name}` };
    const answer = await applyStep(inside, actor, expected, step);
    if (
      !(await changeScenarioRow(
        store,
        id,
        row.revision,
        { state: "merged", mergedAs: answer.draft.revision },
        actor.name,
        office.clock(),
      ))
    )
      throw overtaken(row);
    await record(store, actor.name, "merged", `scenario ${id}`, { name: row.name });
    return answer;
  });
}

async function present(office: Office, id: string): Promise<ScenarioRow> {
  const row = await readScenarioRow(office.store, id);
  if (row === null) throw noSuch("scenario", id);
  return row;
}

const overtaken = ({ name }: ScenarioRow): Refused =>
  new Refused("stale", `The scenario "${name}" was changed in between. Read it again and repeat the change.`);

async function saved(office: Office, actor: Actor, row: ScenarioRow, edit: ScenarioEdit, verb: string): Promise<ScenarioView> {
  await office.store.inTransaction(async (store) => {
    const done = await changeScenarioRow(store, row.id, row.revision, edit, actor.name, office.clock());
    if (done === null) throw overtaken(row);
    await record(store, actor.name, verb, `scenario ${row.id}`, { name: row.name });
  });
  return showScenario(office, row.id);
}

/** What is new must hold: changes that name something, a shop that compiles, a plan that has a meaning in it. */
async function refuseWrong(
  office: Office,
  wanted: Pick<ScenarioRow, "name" | "changes" | "plan">,
  draft: Parameters<typeof scenarioNow>[2],
  kept: number,
  newPlan = true,
): Promise<void> {
  const row = {
    ...wanted,
    id: "",
    note: "",
    basedOnDraft: null,
    author: "",
    state: "open" as const,
    mergedAs: null,
    revision: 0,
  };
  const now = scenarioNow(
    await shopNow(office),
    { ...row, createdAt: office.clock(), changedAt: office.clock(), changedBy: "" },
    draft,
  );
  const faults = now.troubles
    .filter(({ change }) => change >= kept)
    .map(({ change, field, message }) => ({ pointer: `/changes/${change}/${field}`, message }));
  if (newPlan && wanted.plan !== null) faults.push(...meaninglessIn(now.problem, wanted.plan.plan));
  if (faults.length > 0) throw new Refused("invalid", `${faults[0]?.message}.`, faults);
}
