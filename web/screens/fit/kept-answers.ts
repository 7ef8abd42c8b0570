/** The answers that somebody looks at, kept while the eye goes to the board and back. Lives as long as the page is open. */
import { useSyncExternalStore } from "react";
import type { OrderBody } from "../../../src/contract/api/order.ts";
import type { QuestionAnswer } from "../../../src/contract/api/question.ts";

export type KeptAnswers = {
  readonly order: OrderBody;
  /** Not in the book yet. */
  readonly isNew: boolean;
  readonly rush: QuestionAnswer<"rush">;
  /** The draft they were worked out for. */
  readonly draftRevision: number;
  /** The answer looked at. */
  readonly chosen: string;
};

let kept: KeptAnswers | null = null;
const listeners = new Set<() => void>();

export function keepAnswers(answers: KeptAnswers | null): void {
  kept = answers;
  for (const tell of listeners) tell();
}

export const keptAnswers = (): KeptAnswers | null => kept;

function subscribe(listener: () => void): () => void {
  listeners.add(listener);
  return () => listeners.delete(listener);
}

export const useKeptAnswers = (): KeptAnswers | null => useSyncExternalStore(subscribe, keptAnswers);
