/** What upkeep rules have raised, occasion by occasion: it outlives the order, so that nothing comes back unasked. */
import type { Store } from "./store.ts";

export type UpkeepTaskRow = { readonly ruleId: string; readonly occasion: string; readonly orderId: string };

export const listUpkeepTasks = (store: Store): Promise<UpkeepTaskRow[]> =>
  store.db.upkeepTask.findMany({ select: { ruleId: true, occasion: true, orderId: true }, orderBy: { raisedAt: "asc" } });

/** The same occasion again has another order. */
export async function saveUpkeepTask(store: Store, task: UpkeepTaskRow & { readonly raisedBy: string }): Promise<void> {
  const { ruleId, occasion, ...rest } = task;
  await store.db.upkeepTask.upsert({ where: { ruleId_occasion: { ruleId, occasion } }, create: task, update: rest });
}
