/**
 * afterDeadline: an order with a hard deadline is complete at or before it. One conflict for each order, with the operations
 * that end later; amount = minutes from the deadline to the completion. Late against the due date is a cost (cost.ts).
 */

import type { Lot } from "./lots.ts";
import { conflictOf, type Scene } from "./scene.ts";
import { sayDuration, sayNames } from "./wording.ts";

export function checkDeadlines({ problem, look, lots, at, write }: Scene): void {
  const late = new Map<string, Lot[]>();
  for (const lot of lots.all) {
    const deadline = look.orderAt[lot.place]?.deadline ?? null;
    if (deadline === null || lot.end <= deadline || lot.end <= problem.now) continue;
    const list = late.get(lot.operation.order);
    if (list) list.push(lot);
    else late.set(lot.operation.order, [lot]);
  }
  for (const order of problem.orders) {
    const list = late.get(order.id);
    if (list === undefined || order.deadline === null) continue;
    const completion = list.reduce((latest, { end }) => Math.max(latest, end), order.deadline);
    const minutes = completion - order.deadline;
    const names = sayNames([...new Set(list.map(({ operation }) => operation.name))]);
    const sentence = `${order.name} is complete at ${at(completion)}, ${sayDuration(minutes)} after its deadline ${at(order.deadline)}: ${names}.`;
    write(
      conflictOf(
        "afterDeadline",
        list.map(({ operation }) => operation.id),
        order.id,
        [order.deadline, completion],
        minutes,
        sentence,
      ),
    );
  }
}
