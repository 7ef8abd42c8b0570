/**
 * Questions on a thread of their own, one after the other: told to stop through shared memory, telling their progress by messages.
 * Entry of a worker thread; everything a question needs comes in its message.
 */
import { parentPort } from "node:worker_threads";
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

const tell = (message: QuestionMessage): void => parentPort?.postMessage(message);

async function answer({ kind, input, state, seed, stop }: QuestionTask): Promise<void> {
  const flag = new Int32Array(stop);
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
    if (!(error instanceof CannotAnswer)) throw error; // the thread ends with it
    tell({ kind: "cannot", message: error.message });
  }
}

parentPort?.on("message", (task: QuestionTask) => void answer(task));
