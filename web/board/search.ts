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

export function search(model: BoardModel, query: string): readonly Found[] {
  const words = query
    .toLowerCase()
    .split(/\s+/)
    .filter((word) => word !== "");
  if (words.length === 0) return [];
  const scored: { found: Found; score: number }[] = [];
  const score = (text: string, id: string): number => {
    const low = text.toLowerCase();
    if (!words.every((word) => low.includes(word))) return 0;
    const whole = words.join(" ");
    return (id.toLowerCase() === whole ? 8 : id.toLowerCase().startsWith(whole) ? 4 : 1) + (low.startsWith(whole) ? 1 : 0);
  };
  for (const machine of model.shop.problem.machines) {
    const points = score(`${machine.name} ${machine.group} ${machine.id}`, machine.name);
    if (points > 0) scored.push({ found: { kind: "machine", id: machine.id, text: machine.name }, score: points + 1 });
  }
  const firstBar = new Map<string, (typeof model.bars)[number]>();
  for (const bar of model.bars) if (!firstBar.has(bar.operation.id)) firstBar.set(bar.operation.id, bar);
  for (const operation of model.shop.problem.operations) {
    const order = model.shop.order.get(operation.order);
    const bar = firstBar.get(operation.id);
    const text = `${operation.id} ${operation.name} ${order?.name ?? ""} ${order?.id ?? ""} ${order?.requester ?? ""}`;
    const points = score(text, operation.id);
    if (points === 0) continue;
    const live = bar && bar.state !== "done" ? 0.5 : 0;
    scored.push({
      found: {
        kind: "operation",
        id: operation.id,
        key: bar?.key ?? null,
        text: `${operation.id} ${order?.name ?? operation.name}`,
        start: bar?.start ?? null,
      },
      score: points + live,
    });
  }
  return scored
    .sort((a, b) => b.score - a.score || a.found.text.localeCompare(b.found.text, undefined, { numeric: true }))
    .slice(0, FOUND_MAX)
    .map(({ found }) => found);
}
