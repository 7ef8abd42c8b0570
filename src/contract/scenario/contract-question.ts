/**
 * The contract question on a shop's file: the contract's orders are added to a copy of the shop, alone and with each help that is
 * offered (one more machine, a shift), the copy is planned, and where it breaks first is said - against the same shop planned just as
 * long without the contract, so that nothing is blamed on it that planning anew would change anyway. The planning horizon reaches as
 * far as the contract does. Nothing outside the copy changes.
 */
import { dayOfDate, wallClock } from "../../core/calendar/wall-clock.ts";
import { err, type Fault, ok, type Result } from "../../core/ground/result.ts";
import type { Plan } from "../../core/problem/plan.ts";
import type { Problem } from "../../core/problem/problem.ts";
import { type ContractLoad, contractLoad } from "../../core/scenario/contract-load.ts";
import type { ProblemFile } from "../problem-file.ts";
import type { NewOrders, ScenarioChange } from "./change.ts";
import { changedProblem } from "./changed-problem.ts";
import { horizonFor, newOrderIds } from "./new-orders.ts";

export type ContractHelp = { readonly name: string; readonly changes: readonly ScenarioChange[] };
export type ContractVariant = {
  readonly name: string;
  /** The contract and the help, as changes of a scenario. */
  readonly changes: readonly ScenarioChange[];
  readonly load: ContractLoad;
  readonly plan: Plan;
  readonly problem: Problem;
};

export function askContract(
  shop: ProblemFile,
  problem: Problem,
  plan: Plan,
  contract: NewOrders,
  helps: readonly ContractHelp[],
  /** Plans a shop, beginning with a plan of it; `name` null: without the contract. null ends the question. */
  planIt: (problem: Problem, start: Plan, name: string | null) => Plan | null,
): Result<readonly ContractVariant[], readonly Fault[]> {
  const first = dayOfDate(contract.from);
  if (first === null) return err([{ at: "from", message: `there is no date ${contract.from}` }]);
  const last = wallClock(problem.zone, problem.origin).minuteAt(first + 7 * contract.weeks + contract.leadDays, 0);
  if (last < problem.now) return err([{ at: "from", message: "the contract is over by now; give a later first date" }]);
  const horizon = horizonFor([contract], problem.horizon, problem.zone, problem.origin);
  const far = { ...shop, horizon };
  const asOfNow = { ...problem, horizon };
  const ids = new Set(newOrderIds(shop, contract).map(({ id }) => id));
  const variants: ContractVariant[] = [];
  const alone = planIt(problem, plan, null);
  if (alone === null) return ok([]);
  let start = alone;
  for (const help of [{ name: "", changes: [] }, ...helps]) {
    const changes = [contract, ...help.changes];
    const changed = changedProblem(far, asOfNow, changes);
    if (!changed.ok) return changed;
    const found = planIt(changed.value, start, help.name);
    if (found === null) break;
    if (variants.length === 0) start = found;
    const load = contractLoad({ problem, plan: alone }, { problem: changed.value, plan: found }, ids);
    variants.push({ name: help.name, changes, load, plan: found, problem: changed.value });
  }
  return ok(variants);
}
