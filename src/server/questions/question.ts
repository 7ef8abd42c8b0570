/**
 * What a kind of question is: who may ask, and the function that answers. The function is pure; it runs in a
 * thread of its own on a copy of the shop, so it may take its time, as long as it looks at `shouldStop`.
 */
import type { QuestionAnswer, QuestionKind, QuestionParsed, QuestionProgress } from "../../contract/api/question.ts";
import type { Role } from "../../contract/api/role.ts";
import type { ProblemFile } from "../../contract/problem-file.ts";
import type { Plan } from "../../core/problem/plan.ts";
import type { Problem } from "../../core/problem/problem.ts";
import type { RiskProfile } from "../../core/risk/risk-profile.ts";
import type { Rates } from "../../core/scenario/money.ts";

/** What is asked about: the draft as of now, or a scenario. Nothing free begins before its people can have been told. */
export type QuestionState = {
  readonly problem: Problem;
  readonly plan: Plan;
  /** The shop as people wrote it, of which `problem` is the compilation with running work carried on. */
  readonly shop: ProblemFile;
  /** What may go otherwise than planned, as the shop has settled it; left out: common practice. */
  readonly risk?: RiskProfile;
  /** What hours cost; left out: nothing is reckoned in money. */
  readonly rates?: Rates;
};

export type Telling<K extends QuestionKind> = {
  readonly seed: number;
  readonly shouldStop: () => boolean;
  readonly onProgress: (progress: QuestionProgress) => void;
  /** A first answer while the work goes on. */
  readonly soFar: (answer: QuestionAnswer<K>) => void;
};

export type Question<K extends QuestionKind = QuestionKind> = {
  readonly kind: K;
  readonly allowed: readonly Role[];
  /** Called off in the middle, it answers with what it has; what it throws fails the question with the message. */
  answerTo(state: QuestionState, input: QuestionParsed<K>, telling: Telling<K>): QuestionAnswer<K> | Promise<QuestionAnswer<K>>;
};

export const defineQuestion = <K extends QuestionKind>(question: Question<K>): Question<K> => question;

/** Expected trouble while answering: the message is for whoever asked. */
export class CannotAnswer extends Error {
  override readonly name = "CannotAnswer";
}
