/** The order a question is about: one of the problem's own by its id, or a new one, compiled as part of the shop it would join. */
import type { OrderBody } from "../../contract/api/order.ts";
import { applyEditsToFile } from "../../contract/apply-edits.ts";
import { compileProblem } from "../../contract/file/compile-problem.ts";
import type { WantedOrder } from "../../core/plan/wanted-order.ts";
import { LEAD_MINUTES } from "../actions/plan-ahead.ts";
import { CannotAnswer, type QuestionState } from "./question.ts";

/** A new order begins no earlier than its people can have been told, like all free work (plan-ahead.ts). */
export function wantedIn({ shop, problem }: QuestionState, order: string | OrderBody): WantedOrder {
  const earliest = problem.now + LEAD_MINUTES;
  if (typeof order === "string") {
    if (problem.orders.some(({ id }) => id === order)) return order;
    throw new CannotAnswer(`There is no order "${order}" in the book. It may have been deleted meanwhile.`);
  }
  if (problem.orders.some(({ id }) => id === order.id))
    throw new CannotAnswer(
      `There is an order "${order.id}" in the book already. Ask for it by its number, or give this one another.`,
    );
  const { problem: joined, faults } = compileProblem(applyEditsToFile(shop, [{ kind: "orders", id: order.id, after: order }]));
  const own = new Set(order.operations.map(({ id }) => id));
  const compiled = joined?.orders.find(({ id }) => id === order.id);
  if (!joined || !compiled || faults.length > 0)
    throw new CannotAnswer(`The order "${order.id}" cannot be read: ${faults[0]?.at ?? ""} ${faults[0]?.message ?? ""}`);
  return {
    order: compiled,
    operations: joined.operations
      .filter((operation) => own.has(operation.id))
      .map((operation) =>
        operation.window.end !== null || operation.pin?.start != null
          ? operation
          : { ...operation, window: { start: Math.max(operation.window.start ?? earliest, earliest), end: null } },
      ),
    links: joined.links.filter(({ to }) => own.has(to)),
    kitSpans: joined.kitSpans.filter(({ to }) => own.has(to)),
  };
}
