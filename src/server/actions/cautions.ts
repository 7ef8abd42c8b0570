/**
 * Cautions at the door: what a plan or a start needs acknowledged, and the refusal while a name is missing. What it says defers to
 * local rules: the tool keeps who said what, and never claims that something is safe.
 */
import type { AcknowledgedCaution, Acknowledgement, CautionView } from "../../contract/api/caution.ts";
import type { Mode, Operation } from "../../core/orders/operation.ts";
import { type CautionRule, cautionsOf, cautionsOfStart } from "../../core/plan/cautions.ts";
import type { PlannedLot } from "../../core/problem/plan.ts";
import type { Problem } from "../../core/problem/problem.ts";
import type { Store } from "../store/store.ts";
import { type Office, type PlanningState, planningState } from "./planning-state.ts";
import { noSuch, Refused } from "./refused.ts";
import { cautionRules } from "./settings.ts";

const viewOf = (rule: CautionRule, operations: readonly string[], sentence: string): CautionView => ({
  ...{ id: rule.id, title: rule.title, items: [...rule.items] },
  ...{ operations: [...operations], sentence },
});

export async function cautionsOfPlan(
  store: Store,
  { problem, plan }: Pick<PlanningState, "problem" | "plan">,
): Promise<readonly CautionView[]> {
  const rules = await cautionRules(store, problem);
  return cautionsOf(problem, plan, rules).map(({ rule, operations, sentence }) => viewOf(rule, operations, sentence));
}

/** Of starting the operation now, as it is published or, without a published lot, as its mode allows. */
export async function cautionsOfOperation(
  store: Store,
  problem: Problem,
  operation: Operation,
  mode: Mode,
  lots: readonly PlannedLot[],
): Promise<readonly CautionView[]> {
  const rules = await cautionRules(store, problem);
  return cautionsOfStart(problem, operation, mode, lots, rules).map((rule) =>
    viewOf(rule, [operation.id], `${operation.name} is about to start.`),
  );
}

/** Of starting it along the plan in force, else along the draft; without an operation, of the draft. */
export async function cautionsNow(office: Office, id: string | undefined): Promise<readonly CautionView[]> {
  const state = await planningState(office);
  if (id === undefined) return cautionsOfPlan(office.store, state);
  const operation = state.problem.operations.find((each) => each.id === id);
  if (operation === undefined) throw noSuch("operation", id);
  const [published = [], draft = []] = [state.problem.published, state.plan].map(
    (plan) => plan?.operations.find((each) => each.operation === id)?.lots,
  );
  const lots = published.length > 0 ? published : draft;
  const mode = operation.modes.find((each) => each.id === lots[0]?.mode) ?? operation.modes[0];
  return mode === undefined ? [] : cautionsOfOperation(office.store, state.problem, operation, mode, lots);
}

/** Every caution with its name; refused while one lacks it, names another list, or was read in another wording. */
export function acknowledged(
  cautions: readonly CautionView[],
  given: readonly Acknowledgement[],
  what: string,
): readonly AcknowledgedCaution[] {
  const unknown = given.flatMap(({ caution }, i) =>
    cautions.some(({ id }) => id === caution)
      ? []
      : [{ pointer: `/cautions/${i}/caution`, message: `there is no caution "${caution}" on it` }],
  );
  if (unknown.length > 0) throw new Refused("invalid", unknown[0]?.message ?? "", unknown);
  const missing = cautions.filter(({ id }) => !given.some(({ caution }) => caution === id));
  if (missing.length > 0) {
    const list = missing.map(({ title, id, operations }) => `"${title}" (${id}, ${operations.length} operations)`).join(", ");
    throw new Refused(
      "conflict",
      `${what} holds work that needs care: ${list}. Somebody has to go through each checklist and give their name (cautions: [{caution, by}]). The plan does not say that this work is safe; local rules and the people responsible decide.`,
    );
  }
  return cautions.map((caution) => {
    const answer = given.findLast(({ caution: id }) => id === caution.id);
    if (answer === undefined) throw new Error(`caution ${caution.id} lost its name`); // looked for above
    if (answer.items !== undefined && JSON.stringify(answer.items) !== JSON.stringify(caution.items))
      throw new Refused("conflict", `The checklist "${caution.title}" has changed since it was read. Read it again.`);
    return { ...caution, by: answer.by };
  });
}
