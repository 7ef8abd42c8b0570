/**
 * The critical chain of a plan and the slack of its work, both under the plan's own order of work (dispatch-network.ts).
 * Chain: from what ends last back to a root, each step held by the one before it to the minute (calendars included).
 * Slack `alone`: how much later a lot may start while all other work stays where it is. Slack `pushing`: while all that follows
 * may be pushed, in the same order, until an order would end after the later of its due minute and its planned end (and after
 * its deadline, where the plan keeps it). Pinned, frozen and running work has none. Latest dates are those of a backward pass
 * with calendars (critical path method: Kelley, Walker 1959). Not seen: crews that two rests share, longest waits within a lot.
 */
import type { Minute } from "../calendar/minute.ts";
import { present } from "../ground/invariant.ts";
import type { OperationId } from "../orders/operation.ts";
import type { OrderId } from "../orders/order.ts";
import type { Plan } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import {
  type Arc,
  type ArcReason,
  type DispatchNetwork,
  dispatchNetwork,
  type NetworkLot,
  type NetworkNode,
} from "./dispatch-network.ts";
import { layWork } from "./lay-work.ts";
import { type PieceWork, takeOverBound } from "./take-over.ts";

export type ChainRoot = "now" | "release" | "window" | "running" | "fixed" | "choice";

export type ChainStep = {
  readonly operation: OperationId;
  readonly lot: number;
  readonly start: Minute;
  readonly end: Minute;
  /** What held its start: the step before it, or a root. "choice": nothing held it, the plan begins it later. */
  readonly because: Exclude<ArcReason, { kind: "phase" }> | { readonly kind: ChainRoot };
  /** The step before; null: the root. */
  readonly after: OperationId | null;
};

export type Slack = { readonly operation: OperationId; readonly lot: number; readonly alone: Minute; readonly pushing: Minute };

export type CriticalChain = {
  /** From the root to what ends last. */
  readonly chain: readonly ChainStep[];
  /** Every lot that is still to work. */
  readonly slacks: readonly Slack[];
};

/** The chain of the order that is given, else of the latest end of all. */
export function criticalChain(problem: Problem, plan: Plan, order: OrderId | null = null): CriticalChain {
  const network = dispatchNetwork(problem, plan);
  return { chain: chainOf(network, order), slacks: slacksOf(network) };
}

function chainOf(network: DispatchNetwork, order: OrderId | null): readonly ChainStep[] {
  const { lots, nodes, problem } = network;
  const row = order === null ? null : problem.orders.findIndex(({ id }) => id === order);
  const nodeAt = (index: number): NetworkNode => present(nodes[index], "node");
  const wanted = lots.filter((lot) => row === null || lot.order === row);
  const last = wanted.toSorted((a, b) => nodeAt(b.last).plannedEnd - nodeAt(a.last).plannedEnd)[0];
  const steps: ChainStep[] = [];
  let lot: NetworkLot | undefined = last;
  let node = last?.last ?? -1;
  while (lot !== undefined && node >= 0) {
    const held = heldBy(network, node);
    const arc = typeof held === "string" ? null : held;
    if (arc !== null && arc.because.kind === "phase") {
      node = arc.from;
      continue;
    }
    const next: NetworkLot | undefined = arc === null ? undefined : present(lots[nodeAt(arc.from).lot], "lot");
    const root: ChainRoot = lot.fixed && held === "choice" ? "fixed" : typeof held === "string" ? held : "choice";
    steps.push({
      ...{ operation: lot.operation, lot: lot.number },
      ...{ start: nodeAt(lot.first).plannedBegin, end: nodeAt(lot.last).plannedEnd },
      because: arc === null || arc.because.kind === "phase" ? { kind: root } : arc.because,
      after: next?.operation ?? null,
    });
    lot = next;
    node = arc?.from ?? -1;
  }
  return steps.reverse();
}

/** The arc that holds the begin of the node to the minute, the phase before it first; else the date, else nothing. */
function heldBy({ nodes, arcs, lots }: DispatchNetwork, index: number): Arc | ChainRoot {
  const node = present(nodes[index], "node");
  if (present(lots[node.lot], "lot").running && node.before < 0) return "running";
  const handedOn = node.before >= 0 ? present(nodes[node.before], "node").plannedEnd : node.handedOn;
  const laid = { begin: 0 };
  const beginsAt = (bound: Minute): boolean => {
    layWork(node.course, node.minutes, node.pieces, bound, handedOn, null, laid);
    return laid.begin === node.plannedBegin;
  };
  const into = node.into.map((arc) => present(arcs[arc], "arc"));
  const tight = (arc: Arc): boolean => {
    const from = present(nodes[arc.from], "node");
    return beginsAt(arc.pieces === null ? from.plannedEnd + arc.lag : piecesBound(from, node, arc, from.plannedBegin));
  };
  const own = into.find((arc) => arc.because.kind === "phase" && tight(arc));
  const other = own ?? into.find((arc) => arc.because.kind !== "phase" && tight(arc));
  if (other !== undefined) return other;
  if (beginsAt(node.earliest)) return node.earliestBecause;
  return "choice";
}

/** The begin that taken-over pieces ask for, when the giver begins at the minute. */
function piecesBound(giver: NetworkNode, taker: NetworkNode, arc: Arc, begin: Minute): Minute {
  const [given, taken] = [pieceWork(giver), pieceWork(taker)];
  if (given === null || taken === null) return giver.plannedEnd;
  const handedOn = taker.before >= 0 ? taker.plannedBegin : taker.handedOn;
  return takeOverBound(given, begin, taken, arc.pieces ?? [], taker.earliest, handedOn);
}

const pieceWork = ({ course, minutes, pieces }: NetworkNode): PieceWork | null =>
  pieces === null ? null : { course, minutes, pieces };

function slacksOf(network: DispatchNetwork): readonly Slack[] {
  const alone = latestBegins(network, false);
  const pushing = latestBegins(network, true);
  return network.lots.map((lot) => {
    const { plannedBegin } = present(network.nodes[lot.first], "node");
    return {
      ...{ operation: lot.operation, lot: lot.number },
      alone: Math.max(0, present(alone[lot.first], "latest begin") - plannedBegin),
      pushing: Math.max(0, present(pushing[lot.first], "latest begin") - plannedBegin),
    };
  });
}

/** Latest begin of each node; other lots stay where they are, or begin at their own latest. */
function latestBegins(network: DispatchNetwork, pushing: boolean): readonly Minute[] {
  const { nodes, arcs, lots, problem } = network;
  const limits = orderLimits(network);
  const latest: Minute[] = nodes.map(({ plannedBegin }) => plannedBegin);
  for (let i = nodes.length - 1; i >= 0; i--) {
    const node = present(nodes[i], "node");
    const lot = present(lots[node.lot], "lot");
    // Running work stands, and so does what must not be moved; its later phases may still be pushed.
    if (node.before < 0 && lot.fixed) continue;
    let end: Minute = Math.max(node.plannedEnd, problem.horizon);
    let begin: Minute = node.latest;
    if (node.isLast) end = Math.min(present(limits[lot.order], "limit"), Math.max(lot.latestEnd, node.plannedEnd));
    const takers: { readonly arc: Arc; readonly to: NetworkNode; readonly limit: Minute }[] = [];
    for (const index of node.outOf) {
      const arc = present(arcs[index], "arc");
      const to = present(nodes[arc.to], "node");
      const limit = pushing || arc.because.kind === "phase" ? present(latest[arc.to], "latest begin") : to.plannedBegin;
      if (arc.pieces === null) end = Math.min(end, limit - arc.lag);
      else takers.push({ arc, to, limit });
    }
    for (const { from, to, maxLag } of network.maxLags)
      if (to === i) begin = Math.min(begin, present(nodes[from], "node").plannedEnd + maxLag);
    latest[i] = latestBegin(node, (at, from) => {
      if (at > end || from > begin) return false;
      return takers.every(({ arc, to, limit }) => piecesBound(node, to, arc, from) <= limit);
    });
  }
  return latest;
}

/** The last begin for which the end and the begin are allowed; later begins never end earlier, so halving finds it. */
function latestBegin(node: NetworkNode, allowed: (end: Minute, begin: Minute) => boolean): Minute {
  const laid = { begin: 0 };
  const tryAt = (notBefore: Minute): Minute | null => {
    const end = layWork(node.course, node.minutes, node.pieces, notBefore, notBefore, null, laid);
    return Number.isFinite(end) && allowed(end, laid.begin) ? laid.begin : null;
  };
  let best = node.plannedBegin;
  let step = 1;
  let found = tryAt(best + step);
  while (found !== null) {
    best = Math.max(best + step, found);
    step *= 2;
    found = tryAt(best + step);
  }
  for (; step >= 1; step = Math.floor(step / 2)) {
    const at = tryAt(best + step);
    if (at !== null) best = Math.max(best + step, at);
  }
  const at = tryAt(best);
  return at ?? node.plannedBegin;
}

/** The later of due and planned end, never past a deadline that the plan keeps. */
function orderLimits({ lots, nodes, problem, doneUntil }: DispatchNetwork): readonly Minute[] {
  const planned = problem.orders.map((_, i) => doneUntil[i] ?? Number.NEGATIVE_INFINITY);
  for (const lot of lots) planned[lot.order] = Math.max(planned[lot.order] ?? 0, present(nodes[lot.last], "node").plannedEnd);
  return problem.orders.map(({ due, deadline }, i) => {
    const end = planned[i] ?? 0;
    const limit = due === null ? end : Math.max(due, end);
    return deadline !== null && deadline >= end ? Math.min(limit, deadline) : limit;
  });
}
