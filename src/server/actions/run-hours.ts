/**
 * Run-hour counters between reports. A counter is stored as it stood when it was last written; what run phases have worked
 * since is counted in when the shop is read (shop-file.ts), and written down when a report ends that stretch (`countRunMinutes`).
 */

import type { ProblemFile } from "../../contract/problem-file.ts";
import type { Mode, Operation, Progress, RunningLot } from "../../core/orders/operation.ts";
import { workMinutes } from "../../core/orders/operation.ts";
import type { Problem } from "../../core/problem/problem.ts";
import { listPlant, writePlant } from "../store/plant-store.ts";
import type { Store } from "../store/store.ts";

/** Worked minutes of run phases that lie between two states of one lot; `to` null: to its end. */
export function runMinutesBetween(mode: Pick<Mode, "phases"> | undefined, from: RunningLot, to: RunningLot | null): number {
  if (!mode) return 0;
  const ahead = (state: RunningLot | null): number =>
    state === null
      ? 0
      : mode.phases.reduce((sum, phase, i) => {
          if (phase.kind !== "run" || i < state.phase) return sum;
          return sum + (i === state.phase ? state.remaining : workMinutes(phase.work, from.pieces));
        }, 0);
  return Math.max(0, ahead(from) - ahead(to));
}

/** Adds what a report says was worked since now was read: the rest of a lot that is done, or the step of a corrected remainder. */
export async function countRunMinutes(
  store: Store,
  file: ProblemFile,
  problem: Problem,
  operation: Operation,
  after: Progress,
): Promise<void> {
  const running = operation.progress.running;
  if (running === null || (after.running === null && after.done.length <= operation.progress.done.length)) return;
  const mode = operation.modes.find((m) => m.id === running.mode);
  const machines = mode?.machines ?? [];
  const worked = runMinutesBetween(mode, running, after.running);
  for (const rule of file.runHourRules) {
    const known = problem.runHourRules.find((r) => r.id === rule.id);
    const reset = after.running === null && rule.operations.includes(operation.id);
    if (!reset && !machines.includes(rule.machine)) continue;
    const counter = reset ? 0 : (known?.counter ?? rule.counter) + worked;
    await writePlant(store, "run-hour-rules", { ...rule, counter });
  }
}

/** Writes down every counter as it stands now, before running work is reported anew. */
export async function writeCounters(store: Store, problem: Problem): Promise<void> {
  for (const { body } of await listPlant(store, "run-hour-rules")) {
    const counter = problem.runHourRules.find((rule) => rule.id === body.id)?.counter ?? body.counter;
    if (counter !== body.counter) await writePlant(store, "run-hour-rules", { ...body, counter });
  }
}
