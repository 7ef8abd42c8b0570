/** Every kind of question and who answers it. A kind of the contract that is missing here breaks the build. */
import type { QuestionKind } from "../../contract/api/question.ts";
import { holdOutQuestion } from "./hold-out.ts";
import type { Question } from "./question.ts";
import { placesQuestion } from "./places.ts";
import { promiseQuestion } from "./promise.ts";

import { rushQuestion } from "./rush.ts";
import { troubleQuestion } from "./trouble.ts";
import { troubleQuestion } from "./trouble.ts";
export const QUESTION_ANSWERS: { readonly [K in QuestionKind]: Question<K> } = {
  holdOut: holdOutQuestion,
  trouble: troubleQuestion,
};
  rush: rushQuestion,
  promise: promiseQuestion,
  trouble: troubleQuestion,
  freeWindows: freeWindowsQuestion,
  places: placesQuestion,
