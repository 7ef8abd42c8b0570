/** Find: orders, operations and machines by any part of their names and numbers, best first. A canvas has no find-in-page; this is it. Pure. */
import type { BoardModel } from "./board-model.ts";

export type Found =
  | {
      readonly kind: "operation";
      readonly id: string;
      readonly key: string | null;
      readonly text: string;
      readonly start: number | null;
    }
  | { readonly kind: "machine"; readonly id: string; readonly text: string };

const FOUND_MAX = 12;

/** What is searched, in small letters; made once for a model. */
type Entry = { readonly text: string; readonly id: string; readonly extra: number; readonly found: Found };
const searched = new WeakMap<BoardModel, readonly Entry[]>();

const byName = new Intl.Collator(undefined, { numeric: true });

function entriesOf(model: BoardModel): readonly Entry[] {
  const known = searched.get(model);
  if (known) return known;
  const { problem, order: orders } = model.shop;
  const entries: Entry[] = problem.machines.map(({ id, name, group }) => ({
    text: `${name} ${group} ${id}`.toLowerCase(),
    id: name.toLowerCase(),
    extra: 1,
    found: { kind: "machine", id, text: name },
  }));
  const firstBar = new Map<string, (typeof model.bars)[number]>();
  for (const bar of model.bars) if (!firstBar.has(bar.operation.id)) firstBar.set(bar.operation.id, bar);
  for (const { id, name, order: orderId } of problem.operations) {
    const order = orders.get(orderId);
    const bar = firstBar.get(id);
    entries.push({
      text: `${id} ${name} ${order?.name ?? ""} ${order?.id ?? ""} ${order?.requester ?? ""}`.toLowerCase(),
      id: id.toLowerCase(),
      extra: bar && bar.state !== "done" ? 0.5 : 0,
      found: { kind: "operation", id, key: bar?.key ?? null, text: `${id} ${order?.name ?? name}`, start: bar?.start ?? null },
    });
  }
  searched.set(model, entries);
  return entries;
}

export function search(model: BoardModel, query: string): readonly Found[] {
  const words = query
    .toLowerCase()
    .split(/\s+/)
    .filter((word) => word !== "");
  if (words.length === 0) return [];
  const whole = words.join(" ");
  const best: { readonly found: Found; readonly score: number }[] = [];
  for (const { text, id, extra, found } of entriesOf(model)) {
    if (!words.every((word) => text.includes(word))) continue;
    const score = (id === whole ? 8 : id.startsWith(whole) ? 4 : 1) + (text.startsWith(whole) ? 1 : 0) + extra;
    // Kept in order; of thousands that match, only those that come before the last one are compared further.
    let at = best.length;
    while (at > 0) {
      const before = best[at - 1] as (typeof best)[number];
      if (before.score > score || (before.score === score && byName.compare(before.found.text, found.text) <= 0)) break;
      at--;
    }
    if (at === FOUND_MAX) continue;
    best.splice(at, 0, { found, score });
    if (best.length > FOUND_MAX) best.pop();
  }
  return best.map(({ found }) => found);
}
