/**
 * Demands: what people ask of a plan beyond the nature of the work, each of which can be lifted by one action: pins, frozen work,
 * hard deadlines, windows, "use within" links, longest waits. Machines, crews, calendars and plain sequence are no demands.
 */
import { frozenWork } from "../check/frozen.ts";
import { isBegun } from "../check/lots.ts";
import { type SayMinute, sayDuration, sayMinutes } from "../check/wording.ts";
import type { LinkId } from "../orders/link.ts";
import type { OperationId } from "../orders/operation.ts";
import type { OrderId } from "../orders/order.ts";
import type { Problem } from "../problem/problem.ts";
import { nameOf } from "./reason.ts";

export type Demand =
  | { readonly kind: "pin" | "frozen" | "window" | "maxWait"; readonly operation: OperationId }
  | { readonly kind: "deadline"; readonly order: OrderId }
  | { readonly kind: "maxLag"; readonly link: LinkId };

export type ExplainedDemand = {
  readonly demand: Demand;
  readonly sentence: string;
  /** What lifting it does, as a button says it. */
  readonly relaxation: string;
};

export const demandKey = (demand: Demand): string => JSON.stringify(demand);

export function demandsOf(problem: Problem): readonly Demand[] {
  const frozen = new Set(frozenWork(problem).kept.map(({ operation }) => operation));
  return [
    ...problem.operations.flatMap((operation): Demand[] => {
      const { id, pin, window, modes } = operation;
      const own: Demand[] = [];
      if (pin !== null && (!isBegun(operation) || pin.machines !== null)) own.push({ kind: "pin", operation: id });
      if (frozen.has(id)) own.push({ kind: "frozen", operation: id });
      if (window.start !== null || window.end !== null) own.push({ kind: "window", operation: id });
      if (modes.some(({ phases }) => phases.some(({ maxWait }) => maxWait !== null)))
        own.push({ kind: "maxWait", operation: id });
      return own;
    }),
    ...problem.orders.flatMap(({ id, deadline }): Demand[] => (deadline === null ? [] : [{ kind: "deadline", order: id }])),
    ...problem.links.flatMap((link): Demand[] =>
      link.kind === "lag" && link.maxLag !== null ? [{ kind: "maxLag", link: link.id }] : [],
    ),
  ];
}

/** The problem with these demands lifted. */
export function without(problem: Problem, demands: readonly Demand[]): Problem {
  const gone = new Set(demands.map(demandKey));
  const lifts = (demand: Demand): boolean => gone.has(demandKey(demand));
  const unfrozen = new Set(demands.flatMap((demand) => (demand.kind === "frozen" ? [demand.operation] : [])));
  return {
    ...problem,
    operations: problem.operations.map((operation) => ({
      ...operation,
      pin: lifts({ kind: "pin", operation: operation.id }) ? null : operation.pin,
      window: lifts({ kind: "window", operation: operation.id }) ? { start: null, end: null } : operation.window,
      modes: lifts({ kind: "maxWait", operation: operation.id })
        ? operation.modes.map((mode) => ({ ...mode, phases: mode.phases.map((phase) => ({ ...phase, maxWait: null })) }))
        : operation.modes,
    })),
    orders: problem.orders.map((order) => (lifts({ kind: "deadline", order: order.id }) ? { ...order, deadline: null } : order)),
    links: problem.links.map((link) =>
      link.kind === "lag" && lifts({ kind: "maxLag", link: link.id }) ? { ...link, maxLag: null } : link,
    ),
    published:
      problem.published === null || unfrozen.size === 0
        ? problem.published
        : { operations: problem.published.operations.filter(({ operation }) => !unfrozen.has(operation)) },
  };
}

export function explainDemand(problem: Problem, demand: Demand): ExplainedDemand {
  const at: SayMinute = sayMinutes(problem);
  switch (demand.kind) {
    case "pin": {
      const pin = problem.operations.find(({ id }) => id === demand.operation)?.pin;
      const where = pin?.machines == null ? "" : ` on ${machines(problem, pin.machines)}`;
      const when = pin?.start == null ? "" : ` at ${at(pin.start)}`;
      return { demand, sentence: `${nameOf(problem, demand.operation)} is pinned${where}${when}.`, relaxation: "Lift the pin" };
    }
    case "frozen":
      return { demand, sentence: `${nameOf(problem, demand.operation)} is frozen as published.`, relaxation: "Unfreeze it" };
    case "window": {
      const window = problem.operations.find(({ id }) => id === demand.operation)?.window;
      const from = window?.start == null ? "" : ` from ${at(window.start)}`;
      const until = window?.end == null ? "" : ` until ${at(window.end)}`;
      return {
        demand,
        sentence: `${nameOf(problem, demand.operation)} has a window${from}${until}.`,
        relaxation: "Open the window",
      };
    }
    case "maxWait":
      return {
        demand,
        sentence: `The phases of ${nameOf(problem, demand.operation)} may wait only so long for each other.`,
        relaxation: "Let them wait longer",
      };
    case "deadline": {
      const order = problem.orders.find(({ id }) => id === demand.order);
      const when = order?.deadline == null ? "" : ` at ${at(order.deadline)}`;
      return {
        demand,
        sentence: `${order?.name ?? demand.order} has a hard deadline${when}.`,
        relaxation: "Make the deadline a due date",
      };
    }
    case "maxLag": {
      const link = problem.links.find(({ id }) => id === demand.link);
      if (link?.kind !== "lag" || link.maxLag === null) return { demand, sentence: demand.link, relaxation: "Lift it" };
      return {
        demand,
        sentence: `${nameOf(problem, link.to)} must begin within ${sayDuration(link.maxLag)} after ${nameOf(problem, link.from)}.`,
        relaxation: "Allow a longer wait",
      };
    }
  }
}

const machines = (problem: Problem, ids: readonly string[]): string =>
  ids.map((id) => problem.machines.find((machine) => machine.id === id)?.name ?? id).join(" + ") || "no machine";
