/** A run of the engine as the board follows it: started, watched by live events, stopped with the best so far kept. */
import { useCallback, useState } from "react";
import type { LiveEvent } from "../../../src/contract/api/event.ts";
import { type RunProgress, runSchema, runStartedSchema } from "../../../src/contract/api/run.ts";
import { useLiveEvents } from "../../client/live.ts";
import { request, segment } from "../../client/request.ts";
import { toast } from "../../parts/toast.tsx";
import { words } from "../../words/words.ts";

export type RunHere = {
  readonly id: string;
  readonly state: "queued" | "running" | "cancelling";
  readonly progress: RunProgress | null;
};

export const RUN_SECONDS = 10;

export function useRun(onFinished: () => void, onRefused: (reason: string) => void) {
  const [run, setRun] = useState<RunHere | null>(null);
  const follow = useCallback(
    (event: LiveEvent): void => {
      if (event.type !== "run") return;
      switch (event.state) {
        case "queued":
        case "running":
        case "cancelling":
          setRun({ id: event.id, state: event.state, progress: event.progress });
          return;
        case "finished":
        case "cancelled":
          setRun(null);
          toast(event.state === "finished" ? words.board.run.finished : words.board.run.cancelled);
          onFinished();
          return;
        case "failed":
          setRun(null);
          onRefused(`${words.board.run.failed}${event.error ? `: ${event.error}` : ""}`);
      }
    },
    [onFinished, onRefused],
  );
  useLiveEvents(follow);
  const start = async (seconds: number): Promise<void> => {
    try {
      const { value } = await request(runStartedSchema, "/runs", { method: "POST", body: { mode: "replan", seconds } });
      setRun((known) => known ?? { id: value.id, state: "queued", progress: null });
      toast(words.board.run.started);
    } catch (error) {
      onRefused(error instanceof Error ? error.message : String(error));
    }
  };
  const stop = async (): Promise<void> => {
    if (!run) return;
    setRun({ ...run, state: "cancelling" });
    try {
      await request(runSchema, `/runs/${segment(run.id)}`, { method: "DELETE" });
    } catch (error) {
      onRefused(error instanceof Error ? error.message : String(error));
    }
  };
  return { run, start, stop };
}
