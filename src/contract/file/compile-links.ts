/** Links, kit spans and run-hour rules of a file: ends that exist, lags in order, transfer rules, and no cycle. */
import type { KitSpan, Link } from "../../core/orders/link.ts";
import type { Operation } from "../../core/orders/operation.ts";
import type { RunHourRule } from "../../core/problem/problem.ts";
import type { ProblemFile } from "../problem-file.ts";
import { type CompiledPlant, refer, unique } from "./compile-plant.ts";
import type { Compilation } from "./compile-problem.ts";
import { found } from "./faults.ts";
import type { LinkInFile } from "./link-schema.ts";

type Path = readonly PropertyKey[];
type Operations = ReadonlyMap<string, Operation>;

export function compileLinks(
  file: ProblemFile,
  plant: CompiledPlant,
  list: readonly Operation[],
  time: Compilation,
): { readonly links: readonly Link[]; readonly kitSpans: readonly KitSpan[]; readonly runHourRules: readonly RunHourRule[] } {
  const operations: Operations = new Map(list.map((operation) => [operation.id, operation]));
  unique(file.links, ["links"], "link", time);
  const links = file.links.map((link, i) => linkOf(link, ["links", i], operations, time));
  const order = links.filter(({ kind }) => kind !== "sameMachine");
  const cycle = cycleOf(order);
  if (cycle)
    time.faults.add(["links"], `operations follow each other in a circle: ${cycle.join(" -> ")}; remove one of these links`);

  unique(file.kitSpans, ["kitSpans"], "kit span", time);
  const kits = new Map(plant.kits.map((kit) => [kit.id, kit]));
  const kitSpans = file.kitSpans.map(({ notes: _notes, ...span }, i): KitSpan => {
    const at: Path = ["kitSpans", i];
    refer(kits, span.kit, [...at, "kit"], "kit", time);
    const from = refer(operations, span.from, [...at, "from"], "operation", time);
    const to = refer(operations, span.to, [...at, "to"], "operation", time);
    if (from && to && !follows(span.from, span.to, order))
      time.faults.add(
        [...at, "to"],
        `operation ${found(span.to)} is not linked after ${found(span.from)}; link them, or hold the kit in each operation`,
      );
    return span;
  });

  unique(file.runHourRules, ["runHourRules"], "run-hour rule", time);
  const runHourRules = file.runHourRules.map(({ notes: _notes, ...rule }, i): RunHourRule => {
    const at: Path = ["runHourRules", i];
    refer(plant.machineById, rule.machine, [...at, "machine"], "machine", time);
    rule.operations.forEach((id, j) => {
      const operation = refer(operations, id, [...at, "operations", j], "operation", time);
      if (rule.operations.indexOf(id) < j)
        time.faults.add([...at, "operations", j], `operation ${found(id)} stands here a second time`);
      if (operation && !operation.modes.some(({ machines }) => machines.includes(rule.machine)))
        time.faults.add(
          [...at, "operations", j],
          `operation ${found(id)} has no mode on machine ${rule.machine}, so it cannot reset its counter`,
        );
    });
    return rule;
  });
  return { links, kitSpans, runHourRules };
}

function linkOf({ notes: _notes, ...link }: LinkInFile, path: Path, operations: Operations, time: Compilation): Link {
  const from = refer(operations, link.from, [...path, "from"], "operation", time);
  const to = refer(operations, link.to, [...path, "to"], "operation", time);
  if (link.from === link.to) time.faults.add([...path, "to"], `links ${found(link.to)} with itself; expected another operation`);
  if (link.kind === "lag" && link.maxLag !== null && link.maxLag < link.minLag)
    time.faults.add([...path, "maxLag"], `${link.maxLag} is less than the shortest lag ${link.minLag}`);
  if (link.kind === "transfer" && from && to) {
    for (const [end, operation] of [
      ["from", from],
      ["to", to],
    ] as const) {
      const mode = operation.modes.find(({ phases }) => !phases.some(({ work }) => work.kind === "perPiece"));
      if (mode)
        time.faults.add(
          [...path, end],
          `a transfer link needs work in seconds per piece; mode ${mode.id} of ${operation.id} has none`,
        );
    }
    if (from.pieces !== to.pieces)
      time.faults.add(
        path,
        `a transfer link joins operations of equally many pieces; ${from.id} has ${from.pieces}, ${to.id} has ${to.pieces}`,
      );
  }
  return link;
}

const successorsOf = (links: readonly Link[]): ReadonlyMap<string, readonly string[]> => {
  const after = new Map<string, string[]>();
  for (const { from, to } of links) {
    const list = after.get(from);
    if (list) list.push(to);
    else after.set(from, [to]);
  }
  return after;
};

/** Whether `to` follows `from` through one link or several. */
function follows(from: string, to: string, links: readonly Link[]): boolean {
  const after = successorsOf(links);
  const open = [from];
  const seen = new Set(open);
  for (let at = open.pop(); at !== undefined; at = open.pop()) {
    for (const next of after.get(at) ?? []) {
      if (next === to) return true;
      if (!seen.has(next)) open.push(next);
      seen.add(next);
    }
  }
  return false;
}

/** One circle of operations, its first repeated at the end; null when there is none. Depth first, without recursion. */
export function cycleOf(links: readonly Link[]): readonly string[] | null {
  const after = successorsOf(links);
  const finished = new Set<string>();
  for (const root of after.keys()) {
    if (finished.has(root)) continue;
    const trail: { readonly id: string; next: number }[] = [{ id: root, next: 0 }];
    const onTrail = new Set([root]);
    for (let top = trail.at(-1); top; top = trail.at(-1)) {
      const next = after.get(top.id)?.[top.next++];
      if (next === undefined) {
        finished.add(top.id);
        onTrail.delete(top.id);
        trail.pop();
      } else if (onTrail.has(next)) {
        const ids = trail.map(({ id }) => id);
        return [...ids.slice(ids.indexOf(next)), next];
      } else if (!finished.has(next)) {
        trail.push({ id: next, next: 0 });
        onTrail.add(next);
      }
    }
  }
  return null;
}
