/** "When can I have it?": the date, how sure it is by simulation, and what it assumes, in sentences to be quoted with it. */
import type { QuestionAnswer } from "../../contract/api/question.ts";
import { present } from "../../core/ground/invariant.ts";
import type { OrderId } from "../../core/orders/order.ts";
import { orderCompletions } from "../../core/plan/plan-difference.ts";
import { type AskConfidence, type PromiseDate, promise } from "../../core/plan/promise.ts";
import type { Plan } from "../../core/problem/plan.ts";
import type { Problem } from "../../core/problem/problem.ts";
import { type OverRest, overRestOfDate } from "../../core/risk/over-rest.ts";
import { createReplay, mergeRuns, type RunsPart, simulateRuns } from "../../core/risk/replay.ts";
import { DEFAULT_RISK_PROFILE, type RiskProfile } from "../../core/risk/risk-profile.ts";
import { type Decider, dateAt, deciders } from "../../core/risk/risk-report.ts";
import { fitView, priceOf } from "./fit-view.ts";
import { assumptionSentence, riskSentences } from "./promise-words.ts";
import { CannotAnswer, defineQuestion, type Telling } from "./question.ts";
import { wantedIn } from "./wanted.ts";

/** Simulated courses between two looks at whether to stop. */
const CHUNK = 100;
const DECIDERS_MOST = 4;
const FIT_WORD = "Ways to fit it in";
const RISK_WORD = "Simulated courses of the plan";

export const promiseQuestion = defineQuestion({
  kind: "promise",
  allowed: ["requester", "planner", "administrator"],
  answerTo(state, { order, onlyAsItStands, runs }, telling) {
    const { problem, plan } = state;
    const { seed, shouldStop, onProgress } = telling;
    const wanted = wantedIn(state, order);
    const seen = new Map<Plan, Seen>();
    const outcome = promise(problem, plan, wanted, {
      seed,
      shouldStop,
      onlyAsItStands,
      onProgress: ({ done, total }) => onProgress({ done, total, word: FIT_WORD }),
      ...(runs > 0 ? { confidence: simulation(runs, state.risk ?? DEFAULT_RISK_PROFILE, telling, seen) } : {}),
    });
    if (!outcome.ok) throw new CannotAnswer(`${outcome.error.message}.`);
    const { order: id, due, asItStands, withMoves, assumptions, blocked, problem: joined } = outcome.value;
    type Date = NonNullable<QuestionAnswer<"promise">["asItStands"]>;
    const price = priceOf(state.rates, problem, joined, plan);
    const dated = (date: PromiseDate | null): Date | null =>
      date && {
        finish: date.finish,
        fit: fitView(plan, date.answer, price),
        // Called off in the middle, too few courses were seen to say anything.
        confidence:
          date.confidence && date.confidence.length > 0
            ? {
                ...{ runs, dates: [...date.confidence] },
                decides: [...(seen.get(date.answer.plan)?.decides ?? [])],
                overRest: seen.get(date.answer.plan)?.overRest ?? null,
              }
            : null,
      };
    const sure = [asItStands, withMoves].some((date) => (date?.confidence?.length ?? 0) > 0);
    return {
      order: id,
      due,
      asItStands: dated(asItStands),
      withMoves: dated(withMoves),
      assumptions: [
        ...assumptions.map((assumption) => ({ kind: assumption.kind, sentence: assumptionSentence(joined, assumption) })),
        ...(sure
          ? riskSentences(state.risk ?? DEFAULT_RISK_PROFILE, runs).map((sentence) => ({ kind: "risk" as const, sentence }))
          : []),
      ],
      blocked: [...blocked],
    };
  },
});

/** What the courses of a plan show besides the dates. */
type Seen = { readonly decides: readonly Decider[]; readonly overRest: OverRest | null };

/** Dates from the replay of the plan under its own dispatch order; none when it was called off. */
function simulation(
  runs: number,
  profile: RiskProfile,
  { seed, shouldStop, onProgress }: Pick<Telling<"promise">, "seed" | "shouldStop" | "onProgress">,
  seen: Map<Plan, Seen>,
): AskConfidence {
  return (problem: Problem, plan: Plan, order: OrderId, percents) => {
    const replay = createReplay(problem, plan, profile);
    const index = problem.orders.findIndex(({ id }) => id === order);
    const ends: number[] = [];
    const parts: RunsPart[] = [];
    for (let firstRun = 0; firstRun < runs; firstRun += CHUNK) {
      if (shouldStop()) return [];
      const part = simulateRuns(replay, { seed, firstRun, runs: Math.min(CHUNK, runs - firstRun), order: index });
      parts.push(part);
      ends.push(...endsOf(part, index, problem.orders.length));
      onProgress({ done: ends.length, total: runs, word: RISK_WORD });
    }
    const planned = orderCompletions(problem, plan).get(order) ?? null;
    seen.set(plan, {
      decides: deciders(replay, mergeRuns(parts), DECIDERS_MOST),
      overRest: planned === null ? null : overRestOfDate(replay.network, index, planned, ends),
    });
    return percents.map((percent) => ({ percent, finish: dateAt(ends, percent / 100) }));
  };
}

const endsOf = ({ completions, runs }: RunsPart, order: number, orders: number): number[] =>
  Array.from({ length: runs }, (_, run) => present(completions[run * orders + order], "completion"));
