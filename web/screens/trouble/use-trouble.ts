/** One trouble from the telling to the taking in: asked of a worker, answered bit by bit, taken in as one step that one undo takes back. */
import { useQueryClient } from "@tanstack/react-query";
import { useState } from "react";
import { draftAnswerSchema } from "../../../src/contract/api/plan.ts";
import type { RepairAnswer, ToldTrouble } from "../../../src/contract/api/questions/trouble.ts";
import { type Asking, useQuestion } from "../../client/question.ts";
import { request } from "../../client/request.ts";
import { keys } from "../../client/shop.ts";
import { words } from "../../words/words.ts";

export type Told = { readonly trouble: ToldTrouble; readonly sentence: string };

export type Telling = {
  /** null: nothing went wrong, or it is taken in. */
  readonly told: Told | null;
  readonly asking: Asking<"trouble">;
  readonly sending: boolean;
  readonly refused: string | null;
  tell(told: Told): void;
  again(): void;
  /** null: nothing is moved. Resolves to whether it was taken in. */
  takeIn(answer: RepairAnswer | null): Promise<boolean>;
  never(): void;
};

export function useTrouble(): Telling {
  const asking = useQuestion("trouble");
  const client = useQueryClient();
  const [told, setTold] = useState<Told | null>(null);
  const [sending, setSending] = useState(false);
  const [refused, setRefused] = useState<string | null>(null);
  // A refused question is told by `asking.error`.
  const ask = (trouble: ToldTrouble): void => void asking.ask({ trouble }).catch(() => undefined);
  const never = (): void => {
    asking.cancel();
    setTold(null);
    setRefused(null);
  };
  return {
    told,
    asking,
    sending,
    refused,
    tell(next) {
      setRefused(null);
      setTold(next);
      ask(next.trouble);
    },
    again() {
      setRefused(null);
      if (told) ask(told.trouble);
    },
    async takeIn(answer) {
      const edits = asking.answer?.edits;
      if (!told || !edits || asking.draftRevision === null) return false;
      setSending(true);
      setRefused(null);
      try {
        const body = { edits, plan: answer?.plan ?? null, note: told.sentence };
        await request(draftAnswerSchema, "/plan/steps", { method: "POST", body, revision: asking.draftRevision });
        // The screen shows the shop with the step in it before anybody can press Undo.
        await client.invalidateQueries({ queryKey: keys.plan });
        for (const queryKey of [keys.orders, ["plant"]]) void client.invalidateQueries({ queryKey });
        never();
        return true;
      } catch (error) {
        setRefused(words.trouble.refused(error instanceof Error ? error.message : String(error)));
        return false;
      } finally {
        setSending(false);
      }
    },
    never,
  };
}
