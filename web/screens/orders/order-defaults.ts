/** New orders, operations and phases as forms begin with them; copies of orders and route templates with ids of their own. Pure. */
import type { OrderBody } from "../../../src/contract/api/order.ts";
import type { RouteTemplate } from "../../../src/contract/api/shop.ts";
import type { LinkInFile } from "../../../src/contract/file/link-schema.ts";
import type { OperationInFile } from "../../../src/contract/file/order-schema.ts";
import { operationNumber } from "../../present/segments.ts";

export type ModeInForm = OperationInFile["modes"][number];
export type PhaseInForm = ModeInForm["phases"][number];

export const newPhase = (kind: PhaseInForm["kind"]): PhaseInForm => ({
  kind,
  flow: kind === "clear" ? "solid" : "pausable",
  work: { kind: "fixed", minutes: kind === "run" ? 60 : 15 },
  needs: [],
  draws: [],
  maxWait: null,
});

export const newMode = (id: string, machines: string[], skill: string | undefined): ModeInForm => {
  const needs = skill === undefined ? [] : [{ skill, amount: 100 }];
  return {
    id,
    machines,
    calendar: null,
    phases: [
      { ...newPhase("prepare"), needs },
      { ...newPhase("run"), needs: needs.map((need) => ({ ...need })) },
      { ...newPhase("clear"), needs: needs.map((need) => ({ ...need })) },
    ],
  };
};

export const newOperation = (id: string, mode: ModeInForm): OperationInFile => ({
  id,
  name: "",
  piecesPerUnit: 1,
  window: { start: null, end: null },
  modes: [mode],
  startSkill: null,
  selfStart: false,
  prepareEarly: false,
  split: null,
  needsCalibrations: [],
  calibrates: [],
  kits: [],
  pin: null,
  progress: { done: [], running: [] },
});

export const newOrder = (id: string, today: string): OrderBody => ({
  id,
  name: "",
  kind: "production",
  quantity: 1,
  scrapPerMille: 0,
  release: today,
  due: null,
  deadline: null,
  weight: 1,
  requester: null,
  operations: [],
  links: [],
  kitSpans: [],
});

/** "2107" after 2106: the highest number in use plus one, keeping its width and what stands before it. */
export function nextId(ids: readonly string[], prefix = ""): string {
  let best: { readonly head: string; readonly value: number; readonly width: number } | null = null;
  for (const id of ids) {
    const match = /^(.*?)(\d{1,12})$/.exec(id);
    if (!match) continue;
    const value = Number(match[2]);
    if (best === null || value > best.value) best = { head: match[1] ?? "", value, width: (match[2] ?? "").length };
  }
  return best === null ? `${prefix}1` : `${best.head}${String(best.value + 1).padStart(best.width, "0")}`;
}

/** Operation numbers go up in tens: "10", "20", ... */
export function nextOperationId(order: string, operations: readonly { readonly id: string }[]): string {
  const numbers = operations
    .map(({ id }) => Number.parseInt(operationNumber(id, order), 10))
    .filter((value) => Number.isFinite(value));
  return `${order}/${(Math.floor(Math.max(0, ...numbers) / 10) + 1) * 10}`;
}

function freeLinkId(base: string, taken: ReadonlySet<string>): string {
  for (let i = 1; ; i += 1) if (!taken.has(`${base}-link-${i}`)) return `${base}-link-${i}`;
}

/** A link from each operation to the next one, where none is yet. */
export function chained(order: OrderBody): LinkInFile[] {
  const links = [...order.links];
  order.operations.slice(1).forEach((operation, i) => {
    const from = order.operations[i]?.id ?? "";
    if (links.some((link) => link.from === from && link.to === operation.id)) return;
    links.push({
      kind: "lag",
      id: freeLinkId(order.id, new Set(links.map(({ id }) => id))),
      from,
      to: operation.id,
      minLag: 0,
      maxLag: null,
    });
  });
  return links;
}

export const newLink = (order: OrderBody): LinkInFile => ({
  kind: "lag",
  id: freeLinkId(order.id, new Set(order.links.map(({ id }) => id))),
  from: order.operations.at(-2)?.id ?? "",
  to: order.operations.at(-1)?.id ?? "",
  minLag: 0,
  maxLag: null,
});

/** Nothing that has happened, and no pin, is copied. */
const unstarted = (operation: OperationInFile, id: string): OperationInFile => ({
  ...operation,
  id,
  pin: null,
  progress: { done: [], running: [] },
});

/** The template's operations and links with ids of the order, after those that are there. */
export function withTemplate(order: OrderBody, template: RouteTemplate): OrderBody {
  const renamed = new Map<string, string>();
  const operations = [...order.operations];
  for (const operation of template.operations) {
    // The number it has in the template, where that is free.
    const own = `${order.id}/${operationNumber(operation.id, template.id)}`;
    const id = operations.some((other) => other.id === own) ? nextOperationId(order.id, operations) : own;
    renamed.set(operation.id, id);
    operations.push(unstarted(operation, id));
  }
  const links = [...order.links];
  for (const link of template.links) {
    const id = freeLinkId(order.id, new Set(links.map((other) => other.id)));
    links.push({ ...link, id, from: renamed.get(link.from) ?? link.from, to: renamed.get(link.to) ?? link.to });
  }
  return { ...order, operations, links };
}

/** The same order under another number; links from other orders stay with the original. */
export function duplicated(order: OrderBody, id: string): OrderBody {
  const renamed = new Map(
    order.operations.map((operation) => [operation.id, `${id}/${operationNumber(operation.id, order.id)}`]),
  );
  const inside = order.links.filter((link) => renamed.has(link.from));
  return {
    ...order,
    id,
    operations: order.operations.map((operation) => unstarted(operation, renamed.get(operation.id) ?? operation.id)),
    links: inside.map((link, i) => ({
      ...link,
      id: `${id}-link-${i + 1}`,
      from: renamed.get(link.from) ?? link.from,
      to: renamed.get(link.to) ?? link.to,
    })),
    kitSpans: order.kitSpans
      .filter((span) => renamed.has(span.from))
      .map((span, i) => ({
        ...span,
        id: `${id}-kit-${i + 1}`,
        from: renamed.get(span.from) ?? span.from,
        to: renamed.get(span.to) ?? span.to,
      })),
  };
}

/** The order's number changes, and with it the ids of operations that begin with it. */
export function renumbered(order: OrderBody, id: string): OrderBody {
  const change = (text: string): string => (text.startsWith(`${order.id}/`) ? `${id}${text.slice(order.id.length)}` : text);
  return {
    ...order,
    id,
    operations: order.operations.map((operation) => ({ ...operation, id: change(operation.id) })),
    links: order.links.map((link) => ({
      ...link,
      id: link.id.startsWith(`${order.id}-`) ? `${id}${link.id.slice(order.id.length)}` : link.id,
      from: change(link.from),
      to: change(link.to),
    })),
    kitSpans: order.kitSpans.map((span) => ({ ...span, from: change(span.from), to: change(span.to) })),
  };
}

/** The order's route as a template: operations numbered within it, links inside it only. */
export function templateOf(order: OrderBody, id: string): RouteTemplate {
  const renamed = new Map(
    order.operations.map((operation) => [operation.id, `${id}/${operationNumber(operation.id, order.id)}`]),
  );
  return {
    id,
    name: order.name ?? order.id,
    operations: order.operations.map((operation) => unstarted(operation, renamed.get(operation.id) ?? operation.id)),
    links: order.links
      .filter((link) => renamed.has(link.from))
      .map((link, i) => ({
        ...link,
        id: `${id}-link-${i + 1}`,
        from: renamed.get(link.from) ?? "",
        to: renamed.get(link.to) ?? "",
      })),
  };
}

/** Any route as an order body, so that the same form edits both. */
export const orderOfTemplate = (template: RouteTemplate): Pick<OrderBody, "id" | "operations" | "links"> => ({
  id: template.id,
  operations: template.operations,
  links: template.links,
});
