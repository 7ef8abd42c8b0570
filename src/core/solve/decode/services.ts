/**
 * Maintenance due by run hours: puts services of a rule's list between the work of its machine, each before the counter passes
 * the limit, in the order of the list; work that stands in the way goes to the bank. Those at the list's end stay off.
 */
import type { DenseRule } from "./model.ts";
import { bestPlace, type Choosing, takeOff } from "./place-operation.ts";
import type { Placement } from "./placement.ts";
import { type Bank, insertSettled, removeSettled } from "./settle.ts";
import type { State } from "./state.ts";

/** The first work on the machine that takes the counter past the limit, and what comes before it. */
function firstOverdue(state: State, rule: DenseRule): { readonly at: Placement; readonly before: Placement | undefined } | null {
  let counter = rule.counter;
  let before: Placement | undefined;
  for (const p of state.lists[rule.machine]!) {
    counter += p.run;
    if (counter > rule.limit) return { at: p, before };
    if (state.model.ops[p.op]!.rule === rule.index) counter = 0;
    before = p;
  }
  return null;
}

/** True when every rule holds afterwards; work taken off stands in the bank. */
export function placeServices(state: State, choosing: Choosing, bank: Bank): boolean {
  let all = true;
  for (const rule of state.model.rules) {
    const isPlaced = (op: number): boolean =>
      state.model.ops[op]!.finished || state.model.ops[op]!.items.some((item) => state.placed[item] !== null);
    // one of its lots had to leave: a service is done whole or not
    for (const op of rule.ops) {
      const service = state.model.ops[op]!;
      if (isPlaced(op) && !state.complete(service)) takeOff(state, service, bank);
    }
    const firstOff = rule.ops.findIndex((op) => !isPlaced(op));
    if (firstOff >= 0 && rule.ops.slice(firstOff).some(isPlaced))
      for (const op of rule.ops.slice(firstOff)) takeOff(state, state.model.ops[op]!, bank);
    for (let guard = 0; guard <= rule.ops.length * 2; guard++) {
      const overdue = firstOverdue(state, rule);
      if (overdue === null) break;
      const service = rule.ops.find((op) => !isPlaced(op));
      if (service === undefined) {
        all = false;
        break;
      }
      if (!overdue.at.fixed) {
        // all later free work gives way: it finds its place again behind the service
        for (const p of [...state.lists[rule.machine]!].reverse()) {
          if (p.start < overdue.at.start || p.fixed || state.placed[p.item] !== p) continue;
          bank.push(p.item);
          removeSettled(state, p, bank);
        }
      }
      const op = state.model.ops[service]!;
      if (op.items.length > 1) state.cutEvenly(op, 1);
      const item = op.items[0];
      const found = item === undefined ? null : bestPlace(state, item, overdue.before?.end ?? state.model.now, choosing);
      if (found === null) {
        all = false;
        break;
      }
      insertSettled(state, found, bank);
    }
  }
  return all;
}
