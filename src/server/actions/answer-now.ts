/**
 * Asking a question and waiting for its answer: for scripts that want one call. The work is done by a worker like any other
 * question; whoever hangs up calls it off.
 */
import { setTimeout as pause } from "node:timers/promises";
import type { QuestionAnswer, QuestionKind, QuestionParsed } from "../../contract/api/question.ts";
import type { Actor } from "./actor.ts";
import { askQuestion, cancelQuestion, type QuestionSender, showQuestion } from "./ask-question.ts";
import type { Office } from "./planning-state.ts";
import { Refused } from "./refused.ts";

const WAIT_MS = 30_000;
const LOOK_EVERY_MS = 100;

export async function answerNow<K extends QuestionKind>(
  office: Office,
  queue: QuestionSender,
  actor: Actor,
  input: QuestionParsed<K> & { readonly kind: K },
  hungUp: () => boolean,
): Promise<QuestionAnswer<K>> {
  const id = await askQuestion(office, queue, actor, input as QuestionParsed<QuestionKind>);
  const until = Date.now() + WAIT_MS;
  while (Date.now() < until && !hungUp()) {
    const { state, answer, error } = await showQuestion(office, id);
    if (state === "done" && answer !== null) return answer as QuestionAnswer<K>;
    if (state === "failed" || state === "cancelled") throw new Refused("invalid", error ?? "The question was called off.");
    await pause(LOOK_EVERY_MS);
  }
  await cancelQuestion(office, id);
  throw new Refused(
    "conflict",
    "No answer within 30 seconds: the worker is busy or not running. Ask again, or use POST /api/v1/questions and wait for it.",
  );
}
