/** Asking the engine for a plan, and calling it off. The work itself is done by a worker (queue/). */
import { randomInt } from "node:crypto";
import type { RunInput, RunView } from "../../contract/api/run.ts";
import { record } from "../store/audit.ts";
import { announceCancel } from "../store/notice.ts";
import { addRun, changeRun, readRun, unfinishedRuns } from "../store/run-store.ts";
import type { Store } from "../store/store.ts";
import type { Actor } from "./actor.ts";
import type { Office } from "./planning-state.ts";
import { noSuch, Refused } from "./refused.ts";

/** Runs that wait or run: more is somebody leaning on a key. */
const WAITING_MAX = 20;
const SEED_MAX = 2_147_483_647;

export type Sender = { send(store: Store, run: string): Promise<void> };

/** The seed is fixed here, so that a run that is taken up again searches the same way. */
export async function requestRun(office: Office, queue: Sender, actor: Actor, input: RunInput): Promise<RunView> {
  return office.store.inTransaction(async (store) => {
    if ((await unfinishedRuns(store)).length >= WAITING_MAX)
      throw new Refused("conflict", `${WAITING_MAX} runs are waiting already; cancel one or wait.`);
    const run = await addRun(store, { ...input, seed: input.seed ?? randomInt(SEED_MAX) }, actor.name);
    await queue.send(store, run.id);
    await record(store, actor.name, "asked for", `run ${run.id}`, input);
    return run;
  });
}

export async function showRun(office: Office, id: string): Promise<RunView> {
  const run = await readRun(office.store, id);
  if (!run) throw noSuch("run", id);
  return run;
}

/** A waiting run is called off; a running one stops at once and keeps the best it has, if any. A finished one stays as it is. */
export async function cancelRun(office: Office, actor: Actor, id: string): Promise<RunView> {
  await showRun(office, id);
  return office.store.inTransaction(async (store) => {
    const waiting = await changeRun(store, id, ["queued"], { state: "cancelled", finishedAt: office.clock() });
    const stopping = waiting ?? (await changeRun(store, id, ["running"], { state: "cancelling" }));
    if (stopping) await record(store, actor.name, "cancelled", `run ${id}`);
    if (!waiting && stopping) await announceCancel(store, id);
    return showRun({ ...office, store }, id);
  });
}
