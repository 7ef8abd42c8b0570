/**
 * The plan's own order of work as a network: one node for each phase still to be worked, one arc for each reason why a phase
 * may not begin before another ended. Machines, crews, supplies and kits keep the order in which the plan serves them.
 * Crew and supply arcs hand units on from phase to phase (a resource flow: Artigues, Michelon, Reusser, EJOR 149(2), 2003);
 * two phases that the plan interleaves on one crew (one rests while the other works) are not tied to each other.
 * Setup minutes are those of the plan, since the order on each machine is kept. Nodes come in an order in which every arc
 * points forward. O(lots log lots + lots x units in hand).
 */
import type { Interval, Minute } from "../calendar/minute.ts";
import { valueAt } from "../calendar/step-function.ts";
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
import { type Course, courseOf, type Pieces } from "./lay-work.ts";

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

type Draft = {
  -readonly [K in keyof NetworkNode]: NetworkNode[K] extends readonly number[] ? number[] : NetworkNode[K];
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

type Context = {
  readonly scene: Scene;
  readonly sources: readonly Lot[];
  readonly nodesOfLot: readonly (readonly number[])[];
  readonly drafts: readonly Draft[];
  readonly arcs: Arc[];
  readonly rowOf: ReadonlyMap<Lot, number>;
};

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

const lastOf = ({ nodesOfLot }: Context, row: number): number => present(nodesOfLot[row]?.at(-1), "last node");
const firstOf = ({ nodesOfLot }: Context, row: number): number => present(nodesOfLot[row]?.[0], "first node");

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

/** What the plan itself breaks is not made a rule of the replay. */
function addInOrder(drafts: readonly Draft[], arcs: Arc[], from: number, to: number, because: ArcReason): void {
  if (from === to || present(drafts[from], "node").plannedEnd > present(drafts[to], "node").plannedBegin) return;
  if (present(drafts[from], "node").lot === present(drafts[to], "node").lot) return;
  arcs.push({ from, to, lag: 0, because, pieces: null });
}

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

function addCrews(context: Context): void {
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

function addSupplies(context: Context): void {
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

function addKits(context: Context): void {
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

function push<K, V>(map: Map<K, V[]>, key: K, value: V): void {
  const list = map.get(key);
  if (list === undefined) map.set(key, [value]);
  else list.push(value);
}

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
