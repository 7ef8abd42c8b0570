/** Runs of the engine as people see them; the queue (server/queue) has tables of its own for getting them done. */
import type { RunInput, RunOutcome, RunProgress, RunView } from "../../contract/api/run.ts";
import { announce } from "./notice.ts";
import { json, type Store } from "./store.ts";

type State = RunView["state"];
type Row = Awaited<ReturnType<Store["db"]["run"]["findMany"]>>[number];

const view = (row: Row): RunView => ({
  id: row.id,
  state: row.state as State,
  requestedBy: row.requestedBy,
  options: row.options as RunInput,
  progress: row.progress as RunProgress | null,
  outcome: row.outcome as RunOutcome | null,
  revision: row.revision,
  error: row.error,
  attempts: row.attempts,
  createdAt: row.createdAt.toISOString(),
  startedAt: row.startedAt?.toISOString() ?? null,
  finishedAt: row.finishedAt?.toISOString() ?? null,
});

export async function addRun(store: Store, options: RunInput, requestedBy: string): Promise<RunView> {
  return view(await store.db.run.create({ data: { options: json(options), requestedBy } }));
}

export async function readRun(store: Store, id: string): Promise<RunView | null> {
  const row = await store.db.run.findUnique({ where: { id } });
  return row && view(row);
}

export const latestRuns = async (store: Store, count: number): Promise<RunView[]> =>
  (await store.db.run.findMany({ orderBy: { createdAt: "desc" }, take: count })).map(view);

export type RunChange = {
  state?: State;
  progress?: RunProgress;
  outcome?: RunOutcome;
  revision?: number | null;
  error?: string | null;
  attempts?: number;
  startedAt?: Date;
  finishedAt?: Date;
};

/** Changes a run that stands in one of `from`, and tells the screens; null when it stands elsewhere (or is gone). */
export async function changeRun(store: Store, id: string, from: readonly State[], change: RunChange): Promise<RunView | null> {
  const { progress, outcome, ...rest } = change;
  const { count } = await store.db.run.updateMany({
    where: { id, state: { in: [...from] } },
    data: { ...rest, ...(progress ? { progress: json(progress) } : {}), ...(outcome ? { outcome: json(outcome) } : {}) },
  });
  if (count === 0) return null;
  const run = await readRun(store, id);
  if (run)
    await announce(store, {
      type: "run",
      id,
      state: run.state,
      progress: run.progress,
      revision: run.revision,
      error: run.error,
    });
  return run;
}

export const unfinishedRuns = async (store: Store): Promise<RunView[]> =>
  (await store.db.run.findMany({ where: { state: { in: ["queued", "running", "cancelling"] } } })).map(view);
