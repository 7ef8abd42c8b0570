/**
 * Arcs of what is shared: crews and supplies hand units on from phase to phase, kits from lot to lot (a resource flow: Artigues,
 * Michelon, Reusser, EJOR 149(2), 2003). Each use takes the units that were free for longest, so that nothing is tied without need.
 * O(uses x units in hand).
 */
import type { Minute } from "../calendar/minute.ts";
import { valueAt } from "../calendar/step-function.ts";
import { drawsOf } from "../check/workable.ts";
import type { CrewId } from "../plant/crew.ts";
import type { KitId, SupplyId } from "../plant/supply.ts";
import type { ArcReason } from "./dispatch-network.ts";
import { addInOrder, type Context, firstOf, lastOf, push } from "./network-draft.ts";

type UnitUse = {
  readonly node: number;
  readonly begin: Minute;
  readonly end: Minute;
  readonly amount: number;
  readonly capacity: number;
  readonly holder: number;
};

/** Hands units on from use to use. Of the units on duty, the ones free for longest are taken first, so that nothing is tied without need. */
function handOn({ drafts, arcs }: Context, uses: UnitUse[], because: ArcReason): void {
  uses.sort((a, b) => a.begin - b.begin || a.end - b.end);
  /** Latest used first. */
  let hands: { node: number; free: Minute; amount: number }[] = [];
  for (const use of uses) {
    const unused = use.capacity - hands.reduce((sum, hand) => sum + hand.amount, 0);
    if (unused > 0) hands.push({ node: -1, free: Number.NEGATIVE_INFINITY, amount: unused });
    hands.sort((a, b) => b.free - a.free);
    let onDuty = use.capacity;
    let wanted = use.amount;
    const able: { node: number; free: Minute; amount: number }[] = [];
    for (const hand of hands) {
      const part = Math.min(onDuty, hand.amount);
      if (part > 0 && hand.free <= use.begin) able.push(hand);
      onDuty -= part;
      if (onDuty <= 0) break;
    }
    for (const hand of able.reverse()) {
      if (wanted <= 0) break;
      const taken = Math.min(wanted, hand.amount);
      wanted -= taken;
      hand.amount -= taken;
      if (hand.node >= 0) addInOrder(drafts, arcs, hand.node, use.node, because);
    }
    hands = hands.filter((hand) => hand.amount > 0);
    hands.push({ node: use.holder, free: use.end, amount: use.amount });
  }
}

export function addCrews(context: Context): void {
  const { sources, nodesOfLot, drafts } = context;
  const uses = new Map<CrewId, UnitUse[]>();
  sources.forEach((lot, row) => {
    for (const phase of lot.phases) {
      const node = nodesOfLot[row]?.find((candidate) => drafts[candidate]?.phase === phase.index);
      if (node === undefined || phase.span === null) continue;
      const [begin, end] = phase.span;
      for (const { id, crew, amount } of phase.served) {
        if (crew === null || amount <= 0) continue;
        const capacity = phase.work.reduce(
          (least, [from]) => Math.min(least, valueAt(crew.headcount, from)),
          Number.POSITIVE_INFINITY,
        );
        push(uses, id, { node, begin, end, amount, capacity, holder: node });
      }
    }
  });
  for (const [crew, list] of uses) handOn(context, list, { kind: "crew", crew });
}

export function addSupplies(context: Context): void {
  const { scene, sources, nodesOfLot, drafts } = context;
  const uses = new Map<SupplyId, UnitUse[]>();
  sources.forEach((lot, row) => {
    for (const phase of lot.phases) {
      const node = nodesOfLot[row]?.find((candidate) => drafts[candidate]?.phase === phase.index);
      if (node === undefined || phase.span === null) continue;
      const [begin, end] = phase.span;
      for (const [id, amount] of drawsOf(phase.phase.draws)) {
        const supply = scene.look.supplies.get(id);
        if (supply === undefined || amount <= 0) continue;
        const capacity = phase.work.reduce(
          (least, [from]) => Math.min(least, valueAt(supply.amount, from)),
          Number.POSITIVE_INFINITY,
        );
        push(uses, id, { node, begin, end, amount, capacity, holder: node });
      }
    }
  });
  for (const [supply, list] of uses) handOn(context, list, { kind: "supply", supply });
}

export function addKits(context: Context): void {
  const { scene, sources, rowOf } = context;
  const uses = new Map<KitId, UnitUse[]>();
  const countAt = (kit: KitId, minute: Minute): number => {
    const known = scene.look.kits.get(kit);
    return known === undefined ? 0 : valueAt(known.count, minute);
  };
  sources.forEach((lot, row) => {
    if (lot.start >= lot.end) return;
    for (const { kit, count } of lot.operation.kits)
      push(uses, kit, {
        ...{ node: firstOf(context, row), holder: lastOf(context, row) },
        ...{ begin: lot.start, end: lot.end, amount: count, capacity: countAt(kit, lot.start) },
      });
  });
  for (const { kit, count, from, to } of scene.problem.kitSpans) {
    const first = scene.lots.ofOperation(from).toSorted((a, b) => a.start - b.start)[0];
    const last = scene.lots.ofOperation(to).toSorted((a, b) => b.end - a.end)[0];
    const firstRow = first === undefined ? undefined : rowOf.get(first);
    const lastRow = last === undefined ? undefined : rowOf.get(last);
    // Held since before now: it has no begin any more, and frees the kit at its end.
    if (first === undefined || last === undefined || lastRow === undefined) continue;
    push(uses, kit, {
      node: firstRow === undefined ? firstOf(context, lastRow) : firstOf(context, firstRow),
      holder: lastOf(context, lastRow),
      ...{ begin: first.start, end: last.end, amount: count, capacity: countAt(kit, Math.max(first.start, scene.problem.now)) },
    });
  }
  for (const [kit, list] of uses) handOn(context, list, { kind: "kit", kit });
}
