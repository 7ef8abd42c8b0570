/** Asking the engine for a plan, and following the run. */
import { queryOptions } from "@tanstack/react-query";
import { type RunInput, type RunView, runSchema, runStartedSchema } from "../../src/contract/api/run.ts";
import { request, segment } from "./request.ts";

export const startRun = async (input: Omit<RunInput, "mode">): Promise<string> =>
  (await request(runStartedSchema, "/runs", { method: "POST", body: { mode: "replan", ...input } })).value.id;

const isOver = (state: RunView["state"]): boolean => state === "finished" || state === "cancelled" || state === "failed";

const POLL_MS = 1000;

export const runQuery = (id: string) =>
  queryOptions({
    queryKey: ["runs", id],
    queryFn: async ({ signal }): Promise<RunView> => (await request(runSchema, `/runs/${segment(id)}`, { signal })).value,
    // The events tell sooner; this is for when they are held up.
    refetchInterval: (query) => (query.state.data && isOver(query.state.data.state) ? false : POLL_MS),
  });
