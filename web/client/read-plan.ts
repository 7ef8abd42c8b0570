/**
 * Reads the draft plan with its problem, in columns: thousands of operations are a seventh of their text and share equal parts.
 * Promises: as long as the problem is the one of the reading before, it is the very same object.
 */
import { type PlanView, planViewSchema } from "../../src/contract/api/plan.ts";
import { type KnownProblem, type PlanColumns, planOfColumns } from "../../src/contract/api/plan-columns.ts";
import { PLAN_COLUMNS } from "./ahead.ts";
import { request } from "./request.ts";

let known: KnownProblem | null = null;

export async function readPlan(signal?: AbortSignal): Promise<PlanView> {
  const read = (answer: unknown): unknown => {
    const view = planOfColumns(answer, known) as PlanView;
    known = { mark: (answer as PlanColumns).mark, problem: view.problem };
    return view;
  };
  const { value } = await request(planViewSchema, PLAN_COLUMNS, { checkedThere: true, read, ...(signal ? { signal } : {}) });
  return value;
}
