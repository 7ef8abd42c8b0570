/** Every kind of question and who answers it. A kind of the contract that is missing here breaks the build. */
import type { QuestionKind } from "../../contract/api/question.ts";
import { holdOutQuestion } from "./hold-out.ts";
import type { Question } from "./question.ts";

export const QUESTION_ANSWERS: { readonly [K in QuestionKind]: Question<K> } = {
  holdOut: holdOutQuestion,
};
