/** "What would help?": every lever is pulled in a copy of the shop and tried by a short search of its own. */
import type { QuestionAnswer } from "../../contract/api/question.ts";
import { changedProblem } from "../../contract/scenario/changed-problem.ts";
import { changeOfLever } from "../../contract/scenario/lever-change.ts";
import type { Lever } from "../../core/scenario/lever-candidates.ts";
import { rankLevers } from "../../core/scenario/levers.ts";
import { CannotAnswer, defineQuestion } from "./question.ts";

/** Plans are large; nobody makes a scenario of the tenth. */
const PLANS_KEPT = 6;

type Ranked = QuestionAnswer<"levers">["ranked"][number];

export const leversQuestion = defineQuestion({
  kind: "levers",
  allowed: ["planner", "administrator"],
  answerTo(state, { order, due, buyDays, steps }, { seed, shouldStop, onProgress }) {
    const { plan } = state;
    const problem =
      due === undefined ? state.problem : { ...state.problem, orders: promisedFor(state.problem.orders, order, due) };
    const shop = due === undefined ? state.shop : { ...state.shop, orders: promisedFor(state.shop.orders, order, due) };
    if (!problem.orders.some(({ id }) => id === order)) throw new CannotAnswer(`There is no order "${order}" in the plan.`);
    let total = 0;
    const outcome = rankLevers(problem, plan, order, {
      seed,
      shouldStop,
      ...(steps === undefined ? {} : { steps }),
      buyMinutes: buyDays === null ? null : Math.round(buyDays * 1440),
      pull(levers) {
        const changed = changedProblem(shop, problem, levers.map(changeOfLever));
        return changed.ok ? changed.value : null;
      },
      onProgress(done, all) {
        total = all;
        onProgress({ done, total: all, word: "Tries what might help, one by one" });
      },
    });
    if (outcome === null)
      throw new CannotAnswer(`Order "${order}" has no due date, so nothing makes it less late. Give it one first.`);
    const { ranked, searched, ...rest } = outcome;
    return {
      ...rest,
      searched: searched === null ? null : { finish: searched.finish, late: searched.late },
      total: Math.max(total, rest.tried),
      ranked: ranked.map(
        ({ lever, plan: found, ...answer }, i): Ranked => ({
          ...answer,
          kind: kindOf(lever),
          change: changeOfLever(lever),
          plan: i < PLANS_KEPT ? (found as Ranked["plan"]) : null,
        }),
      ),
    };
  },
});

const promisedFor = <O extends { readonly id: string }>(orders: readonly O[], id: string, due: number): O[] =>
  orders.map((order) => (order.id === id ? { ...order, due } : order));

function kindOf(lever: Lever): Ranked["kind"] {
  if (lever.kind === "crewHours") return lever.span;
  return lever.kind === "machineHours" ? "machineHour" : lever.kind;
}
