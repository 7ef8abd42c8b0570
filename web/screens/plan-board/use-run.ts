/**
 * A run of the engine as the board follows it: started, watched by live events, stopped with the best so far kept.
 * Events may be missed, so a run on show is also asked about every few seconds; one that was under way before is found on opening.
 */
import { useCallback, useEffect, useRef, useState } from "react";
import type { LiveEvent } from "../../../src/contract/api/event.ts";
import { type RunProgress, type RunView, runListSchema, runSchema, runStartedSchema } from "../../../src/contract/api/run.ts";
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
const ASK_EVERY_MS = 3_000;

type RunNews = Pick<RunView, "id" | "state" | "progress" | "error">;

export function useRun(onFinished: () => void, onRefused: (reason: string) => void) {
  const [run, setRun] = useState<RunHere | null>(null);
  /** Runs whose end has been told; news of them may still arrive by the other way. */
  const ended = useRef(new Set<string>());
  const hear = useCallback(
    (news: RunNews): void => {
      if (ended.current.has(news.id)) return;
      if (news.state === "queued" || news.state === "running" || news.state === "cancelling") {
        const { id, state, progress } = news;
        setRun((known) => ({ id, state, progress: progress ?? (known?.id === id ? known.progress : null) }));
        return;
      }
      ended.current.add(news.id);
      setRun((known) => (known?.id === news.id ? null : known));
      if (news.state === "failed") {
        onRefused(`${words.board.run.failed}${news.error ? `: ${news.error}` : ""}`);
        return;
      }
      const { finished, cancelled, cancelledEarly } = words.board.run;
      // a run that left a plan says so in its last progress
      toast(news.state === "finished" ? finished : news.progress?.phase === "done" ? cancelled : cancelledEarly);
      onFinished();
    },
    [onFinished, onRefused],
  );
  useLiveEvents(
    useCallback(
      (event: LiveEvent): void => {
        if (event.type === "run") hear(event);
      },
      [hear],
    ),
  );

  useEffect(() => {
    const asking = new AbortController();
    void request(runListSchema, "/runs", { signal: asking.signal }).then(
      ({ value }) => {
        for (const known of value.items)
          if (known.state === "queued" || known.state === "running" || known.state === "cancelling") hear(known);
      },
      // Without an answer there is nothing to show; the board itself says when the network is gone.
      () => undefined,
    );
    return () => asking.abort();
  }, [hear]);

  const id = run?.id;
  useEffect(() => {
    if (id === undefined) return;
    const asking = new AbortController();
    const timer = setInterval(() => {
      void request(runSchema, `/runs/${segment(id)}`, { signal: asking.signal }).then(
        ({ value }) => hear(value),
        () => undefined,
      );
    }, ASK_EVERY_MS);
    return () => {
      clearInterval(timer);
      asking.abort();
    };
  }, [id, hear]);

  const start = async (seconds: number): Promise<void> => {
    try {
      const { value } = await request(runStartedSchema, "/runs", { method: "POST", body: { mode: "replan", seconds } });
      toast(words.board.run.started);
      if (!ended.current.has(value.id))
        setRun((known) => (known?.id === value.id ? known : { id: value.id, state: "queued", progress: null }));
    } catch (error) {
      onRefused(error instanceof Error ? error.message : String(error));
    }
  };
  const stop = async (): Promise<void> => {
    if (!run) return;
    setRun({ ...run, state: "cancelling" });
    try {
      hear((await request(runSchema, `/runs/${segment(run.id)}`, { method: "DELETE" })).value);
    } catch (error) {
      onRefused(error instanceof Error ? error.message : String(error));
    }
  };
  return { run, start, stop };
}
