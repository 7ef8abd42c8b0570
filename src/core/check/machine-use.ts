/**
 * machineDoubleUse: a machine takes one operation at a time, from its start to its end, rests and closures included.
 * One conflict for each machine and unbroken stretch; amount = operations too many at the worst minute.
 */

import { stretchesOfExcess, type Use } from "./excess.ts";
import type { Lot } from "./lots.ts";
import { conflictOf, type Scene } from "./scene.ts";
import { sayInterval, sayNames } from "./wording.ts";

export function checkMachineUse({ problem, look, lots, at, name, write }: Scene): void {
  const uses = new Map<string, Use<Lot>[]>();
  for (const lot of lots.all) {
    for (const machine of new Set(lot.mode?.machines)) {
      const use = { interval: [lot.start, lot.end] as const, amount: 1, user: lot };
      const list = uses.get(machine);
      if (list) list.push(use);
      else uses.set(machine, [use]);
    }
  }
  for (const [id, list] of uses) {
    for (const { interval, users, excess } of stretchesOfExcess(list, null, problem.now)) {
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
