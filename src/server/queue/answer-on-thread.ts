/**
 * One question on a worker thread, so that the process keeps answering meanwhile. A thread that is told to stop and does not
 * within its patience is taken down. A thread that has answered waits for the next question: its code is loaded and fast by then,
 * which is most of what a first repair costs. Waiting, it keeps no process alive.
 */
import type { Worker } from "node:worker_threads";
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

/** The thread that waits for a question; one is enough, others end with their answer. */
let waiting: Worker | null = null;

function takeThread(): Worker {
  const worker = waiting ?? spawnThread("question-thread", import.meta.url, {});
  waiting = null;
  worker.removeAllListeners();
  worker.ref();
  return worker;
}

function letWait(worker: Worker): void {
  worker.removeAllListeners();
  if (waiting !== null) {
    void worker.terminate();
    return;
  }
  waiting = worker;
  worker.unref();
  const gone = (): void => {
    if (waiting === worker) waiting = null;
  };
  worker.once("error", gone);
  worker.once("exit", gone);
}

export async function answerOnThread(task: Omit<QuestionTask, "stop">, { stop, abandon, ...tell }: Answering): Promise<unknown> {
  const flag = new SharedArrayBuffer(4);
  const worker = takeThread();
  let done = false;
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
        done = message.kind === "cannot" || message.kind === "answer";
        if (message.kind === "progress") tell.onProgress(message.progress);
        else if (message.kind === "cannot") reject(new CannotAnswer(message.message));
        else if (message.kind === "soFar") tell.soFar(message.answer);
        else resolve(message.answer);
      });
      worker.once("error", reject);
      worker.once("exit", () => reject(new Error("the thread ended without an answer")));
      worker.postMessage({ ...task, stop: flag } satisfies QuestionTask);
    });
  } finally {
    clearTimeout(timer);
    stop.removeEventListener("abort", halt);
    abandon.removeEventListener("abort", terminate);
    if (done && !abandon.aborted) letWait(worker);
    else await worker.terminate();
  }
}
