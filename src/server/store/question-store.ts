/** Questions and their answers, kept for a day; the queue (server/queue) has tables of its own for getting them done. */
import type { QuestionKind, QuestionProgress, QuestionState } from "../../contract/api/question.ts";
import { announce } from "./notice.ts";
import { json, jsonOrNull, type Store } from "./store.ts";

export type QuestionRow = {
  readonly id: string;
  readonly kind: QuestionKind;
  readonly state: QuestionState;
  readonly input: unknown;
  readonly askedBy: string;
  readonly progress: QuestionProgress | null;
  readonly answer: unknown;
  readonly error: string | null;
  readonly attempts: number;
  readonly seed: number;
  readonly draftNumber: number | null;
  readonly shopRevision: number | null;
  readonly createdAt: Date;
  readonly finishedAt: Date | null;
};

type Row = Awaited<ReturnType<Store["db"]["question"]["findMany"]>>[number];

const read = (row: Row): QuestionRow => ({
  ...row,
  kind: row.kind as QuestionKind,
  state: row.state as QuestionState,
  progress: row.progress as QuestionProgress | null,
});

export async function addQuestion(
  store: Store,
  question: { kind: QuestionKind; input: unknown; askedBy: string; seed: number },
): Promise<QuestionRow> {
  return read(await store.db.question.create({ data: { ...question, input: json(question.input) } }));
}

export async function readQuestion(store: Store, id: string): Promise<QuestionRow | null> {
  const row = await store.db.question.findUnique({ where: { id } });
  return row && read(row);
}

export type QuestionChange = {
  state?: QuestionState;
  progress?: QuestionProgress;
  answer?: unknown;
  error?: string | null;
  attempts?: number;
  draftNumber?: number;
  shopRevision?: number;
  finishedAt?: Date;
};

/** Changes a question that stands in one of `from`, and tells the screens; null when it stands elsewhere (or is gone). */
export async function changeQuestion(
  store: Store,
  id: string,
  from: readonly QuestionState[],
  { progress, answer, ...rest }: QuestionChange,
): Promise<QuestionRow | null> {
  const { count } = await store.db.question.updateMany({
    where: { id, state: { in: [...from] } },
    data: {
      ...rest,
      ...(progress ? { progress: json(progress) } : {}),
      ...(answer === undefined ? {} : { answer: jsonOrNull(answer) }),
    },
  });
  if (count === 0) return null;
  const row = await readQuestion(store, id);
  if (row)
    await announce(store, {
      type: "question",
      id,
      state: row.state,
      progress: row.progress,
      answered: row.answer !== null,
    });
  return row;
}

/** The last few of a kind that were answered in full, newest first. */
export const latestAnswers = async (store: Store, kind: QuestionKind): Promise<QuestionRow[]> =>
  (await store.db.question.findMany({ where: { kind, state: "done" }, orderBy: { finishedAt: "desc" }, take: 5 })).map(read);

export const unfinishedQuestions = async (store: Store): Promise<QuestionRow[]> =>
  (await store.db.question.findMany({ where: { state: { in: ["queued", "running", "cancelling"] } } })).map(read);

export async function forgetQuestions(store: Store, before: Date): Promise<void> {
  await store.db.question.deleteMany({ where: { createdAt: { lt: before }, state: { in: ["done", "cancelled", "failed"] } } });
}
