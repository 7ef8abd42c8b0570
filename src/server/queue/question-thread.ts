/**
 * One question on a thread of its own: told to stop through shared memory, telling its progress by messages.
 * Entry of a worker thread; everything it needs comes in workerData.
 */
import { parentPort, workerData } from "node:worker_threads";
import type { QuestionKind } from "../../contract/api/question.ts";
import { CannotAnswer, type Question, type QuestionState } from "../questions/question.ts";
import { QUESTION_ANSWERS } from "../questions/questions.ts";

export type QuestionTask = {
  readonly kind: QuestionKind;
  readonly input: unknown;
  readonly state: QuestionState;
  readonly seed: number;
  readonly stop: SharedArrayBuffer;
};

export type QuestionMessage =
  | { readonly kind: "progress"; readonly progress: { done: number; total: number | null; word: string } }
  | { readonly kind: "soFar" | "answer"; readonly answer: unknown }
  | { readonly kind: "cannot"; readonly message: string };

/** Often enough to look alive, seldom enough to cost nothing. */
const TELL_EVERY_MS = 200;

const { kind, input, state, seed, stop } = workerData as QuestionTask;
const flag = new Int32Array(stop);
const tell = (message: QuestionMessage): void => parentPort?.postMessage(message);

let told = Number.NEGATIVE_INFINITY;
// The input was parsed by this kind's schema; the table pairs each kind with its own.
const question = QUESTION_ANSWERS[kind] as Question;
try {
  const answer = await question.answerTo(state, input as never, {
    seed,
    shouldStop: () => Atomics.load(flag, 0) !== 0,
    onProgress: (progress) => {
      const now = performance.now();
      if (now - told < TELL_EVERY_MS) return;
      told = now;
      tell({ kind: "progress", progress });
    },
    soFar: (early) => tell({ kind: "soFar", answer: early }),
  });
  tell({ kind: "answer", answer });
} catch (error) {
  if (!(error instanceof CannotAnswer)) throw error;
  tell({ kind: "cannot", message: error.message });
}
