/**
 * Questions: what takes longer than a click and is answered by a worker, watched and called off. One table of kinds; each kind
 * has its input and its answer in a file of its own below `questions/`.
 */
import { z } from "zod";
import { contractAnswerSchema, contractInputSchema } from "./questions/contract.ts";
import { freeWindowsAnswerSchema, freeWindowsInputSchema } from "./questions/free-windows.ts";
import { holdOutAnswerSchema, holdOutInputSchema } from "./questions/hold-out.ts";
import { leversAnswerSchema, leversInputSchema } from "./questions/levers.ts";
import { nightFillAnswerSchema, nightFillInputSchema } from "./questions/night-fill.ts";
import { placesAnswerSchema, placesInputSchema } from "./questions/places.ts";
import { promiseAnswerSchema, promiseInputSchema } from "./questions/promise.ts";
import { riskAnswerSchema, riskInputSchema } from "./questions/risk.ts";
import { rushAnswerSchema, rushInputSchema } from "./questions/rush.ts";
import { scenarioPlanAnswerSchema, scenarioPlanInputSchema } from "./questions/scenario-plan.ts";
import { troubleAnswerSchema, troubleInputSchema } from "./questions/trouble.ts";

/** Every kind of question: what is asked and what is answered. */
export const QUESTIONS = {
  nightFill: { input: nightFillInputSchema, answer: nightFillAnswerSchema },
  holdOut: { input: holdOutInputSchema, answer: holdOutAnswerSchema },
  risk: { input: riskInputSchema, answer: riskAnswerSchema },
  rush: { input: rushInputSchema, answer: rushAnswerSchema },
  promise: { input: promiseInputSchema, answer: promiseAnswerSchema },
  trouble: { input: troubleInputSchema, answer: troubleAnswerSchema },
  freeWindows: { input: freeWindowsInputSchema, answer: freeWindowsAnswerSchema },
  places: { input: placesInputSchema, answer: placesAnswerSchema },
  scenarioPlan: { input: scenarioPlanInputSchema, answer: scenarioPlanAnswerSchema },
  levers: { input: leversInputSchema, answer: leversAnswerSchema },
  contract: { input: contractInputSchema, answer: contractAnswerSchema },
} as const;

export type QuestionKind = keyof typeof QUESTIONS;
export const QUESTION_KINDS = Object.keys(QUESTIONS) as [QuestionKind, ...QuestionKind[]];
/** As people send it, and as it is after defaults. */
export type QuestionInput<K extends QuestionKind> = z.input<(typeof QUESTIONS)[K]["input"]>;
export type QuestionParsed<K extends QuestionKind> = z.output<(typeof QUESTIONS)[K]["input"]>;
export type QuestionAnswer<K extends QuestionKind> = z.output<(typeof QUESTIONS)[K]["answer"]>;

type AnyInput = { [K in QuestionKind]: QuestionParsed<K> }[QuestionKind];

/** A union over a table cannot be typed by its members; AnyInput above says the same from the same table. */
export const questionInputSchema = z
  .discriminatedUnion(
    "kind",
    Object.values(QUESTIONS).map(({ input }) => input) as unknown as [typeof holdOutInputSchema, typeof holdOutInputSchema],
  )
  .meta({ id: "QuestionInput" }) as unknown as z.ZodType<AnyInput>;

export const QUESTION_STATES = ["queued", "running", "cancelling", "done", "cancelled", "failed"] as const;
export type QuestionState = (typeof QUESTION_STATES)[number];

export const questionProgressSchema = z.object({
  done: z.number(),
  total: z.number().nullable().meta({ description: "null: nobody knows yet." }),
  word: z.string().meta({ description: "What is being done, in words." }),
});
export type QuestionProgress = z.infer<typeof questionProgressSchema>;

const questionHead = z.object({
  id: z.string(),
  state: z.enum(QUESTION_STATES),
  askedBy: z.string(),
  progress: questionProgressSchema.nullable(),
  draftRevision: z.int().nullable().meta({ description: "The draft it is about; null: not begun." }),
  stale: z.boolean().meta({ description: "The shop or the draft has changed since." }),
  error: z.string().nullable(),
  createdAt: z.string(),
  finishedAt: z.string().nullable(),
});
export type QuestionHead = z.infer<typeof questionHead>;

/** While it runs, `answer` may hold what is known so far. */
export const questionViewOf = <K extends QuestionKind>(kind: K) =>
  questionHead.extend({
    kind: z.literal(kind),
    answer: (QUESTIONS[kind].answer as unknown as z.ZodType<QuestionAnswer<K>>).nullable(),
  });
export type QuestionView<K extends QuestionKind = QuestionKind> = QuestionHead & {
  readonly kind: K;
  readonly answer: QuestionAnswer<K> | null;
};

export const questionViewSchema = z
  .discriminatedUnion("kind", QUESTION_KINDS.map(questionViewOf) as unknown as [ReturnType<typeof questionViewOf<"holdOut">>])
  .meta({ id: "Question" }) as unknown as z.ZodType<QuestionView>;
export const questionStartedSchema = z.object({ id: z.string() }).meta({ id: "QuestionStarted" });
