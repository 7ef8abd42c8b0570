/**
 * The problem file as it is once the edits of a step are made: for what-ifs, scenarios, and before a step is written. Pure;
 * compiles nothing. Links and kit spans travel with the order they lead to, and stay where an edit does not name them. What
 * happened stays: an operation that exists keeps its progress unless the edit is about that.
 */
import type { OrderInStep, ShopEdit } from "./api/step.ts";
import type { OrderInFile } from "./file/order-schema.ts";
import type { ProblemFile } from "./problem-file.ts";

/** Where each kind stands in the problem file; route templates and upkeep rules are not part of it. */
export const LIST_OF = {
  calendars: "calendars",
  machines: "machines",
  crews: "crews",
  supplies: "supplies",
  kits: "kits",
  "setup-tables": "setupTables",
  "run-hour-rules": "runHourRules",
  routes: null,
  "upkeep-rules": null,
} as const;

/** Where a part of the file came from: `at` in the file, `body` in the list of edits; both JSON pointers. */
export type EditPlace = { readonly at: string; readonly body: string };

export const applyEditsToFile = (file: ProblemFile, edits: readonly ShopEdit[]): ProblemFile =>
  edits.reduce((changed, edit) => applyEdit(changed, edit), file);

/** The same, and where each changed part stands, so that a fault can be told at the edit that made it. */
export function applyEditsWithPlaces(
  file: ProblemFile,
  edits: readonly ShopEdit[],
): { file: ProblemFile; places: readonly EditPlace[] } {
  const changed = applyEditsToFile(file, edits);
  return { file: changed, places: edits.flatMap((edit, i) => placesOf(changed, edit, `/edits/${i}/after`)) };
}

/** One edit for each thing: the last one wins; the order of first mention stays. */
export function joinEdits(edits: readonly ShopEdit[]): ShopEdit[] {
  const joined = new Map<string, ShopEdit>();
  for (const edit of edits) {
    const before = joined.get(keyOf(edit));
    joined.set(keyOf(edit), before?.kind === "orders" && edit.kind === "orders" ? withLinksOf(before, edit) : edit);
  }
  return [...joined.values()];
}

export const keyOf = ({ kind, id }: Pick<ShopEdit, "kind" | "id">): string => `${kind} ${id}`;

type OrderEdit = Extract<ShopEdit, { kind: "orders" }>;

function withLinksOf(before: OrderEdit, { after, ...edit }: OrderEdit): OrderEdit {
  if (after === null || before.after === null) return { ...edit, after };
  return {
    ...edit,
    after: { ...after, links: after.links ?? before.after.links, kitSpans: after.kitSpans ?? before.after.kitSpans },
  };
}

function applyEdit(file: ProblemFile, edit: ShopEdit): ProblemFile {
  switch (edit.kind) {
    case "orders":
      return edit.after === null ? withoutOrder(file, edit.id) : withOrder(file, edit.after);
    case "progress":
      return withOperations(file, (operation) => (operation.id === edit.id ? { ...operation, progress: edit.after } : operation));
    default: {
      const key = LIST_OF[edit.kind];
      return key === null ? file : { ...file, [key]: replaced<{ id: string }>(file[key], edit.id, edit.after) };
    }
  }
}

function replaced<T extends { readonly id: string }>(list: readonly T[], id: string, after: T | null): T[] {
  const at = list.findIndex((entity) => entity.id === id);
  if (after === null) return list.filter((entity) => entity.id !== id);
  return at === -1 ? [...list, after] : [...list.slice(0, at), after, ...list.slice(at + 1)];
}

type OperationInOrder = OrderInFile["operations"][number];

const withOperations = (file: ProblemFile, change: (operation: OperationInOrder) => OperationInOrder): ProblemFile => ({
  ...file,
  orders: file.orders.map((order) => ({ ...order, operations: order.operations.map(change) })),
});

function withOrder(file: ProblemFile, { links, kitSpans, ...order }: OrderInStep): ProblemFile {
  const known = new Map(file.orders.find(({ id }) => id === order.id)?.operations.map((operation) => [operation.id, operation]));
  const operations = order.operations.map((operation) => {
    const before = known.get(operation.id);
    return before ? { ...operation, progress: before.progress } : operation;
  });
  const own = new Set([...known.keys(), ...order.operations.map(({ id }) => id)]);
  const into = <T extends { to: string }>(list: readonly T[], named: readonly T[] | undefined): T[] =>
    named ? [...list.filter(({ to }) => !own.has(to)), ...named] : [...list];
  return {
    ...file,
    orders: replaced(file.orders, order.id, { ...order, operations }),
    links: into(file.links, links),
    kitSpans: into(file.kitSpans, kitSpans),
  };
}

function withoutOrder(file: ProblemFile, id: string): ProblemFile {
  const own = new Set(file.orders.find((order) => order.id === id)?.operations.map((operation) => operation.id));
  return {
    ...file,
    orders: file.orders.filter((order) => order.id !== id),
    links: file.links.filter(({ to }) => !own.has(to)),
    kitSpans: file.kitSpans.filter(({ to }) => !own.has(to)),
  };
}

function placesOf(file: ProblemFile, edit: ShopEdit, body: string): EditPlace[] {
  if (edit.after === null) return [];
  if (edit.kind === "progress") {
    return file.orders.flatMap((order, i) =>
      order.operations.flatMap(({ id }, j) => (id === edit.id ? [{ at: `/orders/${i}/operations/${j}/progress`, body }] : [])),
    );
  }
  if (edit.kind === "orders") {
    const listed = (key: "links" | "kitSpans"): EditPlace[] =>
      (edit.after?.[key] ?? []).map(({ id }, i) => ({
        at: `/${key}/${(file[key] as readonly { id: string }[]).findLastIndex((other) => other.id === id)}`,
        body: `${body}/${key}/${i}`,
      }));
    const at = `/orders/${file.orders.findIndex(({ id }) => id === edit.id)}`;
    return [{ at, body }, ...listed("links"), ...listed("kitSpans")];
  }
  const key = LIST_OF[edit.kind];
  return key === null ? [] : [{ at: `/${key}/${file[key].findIndex(({ id }: { id: string }) => id === edit.id)}`, body }];
}
