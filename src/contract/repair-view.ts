/** A repair as screens and the API carry it: the same for one found by a worker of the server and one found in the browser. Pure. */
import type { JudgedRepair } from "../core/plan/judged-repairs.ts";
import { orderCompletions } from "../core/plan/plan-difference.ts";
import type { Problem } from "../core/problem/problem.ts";
import type { RepairAnswer } from "./api/questions/trouble.ts";

/** `added`: an order that is new in this problem. */
export function repairView(problem: Problem, repair: JudgedRepair, added: string | null): RepairAnswer {
  const { kind, plan, conflicts, cost, difference, lateMinutes } = repair;
  const view = {
    kind,
    plan,
    conflicts,
    moved: difference.moved.map(({ operation, order, from, to, machinesBefore, machinesAfter }) => ({
      ...{ operation, order, from, to, machinesBefore, machinesAfter },
    })),
    orders: difference.orders.map(({ order, due, before, after, lateBefore, lateAfter }) => ({
      ...{ order, due, before, after, lateBefore, lateAfter },
    })),
    toldAnew: { machines: difference.machines, crews: difference.crews },
    added: added === null ? null : { order: added, end: orderCompletions(problem, plan).get(added) ?? null },
    lateMinutes,
    cost: cost.total,
  };
  return JSON.parse(JSON.stringify(view)) as RepairAnswer; // the same data, as the lists of the contract that may be written to
}
