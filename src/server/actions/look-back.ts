/**
 * Looking back at what was published: a version on the shop as it stood then, and two versions side by side. Measures are those of
 * each one's own day; changes are told as the second saw the shop, and work that was done in between is no change.
 */
import type { Measures, VersionComparison, VersionPlan } from "../../contract/api/version.ts";
import { check } from "../../core/check/checker.ts";
import type { Plan } from "../../core/problem/plan.ts";
import type { Problem } from "../../core/problem/problem.ts";
import { comparePlans, measuresOf } from "../../core/scenario/comparison.ts";
import { problemOfVersion, readVersion } from "../store/plan-store.ts";
import type { Store } from "../store/store.ts";
import { fitPlan } from "./fit-plan.ts";
import { planChanges } from "./plan-changes.ts";
import { currentProblem, type Office, planningState } from "./planning-state.ts";
import { versionHeadView } from "./publish-plan.ts";
import { noSuch } from "./refused.ts";

async function versionRow(store: Store, version: number) {
  const row = await readVersion(store, version);
  if (!row) throw noSuch("published version", String(version));
  return row;
}

export async function versionPlan(office: Office, version: number): Promise<VersionPlan> {
  const row = await versionRow(office.store, version);
  const kept = await problemOfVersion(office.store, version);
  const problem = kept ?? (await currentProblem(office)).problem;
  const plan = kept ? row.plan : fitPlan(problem, row.plan);
  return {
    ...versionHeadView(row),
    kept: kept !== null,
    problem: problem as VersionPlan["problem"],
    plan: plan as VersionPlan["plan"],
    check: check(problem, plan) as VersionPlan["check"],
  };
}

type Side = {
  readonly head: Omit<VersionComparison["first"], "measures">;
  readonly plan: Plan;
  readonly problem: Problem | null;
};

async function side(office: Office, which: number | "draft"): Promise<Side> {
  if (which === "draft") {
    const { problem, plan, draft } = await planningState(office);
    return { head: { version: null, publishedAt: null, by: draft.author, note: draft.note }, plan, problem };
  }
  const row = await versionRow(office.store, which);
  const { version, publishedAt, by, note } = versionHeadView(row);
  return { head: { version, publishedAt, by, note }, plan: row.plan, problem: await problemOfVersion(office.store, which) };
}

const measures = ({ problem, plan }: Side): Measures | null => {
  if (problem === null) return null;
  const { load: _load, ...figures } = measuresOf(problem, plan);
  return figures as Measures;
};

export async function compareVersions(office: Office, one: number, other: number | "draft"): Promise<VersionComparison> {
  const [first, second] = [await side(office, one), await side(office, other)];
  const problem = second.problem ?? (await currentProblem(office)).problem;
  const standing = new Map(problem.operations.map((operation) => [operation.id, operation]));
  const isDone = (id: string): boolean => {
    const operation = standing.get(id);
    return operation !== undefined && operation.progress.done.reduce((sum, { pieces }) => sum + pieces, 0) >= operation.pieces;
  };
  const ids = first.plan.operations.map(({ operation }) => operation);
  const before: Plan = {
    operations: first.plan.operations.filter(({ operation }) => standing.has(operation) && !isDone(operation)),
  };
  const after = fitPlan(problem, second.plan);
  const names = new Map(problem.orders.map(({ id, name }) => [id, name]));
  return {
    first: { ...first.head, measures: measures(first) },
    second: { ...second.head, measures: measures(second) },
    changes: planChanges(problem, before, after),
    orders: comparePlans(problem, before, after).orders.map(({ order, due, ends, moved }) => ({
      ...{ order, name: names.get(order) ?? order, due, moved },
      ends: [...ends],
    })),
    doneBetween: ids.filter(isDone).length,
    gone: ids.filter((id) => !standing.has(id)),
  };
}
