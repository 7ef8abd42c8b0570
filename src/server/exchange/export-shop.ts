/** The shop as a problem file: what is stored, as of now, with the published plan and what the shop settled. Importing it gives the same problem again. */

import type { PlanBodyInFile } from "../../contract/file/plan-schema.ts";
import type { ProblemFile } from "../../contract/problem-file.ts";
import { withReportsInMinutes } from "../actions/edit-shop.ts";
import type { Office } from "../actions/planning-state.ts";
import { minuteOfNow, readShop, shopAsOfNow } from "../actions/shop-file.ts";
import { ensureSite } from "../store/site-store.ts";
import { settledOf } from "./settled.ts";

export async function exportShop(office: Office): Promise<ProblemFile> {
  const site = await ensureSite(office.store, office.clock());
  const shop = await readShop(office.store, site, minuteOfNow(site, office.clock()));
  const { problem } = shopAsOfNow(shop);
  return {
    ...shop.file,
    orders: withReportsInMinutes(shop.file.orders, problem),
    runHourRules: shop.file.runHourRules.map((rule) => ({
      ...rule,
      counter: problem.runHourRules.find(({ id }) => id === rule.id)?.counter ?? rule.counter,
    })),
    published: problem.published as PlanBodyInFile | null,
    settled: await settledOf(office.store, site),
  };
}
