/** Reads the draft plan with its problem, in columns: thousands of operations are a seventh of their text and share equal parts. */
import { type PlanView, planViewSchema } from "../../src/contract/api/plan.ts";
import { planOfColumns } from "../../src/contract/api/plan-columns.ts";
import { request } from "./request.ts";

export async function readPlan(signal?: AbortSignal): Promise<PlanView> {
  const wanted = { checkedThere: true, read: planOfColumns, ...(signal ? { signal } : {}) };
  return (await request(planViewSchema, "/plan/columns", wanted)).value;
}
