/**
 * What a shop has settled about itself, out into the file and in from it. A file without the section leaves what emptying the shop
 * leaves; one with it settles all of it, as the shop that wrote it had. Who may publish is settled by administrators only.
 */
import { SETTINGS, type SettingName } from "../../contract/api/setting.ts";
import { PLANT } from "../../contract/api/shop.ts";
import { SETTLED_VERSION, type Settled } from "../../contract/settled.ts";
import type { Actor } from "../actions/actor.ts";
import { listPlant, writePlant } from "../store/plant-store.ts";
import { forgetSetting, readSettingRow, writeSettingRow } from "../store/setting-store.ts";
import type { Site } from "../store/site-store.ts";
import type { Store } from "../store/store.ts";
import { listUpkeepTasks, saveUpkeepTask } from "../store/upkeep-store.ts";

const NAMES = Object.keys(SETTINGS) as readonly SettingName[];

export async function settledOf(store: Store, site: Site): Promise<Settled> {
  const bodies = async (kind: "upkeep-rules" | "routes") =>
    (await listPlant(store, kind)).map(({ body }) => PLANT[kind].parse(body));
  const rows = await Promise.all(NAMES.map(async (name) => [name, await readSettingRow(store, name)] as const));
  return {
    version: SETTLED_VERSION,
    followsPlan: site.followsPlan,
    settings: Object.fromEntries(rows.flatMap(([name, row]) => (row === null ? [] : [[name, SETTINGS[name].parse(row.value)]]))),
    upkeepRules: (await bodies("upkeep-rules")) as Settled["upkeepRules"],
    upkeepMade: (await listUpkeepTasks(store)).map(({ ruleId, occasion, orderId }) => ({
      rule: ruleId,
      occasion,
      order: orderId,
    })),
    routes: (await bodies("routes")) as Settled["routes"],
  };
}

export async function settleAs(store: Store, settled: Settled, actor: Actor, at: Date): Promise<void> {
  for (const name of NAMES) {
    if (name === "publishing" && actor.role !== "administrator") continue;
    const value = settled.settings[name];
    if (value === undefined) await forgetSetting(store, name);
    else await writeSettingRow(store, name, value, actor.name, at);
  }
  for (const rule of settled.upkeepRules) await writePlant(store, "upkeep-rules", rule);
  for (const { rule, occasion, order } of settled.upkeepMade)
    await saveUpkeepTask(store, { ruleId: rule, occasion, orderId: order, raisedBy: actor.name });
  for (const route of settled.routes) await writePlant(store, "routes", route);
}
