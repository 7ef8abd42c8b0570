/** The shop as a problem file: what is stored, as of now, with the published plan. Importing it gives the same problem again. */

import type { PlanBodyInFile } from "../../contract/file/plan-schema.ts";
import type { ProblemFile } from "../../contract/problem-file.ts";
import type { Office } from "../actions/planning-state.ts";
import { compileShop, minuteOfNow, readShop } from "../actions/shop-file.ts";
import { ensureSite } from "../store/site-store.ts";

export async function exportShop(office: Office): Promise<ProblemFile> {
  const site = await ensureSite(office.store, office.clock());
  const shop = await readShop(office.store, site, minuteOfNow(site, office.clock()));
  const { published } = compileShop(shop);
  return { ...shop.file, published: published as PlanBodyInFile | null };
}
