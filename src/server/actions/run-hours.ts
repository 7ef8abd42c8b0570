/**
 * Run-hour counters between reports. A counter is stored as it stood when progress was last written down; what run phases
 * have worked since is counted in when the shop is read (as-of-now.ts). Whoever writes progress writes the counters with it.
 */
import type { Operation, Progress } from "../../core/orders/operation.ts";
import type { Problem } from "../../core/problem/problem.ts";
import { listPlant, writePlant } from "../store/plant-store.ts";
import type { Store } from "../store/store.ts";
import { runWorked } from "./run-minutes.ts";

/** Writes down every counter as it stands now. */
export async function writeCounters(store: Store, problem: Problem): Promise<void> {
  for (const { body } of await listPlant(store, "run-hour-rules")) {
    const counter = problem.runHourRules.find((rule) => rule.id === body.id)?.counter ?? body.counter;
    if (counter !== body.counter) await writePlant(store, "run-hour-rules", { ...body, counter });
  }
}

/** Corrects the counters, as written down now, by what a report says about one operation; maintenance that has ended sets its rule back to 0. */
export async function correctCounters(store: Store, operation: Operation, after: Progress): Promise<void> {
  const before = operation.progress;
  for (const { body } of await listPlant(store, "run-hour-rules")) {
    const ended = body.operations.includes(operation.id) && after.running.length === 0 && after.done.length > before.done.length;
    const more = runWorked(operation, after, body.machine) - runWorked(operation, before, body.machine);
    const counter = ended ? 0 : Math.max(0, body.counter + more);
    if (counter !== body.counter) await writePlant(store, "run-hour-rules", { ...body, counter });
  }
}
