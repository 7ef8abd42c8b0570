/**
 * The plan's own order of work as a network: one node for each phase still to be worked, one arc for each reason why a phase
 * may not begin before another ended. Machines, crews, supplies and kits keep the order in which the plan serves them.
 * Crew and supply arcs hand units on from phase to phase (handed-on.ts); two phases that the plan interleaves on one crew (one
 * rests while the other works) are not tied to each other. Setup minutes are those of the plan, since the order on each machine is kept. Nodes come in an order in which every arc
 * points forward. O(lots log lots + lots x units in hand).
 */
import type { Interval, Minute } from "../calendar/minute.ts";
import { frozenWork } from "../check/frozen.ts";
import type { Lot } from "../check/lots.ts";
import { workedAfterPieces } from "../check/pieces.ts";
import { type Scene, sceneOf } from "../check/scene.ts";
import { drawsOf } from "../check/workable.ts";
import { present } from "../ground/invariant.ts";
import type { LinkId } from "../orders/link.ts";
import type { OperationId, PhaseKind } from "../orders/operation.ts";
import type { CrewId } from "../plant/crew.ts";
import type { MachineId } from "../plant/machine.ts";
import type { KitId, SupplyId } from "../plant/supply.ts";
import type { Plan } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { addCrews, addKits, addSupplies } from "./handed-on.ts";
import { type Course, courseOf, type Pieces } from "./lay-work.ts";
import { addInOrder, type Context, type Draft, lastOf, push } from "./network-draft.ts";

export type ArcReason =
  | { readonly kind: "phase" }
  | { readonly kind: "link"; readonly link: LinkId }
  | { readonly kind: "transfer"; readonly link: LinkId }
  | { readonly kind: "machine"; readonly machine: MachineId }
  | { readonly kind: "crew"; readonly crew: CrewId }
  | { readonly kind: "supply"; readonly supply: SupplyId }
  | { readonly kind: "kit"; readonly kit: KitId };

/** `to` begins no earlier than `from` ends plus the lag; with `pieces`, than the pieces it takes over are out. */
export type Arc = {
  readonly from: number;
  readonly to: number;
  readonly lag: Minute;
  readonly because: ArcReason;
  readonly pieces: readonly { readonly wanted: number; readonly before: number }[] | null;
};

export type NetworkNode = {
  readonly lot: number;
  /** Place in the mode; -1: a lot without work, an instant. */
  readonly phase: number;
  readonly kind: PhaseKind;
  readonly course: Course;
  /** Minutes it works by plan, setup within. */
  readonly minutes: Minute;
  readonly pieces: Pieces | null;
  /** Its release, window, now: whatever binds it beside arcs. */
  readonly earliest: Minute;
  readonly earliestBecause: "now" | "release" | "window" | "running";
  /** Nobody need start it there (running work that works right now). */
  readonly handedOn: Minute | null;
  /** Latest begin that a longest lag after done work allows. */
  readonly latest: Minute;
  readonly plannedBegin: Minute;
  readonly plannedEnd: Minute;
  /** What it takes of crews and supplies while it works. */
  readonly crews: ReadonlyMap<CrewId, number>;
  readonly supplies: ReadonlyMap<SupplyId, number>;
  /** Node of the phase before in the same lot; -1: none. */
  readonly before: number;
  readonly isLast: boolean;
  /** Indices into `arcs` of what must end first, and of what waits for it. */
  readonly into: readonly number[];
  readonly outOf: readonly number[];
};

export type NetworkLot = {
  readonly operation: OperationId;
  readonly number: number;
  /** Row of the order in the problem. */
  readonly order: number;
  readonly machines: readonly MachineId[];
  readonly running: boolean;
  /** Running, pinned to a start, or frozen: not to be moved. */
  readonly fixed: boolean;
  /** Ends of windows that the plan keeps. */
  readonly latestEnd: Minute;
  readonly first: number;
  readonly last: number;
};

export type DispatchNetwork = {
  readonly problem: Problem;
  readonly lots: readonly NetworkLot[];
  readonly nodes: readonly NetworkNode[];
  readonly arcs: readonly Arc[];
  /** Longest lags between lots: kept by the plan, perhaps not by a replay. */
  readonly maxLags: readonly { readonly link: LinkId; readonly from: number; readonly to: number; readonly maxLag: Minute }[];
  /** What is done already of each order of the problem, by its latest end; null: nothing. */
  readonly doneUntil: readonly (Minute | null)[];
};

export function dispatchNetwork(problem: Problem, plan: Plan): DispatchNetwork {
  const { scene } = sceneOf(problem, plan, frozenWork(problem).kept);
  const orderRows = new Map(problem.orders.map((order, i) => [order.id, i]));
  const doneUntil: (Minute | null)[] = problem.orders.map(() => null);
  const sources = scene.lots.planned.filter((lot) => lot.mode !== null);
  for (const lot of scene.lots.all) {
    const row = orderRows.get(lot.operation.order);
    if (lot.state === "done" && row !== undefined) doneUntil[row] = Math.max(doneUntil[row] ?? lot.end, lot.end);
  }
  const drafts: Draft[] = [];
  const nodesOfLot: number[][] = sources.map((lot, row) => {
    const own = nodesOf(scene, lot, row);
    const base = drafts.length;
    own.forEach((node, i) => {
      node.before = i === 0 ? -1 : base + i - 1;
      drafts.push(node);
    });
    return own.map((_, i) => base + i);
  });
  const arcs: Arc[] = [];
  const rowOf = new Map(sources.map((lot, i) => [lot, i]));
  const context: Context = { scene, sources, nodesOfLot, drafts, arcs, rowOf };
  drafts.forEach((node, i) => {
    if (node.before >= 0) arcs.push({ from: node.before, to: i, lag: 0, because: { kind: "phase" }, pieces: null });
  });
  const maxLags = addLinks(context);
  addMachines(context);
  addCrews(context);
  addSupplies(context);
  addKits(context);
  const frozen = new Set(scene.kept.map(({ operation }) => operation));
  return inOrder(problem, frozen, sources, nodesOfLot, drafts, arcs, maxLags, doneUntil, orderRows);
}

function nodesOf(scene: Scene, lot: Lot, row: number): Draft[] {
  const { problem, look } = scene;
  const { now, horizon } = problem;
  const order = look.orders.get(lot.operation.order);
  const worked = lot.phases.filter((phase) => phase.span !== null && scene.wanted(phase) > 0);
  const open: Omit<Draft, "phase" | "kind" | "course" | "minutes" | "pieces" | "plannedBegin" | "plannedEnd"> = {
    ...{ crews: new Map(), supplies: new Map() },
    ...{ lot: row, earliest: now, earliestBecause: lot.state === "running" ? "running" : "now" },
    ...{ handedOn: null, latest: Number.POSITIVE_INFINITY, before: -1, isLast: false, into: [], outOf: [] },
  };
  const bound = boundIndex(
    lot,
    worked.map((phase) => phase.phase.kind),
  );
  const nodes = worked.map((phase, i): Draft => {
    const [begin, end] = phase.span as Interval;
    const solidNow = phase.current && phase.phase.flow === "solid";
    const course = courseOf(look, phase, now, horizon);
    const perPiece = phase.phase.work.kind === "perPiece" ? phase.phase.work.seconds : null;
    const node: Draft = {
      ...open,
      ...{ into: [], outOf: [], phase: phase.index, kind: phase.phase.kind },
      course: solidNow ? { ...course, workable: [[now, horizon]] } : course,
      minutes: scene.wanted(phase),
      pieces: perPiece === null ? null : { seconds: perPiece, count: lot.pieces, offset: workedAfterPieces(scene, phase, 0) },
      ...{ plannedBegin: begin, plannedEnd: end },
      ...{ crews: new Map(phase.served.map(({ id, amount }) => [id, amount])), supplies: drawsOf(phase.phase.draws) },
      handedOn: phase.current && lot.running?.working === true ? now : null,
    };
    if (lot.state === "open" && i === bound && order !== undefined && order.release > node.earliest) {
      node.earliest = order.release;
      node.earliestBecause = "release";
    }
    const opens = lot.operation.window.start;
    if (lot.state === "open" && i === 0 && opens !== null && opens > node.earliest) {
      node.earliest = opens;
      node.earliestBecause = "window";
    }
    return node;
  });
  if (nodes.length === 0) {
    const at = lot.state === "running" ? Math.max(now, lot.end) : lot.start;
    const course: Course = { flow: "solid", workable: [], startable: null };
    const instant: Draft = {
      ...open,
      phase: -1,
      kind: "run",
      course,
      minutes: 0,
      pieces: null,
      plannedBegin: at,
      plannedEnd: at,
    };
    if (lot.state === "open" && order !== undefined && order.release > now) {
      instant.earliest = order.release;
      instant.earliestBecause = "release";
    }
    const opens = lot.operation.window.start;
    if (lot.state === "open" && opens !== null && opens > instant.earliest) {
      instant.earliest = opens;
      instant.earliestBecause = "window";
    }
    nodes.push(instant);
  }
  present(nodes.at(-1), "node").isLast = true;
  return nodes;
}

/** Index among the worked phases of the one that release and links bind. */
function boundIndex(lot: Lot, kinds: readonly PhaseKind[]): number {
  if (!lot.operation.prepareEarly) return 0;
  const after = kinds.findIndex((kind) => kind !== "prepare");
  return Math.max(after, 0);
}

function addLinks(context: Context): DispatchNetwork["maxLags"] {
  const { scene, rowOf, arcs, nodesOfLot, drafts } = context;
  const maxLags: { link: LinkId; from: number; to: number; maxLag: Minute }[] = [];
  for (const link of scene.problem.links) {
    if (link.kind === "sameMachine") continue;
    for (const from of scene.lots.ofOperation(link.from)) {
      for (const to of scene.lots.ofOperation(link.to)) {
        const target = rowOf.get(to);
        if (target === undefined) continue;
        const source = rowOf.get(from);
        const nodes = present(nodesOfLot[target], "nodes");
        const kinds = nodes.map((node) => present(drafts[node], "node").kind);
        if (link.kind === "lag") {
          const begun = to.state === "running" && !(to.operation.prepareEarly && kinds.includes("prepare"));
          if (begun) continue;
          const bound = present(nodes[boundIndex(to, kinds)], "bound node");
          if (source === undefined) {
            const node = present(drafts[bound], "node");
            raise(node, from.end + link.minLag);
            if (link.maxLag !== null) node.latest = Math.min(node.latest, from.end + link.maxLag);
          } else
            arcs.push({
              from: lastOf(context, source),
              to: bound,
              lag: link.minLag,
              because: { kind: "link", link: link.id },
              pieces: null,
            });
          if (link.maxLag !== null && source !== undefined)
            maxLags.push({ link: link.id, from: lastOf(context, source), to: bound, maxLag: link.maxLag });
        } else if (source !== undefined) addTransfer(context, link, from, source, to, target);
      }
    }
  }
  return maxLags;
}

/** Done work only sets a date. */
function raise(node: Draft, minute: Minute): void {
  if (minute > node.earliest) node.earliest = minute;
}

function addTransfer(
  { arcs, nodesOfLot, drafts }: Context,
  link: { readonly id: LinkId; readonly pieces: number },
  from: Lot,
  source: number,
  to: Lot,
  target: number,
): void {
  const pieceNode = (row: number): number | undefined =>
    nodesOfLot[row]?.find((node) => present(drafts[node], "node").pieces !== null);
  const giver = pieceNode(source);
  const taker = pieceNode(target);
  const because: ArcReason = { kind: "transfer", link: link.id };
  if (giver !== undefined && taker !== undefined) {
    const pieces: { wanted: number; before: number }[] = [];
    const known = new Set<number>();
    for (let i = 1; i <= to.pieces; i++) {
      const group = Math.ceil((to.piecesBefore + i) / link.pieces);
      if (known.has(group)) continue;
      known.add(group);
      const wanted = Math.min(to.operation.pieces, group * link.pieces) - from.piecesBefore;
      if (wanted >= 1) pieces.push({ wanted: Math.min(wanted, from.pieces), before: i - 1 });
    }
    if (pieces.length > 0) arcs.push({ from: giver, to: taker, lag: 0, because, pieces });
  }
}

function addMachines({ sources, nodesOfLot, drafts, arcs }: Context): void {
  const visits = new Map<MachineId, number[]>();
  sources.forEach((lot, row) => {
    if (lot.start < lot.end) for (const machine of new Set(lot.mode?.machines)) push(visits, machine, row);
  });
  for (const [machine, rows] of visits) {
    rows.sort((a, b) => startOf(sources, a) - startOf(sources, b));
    for (let i = 1; i < rows.length; i++) {
      const from = present(nodesOfLot[rows[i - 1] as number]?.at(-1), "node");
      const to = present(nodesOfLot[rows[i] as number]?.[0], "node");
      addInOrder(drafts, arcs, from, to, { kind: "machine", machine });
    }
  }
}

const startOf = (sources: readonly Lot[], row: number): Minute => present(sources[row], "lot").start;

/** Nodes sorted so that arcs point forward, by planned begin where free; arcs that would close a circle (a plan with conflicts) are left out. */
function inOrder(
  problem: Problem,
  frozen: ReadonlySet<OperationId>,
  sources: readonly Lot[],
  nodesOfLot: readonly (readonly number[])[],
  drafts: readonly Draft[],
  arcs: readonly Arc[],
  maxLags: DispatchNetwork["maxLags"],
  doneUntil: DispatchNetwork["doneUntil"],
  orderRows: ReadonlyMap<string, number>,
): DispatchNetwork {
  const waits = drafts.map(() => 0);
  const out: number[][] = drafts.map(() => []);
  arcs.forEach((arc, i) => {
    waits[arc.to] = (waits[arc.to] ?? 0) + 1;
    out[arc.from]?.push(i);
  });
  const byBegin = drafts
    .map((_, i) => i)
    .sort((a, b) => present(drafts[a], "node").plannedBegin - present(drafts[b], "node").plannedBegin || a - b);
  const rankOfBegin = new Map(byBegin.map((node, i) => [node, i]));
  const order: number[] = [];
  const place = drafts.map(() => -1);
  const ready = byBegin.filter((node) => waits[node] === 0);
  const left = new Set(byBegin);
  while (left.size > 0) {
    // The list of what is ready stays short and nearly sorted.
    ready.sort((a, b) => (rankOfBegin.get(b) ?? 0) - (rankOfBegin.get(a) ?? 0));
    const node =
      ready.pop() ??
      present(
        byBegin.find((candidate) => left.has(candidate)),
        "node",
      );
    if (!left.delete(node)) continue;
    place[node] = order.length;
    order.push(node);
    for (const arc of out[node] ?? []) {
      const to = present(arcs[arc], "arc").to;
      waits[to] = (waits[to] ?? 0) - 1;
      if (waits[to] === 0 && left.has(to)) ready.push(to);
    }
  }
  const at = (node: number): number => present(place[node], "place");
  const forward = arcs.filter((arc) => at(arc.from) < at(arc.to)).map((arc) => ({ ...arc, from: at(arc.from), to: at(arc.to) }));
  const nodes = order.map((node): Draft => {
    const draft = present(drafts[node], "node");
    return { ...draft, before: draft.before < 0 ? -1 : at(draft.before), into: [], outOf: [] };
  });
  forward.forEach((arc, i) => {
    nodes[arc.to]?.into.push(i);
    nodes[arc.from]?.outOf.push(i);
  });
  return {
    problem,
    nodes,
    arcs: forward,
    lots: sources.map((lot, row) => ({
      ...{ operation: lot.operation.id, number: lot.number, running: lot.state === "running" },
      fixed: lot.state === "running" || lot.operation.pin?.start != null || frozen.has(lot.operation.id),
      latestEnd: lot.operation.window.end ?? Number.POSITIVE_INFINITY,
      machines: lot.mode?.machines ?? [],
      order: present(orderRows.get(lot.operation.order), "order"),
      first: at(present(nodesOfLot[row]?.[0], "node")),
      last: at(present(nodesOfLot[row]?.at(-1), "node")),
    })),
    maxLags: maxLags.map((entry) => ({ ...entry, from: at(entry.from), to: at(entry.to) })),
    doneUntil,
  };
}
