/**
 * Writes down how far work has come by the plan in force, counters included: before a new plan takes its place, and before
 * a report changes the state of one operation among others. Afterwards the shop reads the same as before.
 */

import type { OperationId } from "../../core/orders/operation.ts";
import type { Problem } from "../../core/problem/problem.ts";
import { listProgress, restateProgress } from "../store/order-store.ts";
import type { Store } from "../store/store.ts";
import { progressInFile } from "./progress-in-file.ts";
import { writeCounters } from "./run-hours.ts";

/** `except`: operations whose state is written by the caller. `anew`: starts that were withdrawn may be taken as begun again, by their new place. */
export async function settleProgress(
  store: Store,
  problem: Problem,
  how: { except?: readonly OperationId[]; anew: boolean },
): Promise<void> {
  await writeCounters(store, problem);
  const stored = await listProgress(store);
  for (const { id, progress } of problem.operations) {
    const before = stored.get(id);
    if (how.except?.includes(id) || !before) continue;
    const { done, running } = progress;
    const withdrawn = running.length === 0 && !before.running && before.reported !== null;
    const unchanged = running.length === 0 && !before.running && before.done === done.length;
    if (unchanged && !(withdrawn && how.anew)) continue;
    await restateProgress(store, id, progressInFile(progress), running.length === 0 ? null : problem.now);
  }
}
