/**
 * One question on a worker thread, so that the process keeps answering meanwhile. A thread that is told to stop and does not
 * within its patience is taken down.
 */
import { spawnThread } from "../../threads/spawn-thread.ts";
import { CannotAnswer } from "../questions/question.ts";
import type { QuestionMessage, QuestionTask } from "./question-thread.ts";

const STOP_PATIENCE_MS = 10_000;

export type Answering = {
  readonly stop: AbortSignal;
  /** The thread is taken down at once: the process is going down. */
  readonly abandon: AbortSignal;
  readonly onProgress: (progress: { done: number; total: number | null; word: string }) => void;
  readonly soFar: (answer: unknown) => void;
};

export async function answerOnThread(task: Omit<QuestionTask, "stop">, { stop, abandon, ...tell }: Answering): Promise<unknown> {
  const flag = new SharedArrayBuffer(4);
  const worker = spawnThread("question-thread", import.meta.url, { workerData: { ...task, stop: flag } satisfies QuestionTask });
  const terminate = (): void => void worker.terminate();
  let timer: NodeJS.Timeout | undefined;
  const halt = (): void => {
    Atomics.store(new Int32Array(flag), 0, 1);
    timer ??= setTimeout(terminate, STOP_PATIENCE_MS);
  };
  if (stop.aborted) halt();
  stop.addEventListener("abort", halt, { once: true });
  if (abandon.aborted) terminate();
  abandon.addEventListener("abort", terminate, { once: true });
  try {
    return await new Promise<unknown>((resolve, reject) => {
      worker.on("message", (message: QuestionMessage) => {
        if (message.kind === "progress") tell.onProgress(message.progress);
        else if (message.kind === "cannot") reject(new CannotAnswer(message.message));
        else if (message.kind === "soFar") tell.soFar(message.answer);
        else resolve(message.answer);
      });
      worker.once("error", reject);
      worker.once("exit", () => reject(new Error("the thread ended without an answer")));
    });
  } finally {
    clearTimeout(timer);
    stop.removeEventListener("abort", halt);
    abandon.removeEventListener("abort", terminate);
    await worker.terminate();
  }
}
