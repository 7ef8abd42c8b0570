/** Adopting an answer: the order, if it is new, and the plan with it come into the draft as one step, which one undo takes back. */
import { useQueryClient } from "@tanstack/react-query";
import { useState } from "react";
import type { OrderBody } from "../../../src/contract/api/order.ts";
import { draftAnswerSchema, type PlanView } from "../../../src/contract/api/plan.ts";
import type { FitAnswer } from "../../../src/contract/api/questions/fit-answer.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import { errorOf } from "../../client/api-problem.ts";
import { request } from "../../client/request.ts";
import { keys } from "../../client/shop.ts";
import { toast } from "../../parts/toast.tsx";
import { words } from "../../words/words.ts";
import { labelOf, planWith } from "./fit-model.ts";
import { keepAnswers } from "./kept-answers.ts";

const w = words.fit;

export type Adopted = { readonly order: string; readonly revision: number; readonly label: string; readonly finish: number };
export type ToAdopt = {
  readonly view: PlanView;
  /** The draft the answer was worked out for. */
  readonly revision: number;
  readonly fit: FitAnswer;
  readonly order: OrderBody;
  readonly isNew: boolean;
};

export function useAdopt() {
  const client = useQueryClient();
  const [adopted, setAdopted] = useState<Adopted | null>(null);
  const [refusal, setRefusal] = useState<Error | null>(null);
  const reread = async (): Promise<void> => {
    await Promise.all([client.invalidateQueries({ queryKey: keys.plan }), client.invalidateQueries({ queryKey: keys.orders })]);
  };
  return {
    adopted,
    refusal,
    refuse: setRefusal,
    forget(): void {
      setAdopted(null);
      setRefusal(null);
    },
    async adopt({ view, revision, fit, order, isNew }: ToAdopt): Promise<boolean> {
      setRefusal(null);
      const label = labelOf(fit);
      const body = {
        edits: isNew ? [{ kind: "orders", id: order.id, after: order }] : [],
        plan: planWith(view.draft.plan as Plan, fit),
        note: w.adoptNote(order.id, label),
      };
      try {
        const { value } = await request(draftAnswerSchema, "/plan/steps", { method: "POST", body, revision });
        setAdopted({ order: order.id, revision: value.draft.revision, label, finish: fit.finish });
        keepAnswers(null);
        toast(w.adopted(order.id));
        await reread();
        return true;
      } catch (error) {
        setRefusal(errorOf(error));
        return false;
      }
    },
    async undo({ order, revision }: Adopted): Promise<void> {
      setRefusal(null);
      try {
        await request(draftAnswerSchema, "/plan/draft/undo", { method: "POST", revision });
        setAdopted(null);
        toast(w.undone(order));
        await reread();
      } catch (error) {
        setRefusal(errorOf(error));
      }
    },
  };
}
