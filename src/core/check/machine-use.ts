/**
 * machineDoubleUse: a machine takes one operation at a time, from its start to its end, rests and closures included.
 * One conflict for each machine and unbroken stretch; amount = operations too many at the worst minute.
 */

import { Uses } from "./excess.ts";
import type { Lot } from "./lots.ts";
import { conflictOf, type Scene } from "./scene.ts";
import { sayInterval, sayNames } from "./wording.ts";

export function checkMachineUse({ problem, look, lots, at, name, write }: Scene): void {
  for (const [id, list] of lots.onMachine) {
    if (areApart(list)) continue;
    const uses = new Uses<Lot>();
    for (const lot of list) uses.add([lot.start, lot.end], 1, lot);
    for (const { interval, users, excess } of uses.stretchesOfExcess(null, problem.now)) {
      const operations = [...users].map(({ operation }) => operation);
      const names = [...new Set(operations.map(name))].sort();
      const who = names.length === 1 ? `lots of ${names[0]}` : sayNames(names);
      const sentence = `${look.machines.get(id)?.name ?? id} is taken by more than one operation ${sayInterval(at, interval)}: ${who}.`;
      write(
        conflictOf(
          "machineDoubleUse",
          operations.map((operation) => operation.id),
          id,
          interval,
          excess,
          sentence,
        ),
      );
    }
  }
}

/** Whether each of the lots, which are in the order of their starts, begins when all before it have ended. */
function areApart(list: readonly Lot[]): boolean {
  let taken = Number.NEGATIVE_INFINITY;
  for (const { start, end } of list) {
    if (start < taken) return false;
    if (end > taken) taken = end;
  }
  return true;
}
