/** Every kind of question and who answers it. A kind of the contract that is missing here breaks the build. */
import type { QuestionKind } from "../../contract/api/question.ts";
import { contractQuestion } from "./contract.ts";
import { freeWindowsQuestion } from "./free-windows.ts";
import { holdOutQuestion } from "./hold-out.ts";
import { leversQuestion } from "./levers.ts";
import { nightFillQuestion } from "./night-fill.ts";
import { placesQuestion } from "./places.ts";
import { promiseQuestion } from "./promise.ts";
import type { Question } from "./question.ts";
import { riskQuestion } from "./risk.ts";
import { rushQuestion } from "./rush.ts";
import { scenarioPlanQuestion } from "./scenario-plan.ts";
import { troubleQuestion } from "./trouble.ts";

export const QUESTION_ANSWERS: { readonly [K in QuestionKind]: Question<K> } = {
  holdOut: holdOutQuestion,
  nightFill: nightFillQuestion,
  risk: riskQuestion,
  rush: rushQuestion,
  promise: promiseQuestion,
  trouble: troubleQuestion,
  freeWindows: freeWindowsQuestion,
  places: placesQuestion,
  scenarioPlan: scenarioPlanQuestion,
  levers: leversQuestion,
  contract: contractQuestion,
};
