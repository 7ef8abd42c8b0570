/**
 * Two readings of the draft plan. Promises: what the newer has in common with the older - the problem, the plan, the rest field by field -
 * stays the very same object, so that whoever works on it knows that nothing has changed. Without walking through the problem. Pure.
 */
import { replaceEqualDeep } from "@tanstack/react-query";
import type { PlanView } from "../../src/contract/api/plan.ts";
import type { Plan } from "../../src/core/problem/plan.ts";
import { samePlan } from "../../src/core/problem/same-plan.ts";

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
