/** Can the shop take this contract on? Each variant is planned in a copy of the shop for the same time. */
import type { QuestionAnswer } from "../../contract/api/question.ts";
import { askContract } from "../../contract/scenario/contract-question.ts";
import { check } from "../../core/check/checker.ts";
import { makePlan } from "../../core/plan/make-plan.ts";
import { CannotAnswer, defineQuestion } from "./question.ts";

type Answer = QuestionAnswer<"contract">;

export const contractQuestion = defineQuestion({
  kind: "contract",
  allowed: ["planner", "administrator"],
  answerTo({ problem, plan, shop }, { contract, helps, seconds, iterations }, { seed, shouldStop, onProgress }) {
    const total = helps.length + 1;
    const steps = total + 1;
    let done = 0;
    const found = askContract(shop, problem, plan, contract, helps, (changed, start, name) => {
      if (shouldStop()) return null;
      const begun = performance.now();
      const passed = (): number => (performance.now() - begun) / 1000;
      const word =
        name === null ? "Plans the shop as it is" : name === "" ? "Plans it with the contract" : `Plans it with ${name}`;
      const outcome = makePlan(changed, {
        seed,
        start,
        ...(iterations === undefined ? {} : { iterations }),
        shouldStop: () => shouldStop() || (iterations === undefined && passed() > seconds),
        onProgress: () =>
          onProgress({ done: done + Math.min(0.99, iterations === undefined ? passed() / seconds : 0.5), total: steps, word }),
      });
      done += 1;
      return outcome.plan;
    });
    if (!found.ok) throw new CannotAnswer(`${found.error[0]?.at}: ${found.error[0]?.message}`);
    const names = <T extends { readonly id: string; readonly name: string }>(lists: readonly (readonly T[])[]) => [
      ...new Map(lists.flat().map(({ id, name }) => [id, { id, name }])).values(),
    ];
    return {
      variants: found.value.map(({ name, changes, load, plan: planned, problem: changed }) => ({
        name,
        changes: [...changes],
        load: load as Answer["variants"][number]["load"],
        conflicts: check(changed, planned).conflicts.length,
        plan: planned as Answer["variants"][number]["plan"],
      })),
      total,
      machines: names(found.value.map((variant) => variant.problem.machines)),
      crews: names(found.value.map((variant) => variant.problem.crews)),
    };
  },
});
