/**
 * Takes questions from the queue, has each answered on a thread, tells how it goes and keeps the answer. Killed in the middle,
 * the question is taken up again by whoever is there; called off, it keeps what was known by then.
 */
import { QUESTIONS } from "../../contract/api/question.ts";
import { questionState } from "../actions/ask-question.ts";
import { emptyMemory, type Office } from "../actions/planning-state.ts";
import { listen } from "../live/listen.ts";
import { CannotAnswer } from "../questions/question.ts";
import { CANCEL_CHANNEL } from "../store/notice.ts";
import { changeQuestion, forgetQuestions, type QuestionRow, readQuestion, unfinishedQuestions } from "../store/question-store.ts";
import type { StoreConnection } from "../store/store.ts";
import { answerOnThread } from "./answer-on-thread.ts";
import { QUESTION_QUEUE, type QuestionJob, type RunQueue } from "./run-queue.ts";
import type { WorkerSettings } from "./run-worker.ts";

/** So that a long one does not hold up what is answered in a moment. */
const AT_ONCE = 2;
const TELL_EVERY_MS = 300;
const RECONCILE_EVERY_MS = 30_000;
const KEPT_MS = 24 * 3600_000;

export async function openQuestionWorker(
  store: StoreConnection,
  queue: RunQueue,
  { log, clock }: Pick<WorkerSettings, "log" | "clock">,
): Promise<{ close(): Promise<void> }> {
  const office: Office = { store, clock, memory: emptyMemory() };
  const running = new Map<string, AbortController>();
  const goingDown = new AbortController();
  const stopCancelled = async (): Promise<void> => {
    for (const [id, controller] of running) if ((await readQuestion(store, id))?.state === "cancelling") controller.abort();
  };
  const listener = listen(
    store.url,
    { [CANCEL_CHANNEL]: (id) => running.get(id)?.abort() },
    () => void stopCancelled().catch((error: unknown) => log.error({ error }, "looking for cancelled questions failed")),
  );
  await listener.ready;

  await queue.boss.work<QuestionJob>(
    QUESTION_QUEUE,
    {
      batchSize: 1,
      localConcurrency: AT_ONCE,
      pollingIntervalSeconds: 1,
      notifyPollingIntervalSeconds: 2,
      heartbeatRefreshSeconds: 2,
    },
    async ([job]) => {
      if (job) await work(job.data.question);
    },
  );

  const reconcile = async (): Promise<void> => {
    for (const question of await unfinishedQuestions(store)) {
      const [job] = await queue.boss.findJobs(QUESTION_QUEUE, { id: question.id });
      if (job && ["created", "retry", "active"].includes(job.state)) continue;
      await changeQuestion(store, question.id, ["queued", "running", "cancelling"], {
        state: "failed",
        error: `The worker was lost ${Math.max(1, question.attempts)} times; the question was given up. Ask it again.`,
        finishedAt: new Date(),
      });
    }
    await forgetQuestions(store, new Date(Date.now() - KEPT_MS));
  };
  const timer = setInterval(
    () => void reconcile().catch((error: unknown) => log.error({ error }, "looking for lost questions failed")),
    RECONCILE_EVERY_MS,
  );
  await reconcile();

  async function work(id: string): Promise<void> {
    const before = await readQuestion(store, id);
    if (!before) return;
    if (before.state === "cancelling")
      return void (await changeQuestion(store, id, ["cancelling"], { state: "cancelled", finishedAt: new Date() }));
    const question = await changeQuestion(store, id, ["queued", "running"], { state: "running", attempts: before.attempts + 1 });
    if (!question) return; // answered or called off meanwhile
    const cancel = new AbortController();
    running.set(id, cancel);
    await stopCancelled();
    try {
      await answer(question, cancel.signal);
    } catch (error) {
      if (goingDown.signal.aborted) {
        await changeQuestion(store, id, ["running"], { state: "queued" });
        throw new Error("the worker is going down; another one takes the question up");
      }
      const expected = error instanceof CannotAnswer;
      if (!expected && !cancel.signal.aborted) log.error({ question: id, kind: question.kind, error }, "question failed");
      const message = error instanceof Error ? error.message : String(error);
      await changeQuestion(store, id, ["cancelling"], { state: "cancelled", finishedAt: new Date() });
      await changeQuestion(store, id, ["running"], { state: "failed", error: message, finishedAt: new Date() });
    } finally {
      running.delete(id);
    }
  }

  async function answer(question: QuestionRow, stop: AbortSignal): Promise<void> {
    const { id, kind, seed } = question;
    const input = QUESTIONS[kind].input.parse(question.input);
    const { state, draftNumber, shopRevision } = await questionState(office, input.scenario);
    await changeQuestion(store, id, ["running", "cancelling"], { draftNumber, shopRevision });
    let told = Number.NEGATIVE_INFINITY;
    // One after the other, and never after the last word.
    let telling: Promise<unknown> = Promise.resolve();
    // What cannot be told on the way is logged and left: the last word is written by itself, or fails the question.
    const tell = (change: () => Parameters<typeof changeQuestion>[3]): void => {
      telling = telling
        .then(() => changeQuestion(store, id, ["running", "cancelling"], change()))
        .catch((error: unknown) => log.error({ question: id, kind, error }, "progress of a question was not told"));
    };
    const found = await answerOnThread(
      { kind, input, state, seed },
      {
        stop,
        abandon: goingDown.signal,
        onProgress: (progress) => {
          if (performance.now() - told < TELL_EVERY_MS) return;
          told = performance.now();
          tell(() => ({ progress }));
        },
        soFar: (early) => tell(() => ({ answer: QUESTIONS[kind].answer.parse(early) })),
      },
    ).finally(() => telling);
    const done = { answer: QUESTIONS[kind].answer.parse(found), finishedAt: new Date() };
    if (!(await changeQuestion(store, id, ["running"], { state: "done", ...done })))
      await changeQuestion(store, id, ["cancelling"], { state: "cancelled", ...done });
  }

  return {
    async close() {
      clearInterval(timer);
      goingDown.abort();
      await queue.boss.offWork(QUESTION_QUEUE);
      await listener.close();
    },
  };
}
