/** Orders of a contract: so many a week of one route from a date on, each an ordinary order with ids of its own. Pure. */
import type { Minute } from "../../core/calendar/minute.ts";
import { dateOfDay, dayOfDate, wallClock } from "../../core/calendar/wall-clock.ts";
import type { ShopEdit } from "../api/step.ts";
import { HORIZON_MAX } from "../file/compile-problem.ts";
import { operationSchema } from "../file/order-schema.ts";
import type { ProblemFile } from "../problem-file.ts";
import type { NewOrders } from "./change.ts";

/** Ids that the orders will have in this shop: no order of it begins with the same prefix. */
export function newOrderIds(file: ProblemFile, change: NewOrders): readonly { readonly id: string; readonly week: number }[] {
  const prefix = freePrefix(file, change.prefix);
  return Array.from({ length: change.weeks }, (_, week) =>
    Array.from({ length: change.perWeek }, (_, i) => ({ id: `${prefix}-${week + 1}-${i + 1}`, week })),
  ).flat();
}

export function newOrderEdits(file: ProblemFile, change: NewOrders): ShopEdit[] {
  const first = dayOfDate(change.from) ?? 0;
  return newOrderIds(file, change).map(({ id, week }): ShopEdit => {
    const day = first + 7 * week;
    const ids = new Map(change.route.operations.map((operation, i) => [operation.id, `${id}/${(i + 1) * 10}`]));
    return {
      kind: "orders",
      id,
      after: {
        id,
        name: `${change.route.name ?? change.route.id}, week ${week + 1}`,
        kind: "production",
        quantity: change.quantity,
        scrapPerMille: 0,
        release: dateOfDay(day),
        due: dateOfDay(day + change.leadDays),
        deadline: null,
        weight: change.weight,
        requester: null,
        operations: change.route.operations.map(({ progress: _progress, pin: _pin, ...operation }) =>
          operationSchema.parse({ ...operation, id: ids.get(operation.id) ?? operation.id }),
        ),
        links: change.route.links.map((link, i) => ({
          ...link,
          id: `${id}-link-${i + 1}`,
          from: ids.get(link.from) ?? link.from,
          to: ids.get(link.to) ?? link.to,
        })),
      },
    };
  });
}

/** Late work still finds room after the last promise. */
const DAYS_AFTER = 28;

/** How far must be planned so that the last of these orders may even be late: a plan minute, at least `horizon`. */
export function horizonFor(changes: readonly { readonly kind: string }[], horizon: Minute, zone: string, origin: string): Minute {
  const clock = wallClock(zone, origin);
  const ends = changes
    .filter((change): change is NewOrders => change.kind === "newOrders")
    .map(({ from, weeks, leadDays }) => {
      const first = dayOfDate(from);
      return first === null ? 0 : clock.minuteAt(first + 7 * weeks + leadDays + DAYS_AFTER, 0);
    });
  return Math.min(Math.max(horizon, ...ends), Math.max(horizon, HORIZON_MAX));
}

function freePrefix(file: ProblemFile, wish: string): string {
  const taken = (prefix: string): boolean => file.orders.some(({ id }) => id.startsWith(`${prefix}-`));
  if (!taken(wish)) return wish;
  for (let n = 2; ; n += 1) if (!taken(`${wish}${n}`)) return `${wish}${n}`;
}
