/** Reading and changing what the shop has settled about itself. Names of machines and supplies in it must exist when it is written. */

import { DEFAULT_SETTINGS, SETTINGS, type Setting, type SettingName, type SettingView } from "../../contract/api/setting.ts";
import { unknownNames } from "../../contract/settled.ts";
import { proposedCautions } from "../../core/plan/caution-defaults.ts";
import type { CautionRule } from "../../core/plan/cautions.ts";
import type { Problem } from "../../core/problem/problem.ts";
import { record } from "../store/audit.ts";
import { announce } from "../store/notice.ts";
import { readSettingRow, writeSettingRow } from "../store/setting-store.ts";
import { ensureSite, lockSite } from "../store/site-store.ts";
import type { Store } from "../store/store.ts";
import type { Actor } from "./actor.ts";
import { currentProblem, type Office } from "./planning-state.ts";
import { type Expected, expectRevision, Refused } from "./refused.ts";

export async function setting<N extends SettingName>(store: Store, name: N): Promise<Setting<N>> {
  const row = await readSettingRow(store, name);
  return row === null ? DEFAULT_SETTINGS[name] : (SETTINGS[name].parse(row.value) as Setting<N>);
}

export async function settingView<N extends SettingName>(
  store: Store,
  name: N,
): Promise<{ body: SettingView<N>; revision?: number }> {
  const row = await readSettingRow(store, name);
  return {
    body: {
      value: await setting(store, name),
      changedBy: row?.changedBy ?? null,
      changedAt: row?.changedAt.toISOString() ?? null,
    },
    ...(row === null ? {} : { revision: row.revision }),
  };
}

export async function changeSetting<N extends SettingName>(
  office: Office,
  actor: Actor,
  name: N,
  value: Setting<N>,
  expected: Expected,
): Promise<void> {
  await ensureSite(office.store, office.clock());
  await office.store.inTransaction(async (store) => {
    await lockSite(store);
    const row = await readSettingRow(store, name);
    expectRevision(expected, row?.revision ?? null, "This setting");
    const { problem } = await currentProblem({ ...office, store, memory: { ...office.memory } });
    const faults = unknownNames(problem, name, value).map(({ path, message }) => ({ pointer: `/${path.join("/")}`, message }));
    if (faults.length > 0) throw new Refused("invalid", faults[0]?.message ?? "", faults);
    await writeSettingRow(store, name, value, actor.name, office.clock());
    await record(store, actor.name, "settled", `setting ${name}`, { before: row?.value ?? null, after: value });
    await announce(store, { type: "shop" });
  });
}

/** The cautions in force: the shop's own, else those proposed from its machines and supplies. */
export async function cautionRules(store: Store, problem: Problem): Promise<readonly CautionRule[]> {
  return (await setting(store, "cautions")).rules ?? proposedCautions(problem);
}

/** Whether this person may put a plan in force; the table of routes lets planners and administrators ask. */
export async function mayPublish(store: Store, actor: Actor): Promise<boolean> {
  if (actor.role === "administrator") return true;
  return actor.role === "planner" && (await setting(store, "publishing")).publishers === "planners";
}
