/**
 * A worker: takes a run from the queue, gives it to threads, tells how it goes, and makes what they found a new revision of
 * the draft. Killed in the middle, the run is taken up again by whoever is there; cancelled, it keeps the best it has, if it has one yet.
 */
import { availableParallelism } from "node:os";
import { RUN_SECONDS_MAX, type RunProgress, type RunView } from "../../contract/api/run.ts";
import type { PlanOutcome } from "../../core/plan/make-plan.ts";
import { planUnlessStopped } from "../../threads/plan-on-threads.ts";
import { appendPlan } from "../actions/edit-draft.ts";
import { LEAD_MINUTES, withLead } from "../actions/plan-ahead.ts";
import { emptyMemory, type Office, planningState } from "../actions/planning-state.ts";
import { listen } from "../live/listen.ts";
import { CANCEL_CHANNEL } from "../store/notice.ts";
import { changeRun, readRun, unfinishedRuns } from "../store/run-store.ts";
import type { StoreConnection } from "../store/store.ts";
import { RUN_QUEUE, type RunJob, type RunQueue } from "./run-queue.ts";

const SECONDS_DEFAULT = 10;
const TELL_EVERY_MS = 300;
/** How often runs whose job is lost are looked for. */
const RECONCILE_EVERY_MS = 30_000;

export type WorkerSettings = {
  /** What the shop takes for now. */
  readonly clock: () => Date;
  readonly threads?: number | undefined;
  readonly log: { info(fields: object, message: string): void; error(fields: object, message: string): void };
};
export type RunWorker = { close(): Promise<void> };

export async function openRunWorker(store: StoreConnection, queue: RunQueue, settings: WorkerSettings): Promise<RunWorker> {
  const office: Office = { store, clock: settings.clock, memory: emptyMemory() };
  const threads = settings.threads ?? Math.max(1, Math.min(8, availableParallelism() - 1));
  const running = new Map<string, AbortController>();
  const goingDown = new AbortController();
  // A cancel that was sent while the connection was gone is found in the table.
  const stopCancelled = async (): Promise<void> => {
    for (const [id, controller] of running) if ((await readRun(store, id))?.state === "cancelling") controller.abort();
  };
  const listener = listen(
    store.url,
    { [CANCEL_CHANNEL]: (id) => running.get(id)?.abort() },
    () => void stopCancelled().catch((error: unknown) => settings.log.error({ error }, "looking for cancelled runs failed")),
  );
  await listener.ready;

  await queue.boss.work<RunJob>(
    RUN_QUEUE,
    {
      batchSize: 1,
      pollingIntervalSeconds: 1,
      notifyPollingIntervalSeconds: 2,
      heartbeatRefreshSeconds: 2,
      includeMetadata: true,
    },
    async ([job]) => {
      if (job) await work(job.data.run);
    },
  );

  const reconcile = async (): Promise<void> => {
    for (const run of await unfinishedRuns(store)) {
      const [job] = await queue.boss.findJobs(RUN_QUEUE, { id: run.id });
      if (job && ["created", "retry", "active"].includes(job.state)) continue;
      await changeRun(store, run.id, ["queued", "running", "cancelling"], {
        state: "failed",
        error: `The worker was lost ${Math.max(1, run.attempts)} times; the run was given up.`,
        finishedAt: new Date(),
      });
    }
  };
  const timer = setInterval(
    () => void reconcile().catch((error: unknown) => settings.log.error({ error }, "looking for lost runs failed")),
    RECONCILE_EVERY_MS,
  );
  await reconcile();

  async function work(id: string): Promise<void> {
    const before = await readRun(store, id);
    if (!before) return;
    if (before.state === "cancelling")
      return void (await changeRun(store, id, ["cancelling"], { state: "cancelled", finishedAt: new Date() }));
    const run = await changeRun(store, id, ["queued", "running"], {
      state: "running",
      attempts: before.attempts + 1,
      startedAt: new Date(),
    });
    if (!run) return; // finished or cancelled meanwhile
    const cancel = new AbortController();
    running.set(id, cancel);
    await stopCancelled();
    try {
      await solveRun(run, cancel.signal);
    } catch (error) {
      if (goingDown.signal.aborted) {
        await changeRun(store, id, ["running"], { state: "queued" });
        throw new Error("the worker is going down; another one takes the run up");
      }
      settings.log.error({ run: id, error }, "run failed");
      await changeRun(store, id, ["running", "cancelling"], {
        state: "failed",
        error: error instanceof Error ? error.message : String(error),
        finishedAt: new Date(),
      });
    } finally {
      running.delete(id);
    }
  }

  async function solveRun(run: RunView, cancelled: AbortSignal): Promise<void> {
    const began = performance.now();
    const seconds = () => Math.round(performance.now() - began) / 1000;
    const { problem, plan, site } = await planningState(office);
    const narrowed = site.fixedNow === null ? withLead(problem, LEAD_MINUTES) : problem;
    const { iterations, seed = 1 } = run.options;
    const used = run.options.threads ?? threads;
    let told = Number.NEGATIVE_INFINITY;
    const planned = await planUnlessStopped(narrowed, {
      start: plan,
      seed,
      threads: used,
      iterations,
      seconds: run.options.seconds ?? (iterations === undefined ? SECONDS_DEFAULT : RUN_SECONDS_MAX),
      stop: cancelled,
      abandon: goingDown.signal,
      onProgress: (progress) => {
        if (performance.now() - told < TELL_EVERY_MS) return;
        told = performance.now();
        void changeRun(store, run.id, ["running", "cancelling"], {
          progress: { ...progress, seconds: seconds(), cost: null },
        }).catch((error: unknown) => settings.log.error({ run: run.id, error }, "progress of a run was not told"));
      },
    });
    if (planned === null) {
      await changeRun(store, run.id, ["running", "cancelling"], { state: "cancelled", finishedAt: new Date() });
      return;
    }
    const outcome = { ...planned.outcome, iterations: planned.iterations };
    await finish(run, outcome, { seconds: seconds(), threads: used, seed });
  }

  async function finish(
    run: RunView,
    outcome: PlanOutcome,
    how: { seconds: number; threads: number; seed: number },
  ): Promise<void> {
    const progress: RunProgress = {
      iterations: outcome.iterations,
      seconds: how.seconds,
      phase: "done",
      conflicts: outcome.conflicts.length,
      total: outcome.cost.total,
      cost: outcome.cost,
    };
    // One transaction: a worker killed in here leaves either no trace or both the draft and the finished run.
    await store.inTransaction(async (tx) => {
      const revision = await appendPlan(
        { ...office, store: tx },
        run.requestedBy,
        outcome.plan,
        `Planned by the engine, seed ${how.seed}`,
      );
      const result = {
        outcome: {
          conflicts: outcome.conflicts.length,
          cost: outcome.cost,
          bound: outcome.bound,
          iterations: outcome.iterations,
          ...how,
        },
        progress,
        revision,
        finishedAt: new Date(),
      };
      if (!(await changeRun(tx, run.id, ["running"], { state: "finished", ...result })))
        await changeRun(tx, run.id, ["cancelling"], { state: "cancelled", ...result });
    });
    settings.log.info(
      { run: run.id, ...how, iterations: outcome.iterations, conflicts: outcome.conflicts.length, cost: outcome.cost.total },
      "run finished",
    );
  }

  return {
    async close() {
      clearInterval(timer);
      goingDown.abort();
      await queue.boss.offWork(RUN_QUEUE);
      await listener.close();
    },
  };
}
