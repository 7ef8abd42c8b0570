/**
 * The queues of runs and of questions: pg-boss on the same PostgreSQL, in a schema of its own (`jobs`). A run is sent in the
 * transaction that records it, so there is never one without the other. One run at a time for each worker process.
 */
import { PgBoss } from "pg-boss";
import type { Store } from "../store/store.ts";
import { plainSql } from "../store/store.ts";

export const RUN_QUEUE = "runs";
export const QUESTION_QUEUE = "questions";
/** pg-boss's least; a worker that dies is noticed after so long. */
const HEARTBEAT_SECONDS = 10;
/** A run that brings its worker down three times is not tried a fourth time. */
const RETRIES = 2;
/** Longer than any run may take. */
const EXPIRE_SECONDS = 2 * 3600;

export type RunJob = { readonly run: string };
export type QuestionJob = { readonly question: string };

export type RunQueue = {
  readonly boss: PgBoss;
  /** In the caller's transaction. */
  send(store: Store, run: string): Promise<void>;
  sendQuestion(store: Store, question: string): Promise<void>;
  close(patience: number): Promise<void>;
};

export async function openRunQueue(url: string, onError: (error: unknown) => void): Promise<RunQueue> {
  const boss = new PgBoss({
    connectionString: url,
    schema: "jobs",
    max: 4,
    superviseIntervalSeconds: 1,
    monitorIntervalSeconds: 1,
    application_name: "slotwright queue",
  });
  boss.on("error", onError); // unheard, a lost connection would end the process
  await boss.start();
  for (const name of [RUN_QUEUE, QUESTION_QUEUE])
    await boss.createQueue(name, {
      policy: "standard",
      retryLimit: RETRIES,
      retryDelay: 0,
      expireInSeconds: EXPIRE_SECONDS,
      heartbeatSeconds: HEARTBEAT_SECONDS,
      notify: true,
    });
  return {
    boss,
    send: async (store, run) => {
      const job: RunJob = { run };
      await boss.send(RUN_QUEUE, job, { id: run, db: plainSql(store) });
    },
    sendQuestion: async (store, question) => {
      const job: QuestionJob = { question };
      await boss.send(QUESTION_QUEUE, job, { id: question, db: plainSql(store) });
    },
    close: (patience) => boss.stop({ graceful: patience > 0, timeout: patience }),
  };
}
