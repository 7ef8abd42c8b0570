/**
 * The demo shop into an empty database, dated relative to now. A demo that nobody has touched is dated anew when it has
 * grown old, so that the tour shows today and not last week; anything a person did to it keeps it as it is.
 */
import { demoShop } from "../../../seed/demo-shop.ts";
import { emptyMemory } from "../actions/planning-state.ts";
import { isEmptyShop } from "../store/empty-shop.ts";
import { countDrafts } from "../store/plan-store.ts";
import { writePlant } from "../store/plant-store.ts";
import { ensureSite, saveDemoMark } from "../store/site-store.ts";
import type { Store } from "../store/store.ts";
import { demoTemplates } from "./demo-templates.ts";
import { demoUpkeepRules } from "./demo-upkeep.ts";
import { importShop } from "./import-shop.ts";

/** After that an untouched demo is loaded again. */
const FRESH_HOURS = 12;
const DEMO_ACTOR = { id: "demo", name: "Demo data", role: "administrator" } as const;

export async function loadDemo(store: Store, now: Date): Promise<"loaded" | "kept"> {
  const site = await ensureSite(store, now);
  const empty = await isEmptyShop(store);
  const untouched = site.demoRevision !== null && site.demoRevision === site.shopRevision && (await countDrafts(store)) <= 1;
  const old = now.getTime() - (site.demoLoadedAt?.getTime() ?? 0) > FRESH_HOURS * 3_600_000;
  if (!empty && !(untouched && old)) return "kept";
  const office = { store, clock: () => now, memory: emptyMemory() };
  const dayBefore = new Date(now.getTime() - 24 * 3_600_000);
  await importShop(office, DEMO_ACTOR, demoShop(now.toISOString()), {
    replace: true,
    clock: "live",
    followsPlan: true,
    publishedBy: "Larkfield planning",
    publishedAt: dayBefore,
  });
  for (const template of demoTemplates()) await writePlant(store, "routes", template);
  for (const rule of demoUpkeepRules(now)) await writePlant(store, "upkeep-rules", rule);
  await saveDemoMark(store, now);
  return "loaded";
}
