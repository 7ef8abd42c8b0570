/**
 * One course of the plan: every phase in the plan's own order of work, with the durations and delays drawn for it. Nobody knows
 * beforehand that work will take longer: it begins where its planned minutes fit, what may not be interrupted is then worked to its
 * end, and other work goes on past closing for as long as people stay, if that ends it. Machines and kits keep the plan's sequence;
 * crews and supplies serve what is ready, whoever stands first in the plan first (pool-times.ts).
 */
import type { Interval, Minute } from "../calendar/minute.ts";
import type { StepFunction } from "../calendar/step-function.ts";
import type { Arc, DispatchNetwork, NetworkNode } from "../explain/dispatch-network.ts";
import { layWork, NEVER, type Pieces } from "../explain/lay-work.ts";
import { type PieceWork, takeOverBound } from "../explain/take-over.ts";
import { present } from "../ground/invariant.ts";
import { PoolTimes, type PoolUse } from "./pool-times.ts";
import type { RiskProfile } from "./risk-profile.ts";

/** Tries for one phase to find people and supplies before it just begins. */
const TRIES_MOST = 200;

export class Course {
  readonly network: DispatchNetwork;
  readonly begin: Float64Array;
  readonly end: Float64Array;
  /** Node whose end decided the begin; -1: a date or the planned minute did. */
  readonly decided: Int32Array;
  readonly minutes: Float64Array;
  readonly pieces: (Pieces | null)[];
  readonly pools: PoolTimes;
  readonly uses: readonly (readonly PoolUse[])[];

  constructor(network: DispatchNetwork) {
    const { nodes, problem } = network;
    this.network = network;
    this.begin = new Float64Array(nodes.length);
    this.end = new Float64Array(nodes.length);
    this.decided = new Int32Array(nodes.length);
    this.minutes = new Float64Array(nodes.length);
    this.pieces = nodes.map(() => null);
    const limits: StepFunction[] = [
      ...problem.crews.map(({ headcount }) => headcount),
      ...problem.supplies.map(({ amount }) => amount),
    ];
    const rows = new Map([
      ...problem.crews.map(({ id }, row): [string, number] => [`crew ${id}`, row]),
      ...problem.supplies.map(({ id }, row): [string, number] => [`supply ${id}`, problem.crews.length + row]),
    ]);
    this.pools = new PoolTimes(limits);
    this.uses = nodes.map(({ crews, supplies }) =>
      [
        ...[...crews].map(([id, amount]) => [`crew ${id}`, amount] as const),
        ...[...supplies].map(([id, amount]) => [`supply ${id}`, amount] as const),
      ]
        .filter(([key, amount]) => amount > 0 && rows.has(key))
        .map(([key, amount]) => ({ pool: present(rows.get(key), key), amount })),
    );
  }
}

export function runCourse(course: Course, profile: RiskProfile, factor: Float64Array, delay: Float64Array): void {
  const { network, pools } = course;
  const laid = { begin: 0 };
  const work: Interval[] = [];
  const asPlanned = profile.starts === "notBeforePlanned";
  pools.clear();
  network.nodes.forEach((node, i) => {
    stretch(node, course, i, factor[i] as number);
    const late = node.earliestBecause === "release" ? (delay[present(network.lots[node.lot], "lot").order] as number) : 0;
    let bound: Minute = node.earliest + late;
    let decided = -1;
    if (asPlanned && node.plannedBegin > bound) bound = node.plannedBegin;
    const sooner = bound;
    for (const index of node.into) {
      const arc = network.arcs[index] as Arc;
      if (isServed(arc)) continue;
      const least = arc.pieces === null ? (course.end[arc.from] as number) + arc.lag : piecesBound(course, arc, bound);
      // An arc that asks for the very minute of the date is as much the reason.
      if (least > bound || (least === bound && decided < 0 && least >= sooner)) {
        bound = least;
        decided = arc.from;
      }
    }
    const handedOn = node.before >= 0 ? (course.end[node.before] as number) : node.handedOn;
    const uses = course.uses[i] as readonly PoolUse[];
    let end: Minute = NEVER;
    for (let tries = 0; bound !== NEVER; tries++) {
      work.length = 0;
      end = layPhase(node, course, i, bound, handedOn, profile.stayMinutes, uses.length > 0 ? work : null, laid);
      const free = uses.length === 0 || end === NEVER || tries >= TRIES_MOST ? -1 : pools.blockedUntil(uses, work);
      if (free < 0) break;
      bound = Math.max(free, bound + 1);
      decided = pools.blocker;
    }
    // who had the people until then is as much the reason as the planned minute
    if (decided < 0) decided = servedBefore(course, node, laid.begin);
    course.decided[i] = decided;
    course.end[i] = end > network.problem.horizon ? NEVER : end;
    course.begin[i] = end === NEVER ? NEVER : laid.begin;
    if (end !== NEVER && uses.length > 0) pools.take(i, uses, work);
  });
}

const isServed = ({ because }: Arc): boolean => because.kind === "crew" || because.kind === "supply";

function servedBefore({ network, end }: Course, node: NetworkNode, begin: Minute): number {
  for (const index of node.into) {
    const arc = network.arcs[index] as Arc;
    if (isServed(arc) && end[arc.from] === begin) return arc.from;
  }
  return -1;
}

/** The end of the phase, which takes its drawn minutes and was begun as if it took those planned; `work` takes its stretches. */
function layPhase(
  node: NetworkNode,
  course: Course,
  i: number,
  notBefore: Minute,
  handedOn: Minute | null,
  stay: Minute,
  work: Interval[] | null,
  laid: { begin: Minute },
): Minute {
  const minutes = course.minutes[i] as number;
  const longer = minutes - node.minutes;
  if (node.course.flow !== "solid" && (longer < 0 || longer > stay)) {
    const end = layWork(node.course, minutes, course.pieces[i] ?? null, notBefore, handedOn, work, laid);
    if (end !== NEVER) return end;
    // a piece that no stretch is long enough for any more is worked to its end, too
    if (work !== null) work.length = 0;
  }
  const end = layWork(node.course, node.minutes, node.pieces, notBefore, handedOn, work, laid);
  if (end === NEVER || longer === 0) return end;
  const last = work?.at(-1);
  if (work !== null && last !== undefined) work[work.length - 1] = [last[0], Math.max(last[0] + 1, last[1] + longer)];
  return Math.max(laid.begin + 1, end + longer);
}

function stretch(node: NetworkNode, course: Course, i: number, factor: number): void {
  if (node.pieces === null || factor === 1) {
    course.minutes[i] = node.minutes === 0 ? 0 : Math.max(1, Math.round(node.minutes * factor));
    course.pieces[i] = node.pieces;
    return;
  }
  const seconds = node.pieces.seconds * factor;
  const offset = Math.round(node.pieces.offset * factor);
  course.minutes[i] = Math.max(1, offset + Math.ceil((node.pieces.count * seconds) / 60));
  course.pieces[i] = { seconds, offset, count: node.pieces.count };
}

function piecesBound(course: Course, arc: Arc, notBefore: Minute): Minute {
  const { network } = course;
  const work = (index: number): PieceWork | null => {
    const pieces = course.pieces[index] ?? null;
    return pieces === null
      ? null
      : { course: (network.nodes[index] as NetworkNode).course, minutes: course.minutes[index] as number, pieces };
  };
  const [giver, taker] = [work(arc.from), work(arc.to)];
  const ended = course.end[arc.from] as number;
  if (giver === null || taker === null || ended === NEVER) return ended;
  const { before, handedOn } = network.nodes[arc.to] as NetworkNode;
  const taken = before >= 0 ? (course.end[before] as number) : handedOn;
  return takeOverBound(giver, course.begin[arc.from] as number, taker, arc.pieces ?? [], notBefore, taken);
}
