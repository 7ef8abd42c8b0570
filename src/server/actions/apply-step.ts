/** A step: shop and draft changed together in one transaction, as one draft revision that one undo takes back (shop-edits.ts). */
import type { DraftAnswer } from "../../contract/api/plan.ts";
import type { StepInput } from "../../contract/api/step.ts";
import { record } from "../store/audit.ts";
import { addDraft } from "../store/plan-store.ts";
import type { Actor } from "./actor.ts";
import { changeDraft, editsOf, meaninglessIn } from "./edit-draft.ts";
import { fitPlan } from "./fit-plan.ts";
import type { Office } from "./planning-state.ts";
import { type Expected, Refused } from "./refused.ts";
import { tryEdits } from "./shop-edits.ts";

export const applyStep = (
  office: Office,
  actor: Actor,
  expected: Expected,
  { edits, plan, note }: StepInput,
): Promise<DraftAnswer> =>
  changeDraft(office, expected, async (locked) => {
    const { store, state } = locked;
    const step = await editsOf(office, locked, actor, (held) => tryEdits(held, edits));
    const faults = plan === null ? [] : meaninglessIn(step.problem, plan);
    if (faults.length > 0) throw new Refused("invalid", faults[0]?.message ?? "", faults);
    const recorded = await step.write();
    const number = await addDraft(store, {
      previous: state.draft.number,
      plan: plan ?? fitPlan(step.problem, state.draft.plan),
      note: note || "Changed the shop",
      author: actor.name,
      basedOn: state.draft.basedOn,
      edits: recorded,
    });
    await record(store, actor.name, "stepped", `draft ${number}`, { note, edits: edits.map(({ kind, id }) => `${kind} ${id}`) });
    return number;
  });
