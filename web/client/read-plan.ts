/**
 * Reads the draft plan with its problem, in columns: thousands of operations are a seventh of their text and share equal parts.
 * Promises: what a newer reading has in common with the one before - the problem, the plan, the rest field by field - stays the very
 * same object, so that whoever works on it knows that nothing has changed. Without walking through the problem.
 */
import { replaceEqualDeep } from "@tanstack/react-query";
import { type PlanView, planViewSchema } from "../../src/contract/api/plan.ts";
import { type KnownProblem, type PlanColumns, planOfColumns } from "../../src/contract/api/plan-columns.ts";
import type { Plan } from "../../src/core/problem/plan.ts";
import { samePlan } from "../../src/core/problem/same-plan.ts";
import { request } from "./request.ts";

let known: KnownProblem | null = null;

export async function readPlan(signal?: AbortSignal): Promise<PlanView> {
  const read = (answer: unknown): unknown => {
    const view = planOfColumns(answer, known) as PlanView;
    known = { mark: (answer as PlanColumns).mark, problem: view.problem };
    return view;
  };
  const { value } = await request(planViewSchema, "/plan/columns", { checkedThere: true, read, ...(signal ? { signal } : {}) });
  return value;
}

/** The newer reading, made of the parts of the older one wherever they say the same. */
export function keptAlike(old: PlanView | undefined, next: PlanView): PlanView {
  if (old === undefined || old === next) return next;
  const rest = ({ problem: _, draft: { plan: __, ...draft }, ...beside }: PlanView) => ({ ...beside, draft });
  const before = rest(old);
  const { draft, ...beside } = replaceEqualDeep(before, rest(next));
  const plan = samePlan(old.draft.plan as Plan, next.draft.plan as Plan) ? old.draft.plan : next.draft.plan;
  const { problem } = next;
  return draft === before.draft && plan === old.draft.plan
    ? keptWhole(old, { ...beside, problem, draft: old.draft })
    : { ...beside, problem, draft: { ...draft, plan } };
}

const keptWhole = (old: PlanView, next: PlanView): PlanView =>
  (Object.keys(next) as (keyof PlanView)[]).every((key) => next[key] === old[key]) ? old : next;
