/**
 * Asking a question and following it: events tell sooner, polling is for when they are held up. A question lives as long as the
 * screen that asked it; leaving the screen calls off what is still running.
 */
import { useQuery } from "@tanstack/react-query";
import { useEffect, useMemo, useRef, useState } from "react";
import {
  type QuestionAnswer,
  type QuestionInput,
  type QuestionKind,
  type QuestionProgress,
  type QuestionState,
  questionStartedSchema,
  questionViewOf,
} from "../../src/contract/api/question.ts";
import { useLiveEvents } from "./live.ts";
import { command, request, segment } from "./request.ts";

const POLL_MS = 1000;

const isOver = (state: QuestionState): boolean => state === "done" || state === "cancelled" || state === "failed";

export type Asking<K extends QuestionKind> = {
  /** Asks; what was asked before is called off. Rejects when the question is refused. */
  readonly ask: (input: Omit<QuestionInput<K>, "kind">) => Promise<void>;
  readonly cancel: () => void;
  /** idle: nothing asked yet. */
  readonly state: "idle" | QuestionState;
  readonly progress: QuestionProgress | null;
  /** While it runs: what is known so far. */
  readonly answer: QuestionAnswer<K> | null;
  /** Why there is no answer, for people. */
  readonly error: string | null;
  /** The shop or the draft has changed since it was answered. */
  readonly stale: boolean;
  readonly draftRevision: number | null;
};

export function useQuestion<K extends QuestionKind>(kind: K): Asking<K> {
  const [id, setId] = useState<string | null>(null);
  const [refusal, setRefusal] = useState<string | null>(null);
  const open = useRef<string | null>(null);
  const query = useQuery({
    queryKey: ["questions", id],
    enabled: id !== null,
    queryFn: async ({ signal }) => (await request(questionViewOf(kind), `/questions/${segment(id ?? "")}`, { signal })).value,
    refetchInterval: ({ state: { data } }) => (data && isOver(data.state) ? false : POLL_MS),
  });
  const { data, refetch } = query;
  useLiveEvents(
    useMemo(
      () => (event) => {
        if (event.type === "question" && event.id === open.current) void refetch();
      },
      [refetch],
    ),
  );
  const over = data ? isOver(data.state) : false;
  useEffect(() => {
    if (over) open.current = null;
  }, [over]);
  useEffect(() => {
    const leave = (): void => callOff(open);
    addEventListener("pagehide", leave);
    return () => {
      removeEventListener("pagehide", leave);
      leave();
    };
  }, []);

  return {
    ask: async (input) => {
      callOff(open);
      setRefusal(null);
      try {
        const { value } = await request(questionStartedSchema, "/questions", { method: "POST", body: { kind, ...input } });
        open.current = value.id;
        setId(value.id);
      } catch (error) {
        setId(null);
        setRefusal(error instanceof Error ? error.message : String(error));
        throw error;
      }
    },
    cancel: () => callOff(open),
    state: refusal !== null ? "failed" : id === null ? "idle" : (data?.state ?? "queued"),
    progress: data?.progress ?? null,
    answer: (data?.answer as QuestionAnswer<K> | null | undefined) ?? null,
    error: refusal ?? data?.error ?? (query.error ? query.error.message : null),
    stale: data?.stale ?? false,
    draftRevision: data?.draftRevision ?? null,
  };
}

function callOff(open: { current: string | null }): void {
  if (open.current !== null)
    // Whoever leaves does not care whether it could still be called off.
    void command(`/questions/${segment(open.current)}`, { method: "DELETE", keepalive: true }).catch(() => undefined);
}
