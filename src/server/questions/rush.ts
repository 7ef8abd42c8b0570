/** "Fit it in": the first answers at once, better ones as they are found. */

import type { QuestionAnswer } from "../../contract/api/question.ts";
import { whyNotSooner } from "../../core/explain/why-not-sooner.ts";
import type { RushAnswer } from "../../core/plan/rush.ts";
import { rush } from "../../core/plan/rush.ts";
import { wantedOrder } from "../../core/plan/wanted-order.ts";
import { fitView, priceOf } from "./fit-view.ts";
import { CannotAnswer, defineQuestion } from "./question.ts";
import { wantedIn } from "./wanted.ts";

const NOT_YET = { blocked: [], tried: null, soonest: null, settled: null };

export const rushQuestion = defineQuestion({
  kind: "rush",
  allowed: ["planner", "administrator"],
  answerTo(state, { order, iterations, answersMost }, { seed, shouldStop, onProgress, soFar }) {
    const { plan } = state;
    const wanted = wantedIn(state, order);
    const id = typeof wanted === "string" ? wanted : wanted.order.id;
    const due = (typeof wanted === "string" ? state.problem.orders.find((known) => known.id === id) : wanted.order)?.due ?? null;
    const joined = wantedOrder(state.problem, wanted);
    if (!joined.ok) throw new CannotAnswer(`${joined.error.message}.`);
    const price = priceOf(state.rates, state.problem, joined.value.problem, plan);
    type Rest = Pick<QuestionAnswer<"rush">, "before" | "blocked" | "tried" | "soonest" | "settled">;
    const answerOf = (
      answers: readonly RushAnswer[],
      { before, blocked, tried, soonest, settled }: Rest,
    ): QuestionAnswer<"rush"> => ({
      order: id,
      due,
      before,
      answers: answers.map((answer) => fitView(plan, answer, price)),
      ...{ blocked, tried, soonest, settled },
    });
    const outcome = rush(state.problem, plan, wanted, {
      seed,
      shouldStop,
      ...(iterations === undefined ? {} : { iterations }),
      ...(answersMost === undefined ? {} : { answersMost }),
      onFirst(answers, before) {
        soFar(answerOf(answers, { before, ...NOT_YET }));
      },
      onProgress({ done, total, answers, before, changed }) {
        onProgress({ done, total, word: "Searches for better answers" });
        if (changed) soFar(answerOf(answers(), { before, ...NOT_YET }));
      },
    });
    if (!outcome.ok) throw new CannotAnswer(`${outcome.error.message}.`);
    const { before, answers, blocked, tried, settled } = outcome.value;
    const { finish } = outcome.value.soonest;
    const soonest = { finish, reasons: [...whyNotSooner(outcome.value.soonest)] };
    const proved = settled === null ? null : { answer: settled.answer, open: [...settled.open] };
    return answerOf(answers, { before, blocked: blocked.map(({ sentence }) => sentence), tried, soonest, settled: proved });
  },
});
