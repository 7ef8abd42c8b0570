/**
 * One course of the plan: every phase in the plan's own order of work, with the durations and delays drawn for it. Nobody knows
 * beforehand that work will take longer: it begins where its planned minutes fit, what may not be interrupted is then worked to its
 * end, and other work goes on past closing for as long as people stay, if that ends it. Machines and kits keep the plan's sequence;
 * crews and supplies serve what is ready, whoever stands first in the plan first (pool-times.ts). Made to be run thousands of times:
 * everything it looks at are plain numbers (flat-network.ts), and a course leaves no garbage behind.
 */
import type { Minute } from "../calendar/minute.ts";
import type { Arc, DispatchNetwork, NetworkNode } from "../explain/dispatch-network.ts";
import { NEVER } from "../explain/lay-work.ts";
import { type PieceWork, takeOverBound } from "../explain/take-over.ts";
import { type FlatNetwork, flatNetwork, type PoolUse, SOLID } from "./flat-network.ts";
import { Laid, layFlat, type PieceTimes } from "./lay-flat.ts";
import { PoolTimes } from "./pool-times.ts";
import type { RiskProfile } from "./risk-profile.ts";

/** Tries for one phase to find people and supplies before it just begins. */
const TRIES_MOST = 200;

export class Course {
  readonly network: DispatchNetwork;
  readonly flat: FlatNetwork;
  readonly begin: Float64Array;
  readonly end: Float64Array;
  /** Node whose end decided the begin; -1: a date or the planned minute did. */
  readonly decided: Int32Array;
  readonly minutes: Float64Array;
  /** Of each node, as planned and in this course; without meaning where the work is not in pieces. */
  readonly planned: readonly PieceTimes[];
  readonly pieces: readonly PieceTimes[];
  readonly pools: PoolTimes;
  readonly laid = new Laid();

  constructor(network: DispatchNetwork) {
    const { nodes, problem } = network;
    this.network = network;
    this.flat = flatNetwork(network);
    this.begin = new Float64Array(nodes.length);
    this.end = new Float64Array(nodes.length);
    this.decided = new Int32Array(nodes.length);
    this.minutes = new Float64Array(nodes.length);
    this.planned = nodes.map(({ pieces }) => ({ seconds: 1, offset: 0, count: 0, ...pieces }));
    this.pieces = nodes.map(({ pieces }) => ({ seconds: 1, offset: 0, count: 0, ...pieces }));
    this.pools = new PoolTimes(this.flat.limits, problem.now, problem.horizon);
  }
}

export function runCourse(course: Course, profile: RiskProfile, factor: Float64Array, delay: Float64Array): void {
  const { flat, pools, laid, network } = course;
  const { horizon } = network.problem;
  const asPlanned = profile.starts === "notBeforePlanned";
  const nodes = network.nodes.length;
  pools.clear();
  for (let i = 0; i < nodes; i++) {
    stretch(course, i, factor[i] as number);
    const waitsFor = flat.waitsFor[i] as number;
    let bound: Minute = (flat.earliest[i] as number) + (waitsFor < 0 ? 0 : (delay[waitsFor] as number));
    let decided = -1;
    const planned = flat.plannedBegin[i] as number;
    if (asPlanned && planned > bound) bound = planned;
    const sooner = bound;
    const lastArc = flat.boundFrom[i + 1] as number;
    for (let row = flat.boundFrom[i] as number; row < lastArc; row++) {
      const from = flat.boundBy[row] as number;
      const arc = flat.boundPieces[row] as Arc | null;
      const least =
        arc === null ? (course.end[from] as number) + (flat.boundLag[row] as number) : piecesBound(course, arc, bound);
      // An arc that asks for the very minute of the date is as much the reason.
      if (least > bound || (least === bound && decided < 0 && least >= sooner)) {
        bound = least;
        decided = from;
      }
    }
    const uses = flat.uses[i] as readonly PoolUse[];
    const handedOn = handedOnAt(course, i);
    let end: Minute = NEVER;
    for (let tries = 0; bound !== NEVER; tries++) {
      end = layPhase(course, i, bound, handedOn, profile.stayMinutes);
      if (uses.length === 0 || end === NEVER || tries >= TRIES_MOST) break;
      const free = pools.blockedUntil(uses, laid);
      if (free < 0) break;
      bound = Math.max(free, bound + 1);
      decided = pools.blocker;
    }
    // who had the people until then is as much the reason as the planned minute
    if (decided < 0) decided = servedBefore(course, i, laid.begin);
    course.decided[i] = decided;
    course.end[i] = end > horizon ? NEVER : end;
    course.begin[i] = end === NEVER ? NEVER : laid.begin;
    if (end !== NEVER && uses.length > 0) pools.take(i, uses, laid);
  }
}

/** NaN: somebody must start it. */
function handedOnAt({ flat, end }: Course, i: number): Minute {
  const before = flat.before[i] as number;
  return before >= 0 ? (end[before] as number) : (flat.handedOn[i] as number);
}

function servedBefore({ flat, end }: Course, i: number, begin: Minute): number {
  const last = flat.servedFrom[i + 1] as number;
  for (let row = flat.servedFrom[i] as number; row < last; row++) {
    const from = flat.servedBy[row] as number;
    if (end[from] === begin) return from;
  }
  return -1;
}

/** The end of the phase, which takes its drawn minutes and was begun as if it took those planned; `laid` takes its stretches. */
function layPhase(course: Course, i: number, notBefore: Minute, handedOn: Minute, stay: Minute): Minute {
  const { flat, laid } = course;
  const minutes = course.minutes[i] as number;
  const planned = flat.minutes[i] as number;
  const longer = minutes - planned;
  if (flat.flow[i] !== SOLID && (longer < 0 || longer > stay)) {
    const end = layFlat(flat, i, minutes, course.pieces[i] as PieceTimes, notBefore, handedOn, laid);
    // a piece that no stretch is long enough for any more is worked to its end, too
    if (end !== NEVER) return end;
  }
  const end = layFlat(flat, i, planned, course.planned[i] as PieceTimes, notBefore, handedOn, laid);
  if (end === NEVER || longer === 0) return end;
  if (laid.stretches > 0) {
    const begin = laid.work[2 * laid.stretches - 2] as number;
    const until = laid.work[2 * laid.stretches - 1] as number;
    laid.work[2 * laid.stretches - 1] = Math.max(begin + 1, until + longer);
  }
  return Math.max(laid.begin + 1, end + longer);
}

function stretch({ flat, minutes, pieces, planned }: Course, i: number, factor: number): void {
  const own = pieces[i] as PieceTimes;
  const work = flat.minutes[i] as number;
  if (flat.inPieces[i] === 0 || factor === 1) {
    minutes[i] = work === 0 ? 0 : Math.max(1, Math.round(work * factor));
    const plan = planned[i] as PieceTimes;
    own.seconds = plan.seconds;
    own.offset = plan.offset;
    return;
  }
  own.seconds = (flat.seconds[i] as number) * factor;
  own.offset = Math.round((flat.offset[i] as number) * factor);
  minutes[i] = Math.max(1, own.offset + Math.ceil((own.count * own.seconds) / 60));
}

function piecesBound(course: Course, arc: Arc, notBefore: Minute): Minute {
  const ended = course.end[arc.from] as number;
  if (course.flat.inPieces[arc.from] === 0 || course.flat.inPieces[arc.to] === 0 || ended === NEVER) return ended;
  const work = (index: number): PieceWork => ({
    course: (course.network.nodes[index] as NetworkNode).course,
    minutes: course.minutes[index] as number,
    pieces: course.pieces[index] as PieceTimes,
  });
  const taken = handedOnAt(course, arc.to);
  return takeOverBound(
    work(arc.from),
    course.begin[arc.from] as number,
    work(arc.to),
    arc.pieces ?? [],
    notBefore,
    Number.isNaN(taken) ? null : taken,
  );
}
