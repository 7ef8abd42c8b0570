/**
 * An order from a file of its own, read as part of its problem: the order in the problem file's shape, with optional `links` and
 * `kitSpans`. An order that the problem has already is asked for by a file that says only `{ "id": "..." }`.
 */
import { readProblemFile } from "../contract/problem-file.ts";
import type { WantedOrder } from "../core/plan/wanted-order.ts";
import type { Problem } from "../core/problem/problem.ts";
import { CommandFailure, failureOfFaults } from "./failure.ts";
import { insteadOf } from "./known-ids.ts";
import { readJson } from "./read-input.ts";

type Loose = Record<string, unknown>;
const isObject = (value: unknown): value is Loose => typeof value === "object" && value !== null && !Array.isArray(value);
const listIn = (object: Loose, key: string): readonly unknown[] => (Array.isArray(object[key]) ? object[key] : []);

export function readOrder(orderFile: string, problemFile: string, problem: Problem): WantedOrder {
  const json = readJson(orderFile);
  if (!isObject(json) || typeof json.id !== "string")
    throw new CommandFailure(`${orderFile}: expected one order with an id, in the problem file's shape`);
  const { id } = json;
  if (problem.orders.some((order) => order.id === id)) {
    if (json.operations !== undefined)
      throw new CommandFailure(
        `${orderFile}: ${problemFile} has an order ${id} already; ask for it with {"id": "${id}"}, or give the new one another id`,
      );
    return id;
  }
  if (json.operations === undefined) {
    const instead = insteadOf(
      id,
      problem.orders.map((order) => order.id),
    );
    throw new CommandFailure(
      `${orderFile}: ${problemFile} has no order ${id}; ${instead}. A new order needs its "operations", as in the problem file`,
    );
  }
  const whole = readJson(problemFile);
  if (!isObject(whole)) throw new CommandFailure(`${problemFile}: expected a problem file`);
  const { links, kitSpans, ...order } = json;
  const joined = readProblemFile({
    ...whole,
    orders: [...listIn(whole, "orders"), order],
    links: [...listIn(whole, "links"), ...listIn({ links }, "links")],
    kitSpans: [...listIn(whole, "kitSpans"), ...listIn({ kitSpans }, "kitSpans")],
  });
  if (!joined.ok) throw failureOfFaults(`${orderFile} in ${problemFile}`, joined.error);
  const { value } = joined;
  const found = value.orders.find((candidate) => candidate.id === id);
  if (found === undefined) throw new CommandFailure(`${orderFile}: order ${id} was not read`);
  return {
    order: found,
    operations: value.operations.filter((operation) => operation.order === id),
    links: value.links.slice(problem.links.length),
    kitSpans: value.kitSpans.slice(problem.kitSpans.length),
  };
}
