/**
 * A scenario as it stands now: today's shop with its changes in it, compiled and carried on to the minute, and its plan fitted to
 * that. Without a plan of its own it shows the draft's, so that one sees what the changes alone would break. Nothing is written.
 */

import type { ShopEdit } from "../../contract/api/step.ts";
import type { ProblemFile } from "../../contract/problem-file.ts";
import { applyChanges, type ChangeTrouble } from "../../contract/scenario/edits-of-changes.ts";
import { horizonFor } from "../../contract/scenario/new-orders.ts";
import { check } from "../../core/check/checker.ts";
import type { CheckResult } from "../../core/check/conflict.ts";
import type { Plan } from "../../core/problem/plan.ts";
import type { Problem } from "../../core/problem/problem.ts";
import { readScenarioRow, type ScenarioRow } from "../store/scenario-store.ts";
import { ensureSite } from "../store/site-store.ts";
import { fitPlan } from "./fit-plan.ts";
import { type Office, planningState } from "./planning-state.ts";
import { noSuch, Refused } from "./refused.ts";
import { minuteOfNow, readShop, type Shop, shopAsOfNow } from "./shop-file.ts";

export type ScenarioNow = {
  readonly row: ScenarioRow;
  readonly problem: Problem;
  readonly plan: Plan;
  readonly shop: ProblemFile;
  readonly edits: readonly ShopEdit[];
  readonly troubles: readonly ChangeTrouble[];
  /** Worked out when first asked for. */
  readonly check: CheckResult;
};

/** Refused as notFound when there is none, as invalid when the changed shop does not hold together. */
export async function scenarioState(office: Office, id: string): Promise<ScenarioNow> {
  const row = await readScenarioRow(office.store, id);
  if (row === null) throw noSuch("scenario", id);
  const { plan, draft } = await planningState(office);
  const site = await ensureSite(office.store, office.clock());
  const { origin, revision, shopRevision, publishedVersion } = site;
  const now = minuteOfNow(site, office.clock());
  const key = `${id} ${row.revision} ${origin} ${revision} ${shopRevision} ${publishedVersion} ${now} ${row.plan === null ? draft.number : ""}`;
  const known = recent.get(key);
  if (known) return known;
  const found = scenarioNow(await readShop(office.store, site, now), row, plan);
  recent.set(key, found);
  for (const old of recent.keys()) if (recent.size > RECENT_MOST) recent.delete(old);
  return found;
}

/** Pages ask for the same scenarios again and again; everything kept is immutable and named by all it was made from. */
const recent = new Map<string, ScenarioNow>();
const RECENT_MOST = 10;

export async function shopNow(office: Office): Promise<Shop> {
  const site = await ensureSite(office.store, office.clock());
  return readShop(office.store, site, minuteOfNow(site, office.clock()));
}

export function scenarioNow(shop: Shop, row: ScenarioRow, draft: Plan): ScenarioNow {
  const { file: changed, edits, troubles } = applyChanges(shop.file, row.changes);
  const { zone, origin, horizon } = changed;
  const reach = typeof horizon === "number" ? horizonFor(row.changes, horizon, zone, origin) : horizon;
  const file = { ...changed, horizon: reach };
  const problem = compiled({ ...shop, file }, row);
  const plan = fitPlan(problem, row.plan?.plan ?? draft);
  let judged: CheckResult | null = null;
  return {
    ...{ row, problem, plan, shop: file, edits, troubles },
    get check() {
      judged ??= check(problem, plan);
      return judged;
    },
  };
}

/** Faults lie in the changes, whatever place of the shop they name. */
function compiled(shop: Shop, { name }: Pick<ScenarioRow, "name">): Problem {
  try {
    return shopAsOfNow(shop).problem;
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    const [first] = error.faults;
    const where = first === undefined ? "" : `${first.pointer.slice(1)}: `;
    const faults = error.faults.map(({ pointer, message }) => ({
      pointer: "/changes",
      message: `${pointer.slice(1)}: ${message}`,
    }));
    throw new Refused(
      "invalid",
      `With the changes of "${name}" the shop does not hold together. ${where}${first?.message ?? error.message}`,
      faults,
    );
  }
}
