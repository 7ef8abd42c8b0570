/**
 * Replays a plan many times under its own dispatch order while durations, machines and material vary. Machine sequences, crews and
 * calendars are kept; nobody replans. Nobody knows beforehand that work will take longer: it begins where its planned minutes fit,
 * what may not be interrupted is then worked to its end, and other work goes on past closing for as long as people stay. Crews
 * and supplies serve what is ready, whoever stands first in the plan first (pool-times.ts). Each run has a random stream of its own from (seed, run number), so any split of the runs
 * over threads gives the same numbers; parts are merged by `mergeRuns` in any order.
 * Not kept: longest lags and longest waits (their breaches are counted, lags only), and the rule that what takes over pieces may
 * not end first. Cost of a run: O(arcs + stretches worked).
 */
import { type DispatchNetwork, dispatchNetwork } from "../explain/dispatch-network.ts";
import { NEVER } from "../explain/lay-work.ts";
import { invariant, present } from "../ground/invariant.ts";
import { createRandom } from "../ground/prng.ts";
import type { Plan } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { Course, runCourse } from "./course.ts";
import type { RiskProfile } from "./risk-profile.ts";
import { createSampler, type Sampler } from "./sampler.ts";

export type Replay = { readonly network: DispatchNetwork; readonly profile: RiskProfile; readonly sampler: Sampler };

/** Plain data, fit to be sent between threads. */
export type RunsPart = {
  readonly firstRun: number;
  readonly runs: number;
  /** Completion of each order by run (run x orders + order); -1: not within the horizon. Orders without work: their done end. */
  readonly completions: Float64Array;
  /** Latest end of each run; -1: not within the horizon. */
  readonly ends: Float64Array;
  /** Runs in which the lot lies on the chain that decides the latest end (or that of the order asked for), and on that of at least one late order. */
  readonly decidedEnd: Float64Array;
  readonly decidedLateness: Float64Array;
  /** Runs in which the longest lag was broken. */
  readonly brokenLags: Float64Array;
};

export function createReplay(problem: Problem, plan: Plan, profile: RiskProfile): Replay {
  const network = dispatchNetwork(problem, plan);
  return { network, profile, sampler: createSampler(network, profile) };
}

export const RUNS_MAX = 1_000_000;

export function simulateRuns(
  replay: Replay,
  range: {
    readonly seed: number;
    readonly firstRun: number;
    readonly runs: number;
    /** The order, by its row, whose end `decidedEnd` is about; left out: the latest end of all. */
    readonly order?: number;
  },
): RunsPart {
  const { network, profile, sampler } = replay;
  const { seed, firstRun, runs } = range;
  invariant(Number.isSafeInteger(seed) && seed >= 0 && seed < 2 ** 31, `seed ${seed} is not from 0 to 2^31 - 1`);
  invariant(firstRun >= 0 && firstRun + runs <= RUNS_MAX, `runs ${firstRun} to ${firstRun + runs} are more than ${RUNS_MAX}`);
  const { orders } = network.problem;
  const part: RunsPart = {
    ...{ firstRun, runs },
    completions: new Float64Array(runs * orders.length).fill(-1),
    ends: new Float64Array(runs).fill(-1),
    decidedEnd: new Float64Array(network.lots.length),
    decidedLateness: new Float64Array(network.lots.length),
    brokenLags: new Float64Array(network.maxLags.length),
  };
  const course = new Course(network);
  const seen = new Int32Array(network.nodes.length).fill(-1);
  const counted = new Int32Array(network.lots.length).fill(-1);
  const latest = new Int32Array(orders.length);
  for (let run = 0; run < runs; run++) {
    const random = createRandom(seed + (firstRun + run) * 2 ** 32);
    const { factor, delay } = sampler.draw(random);
    runCourse(course, profile, factor, delay);
    let end = Number.NEGATIVE_INFINITY;
    let endNode = -1;
    const lateNodes: number[] = [];
    lastNodes(course, latest);
    for (let i = 0; i < orders.length; i++) {
      const node = latest[i] as number;
      const ended = node < 0 ? (network.doneUntil[i] ?? null) : Math.max(course.end[node] as number, network.doneUntil[i] ?? 0);
      if (ended === null) continue;
      part.completions[run * orders.length + i] = ended === NEVER ? -1 : ended;
      if (ended > end) {
        end = ended;
        endNode = node;
      }
      const due = orders[i]?.due ?? null;
      if (node >= 0 && due !== null && ended > due) lateNodes.push(node);
    }
    part.ends[run] = Number.isFinite(end) ? end : -1;
    if (range.order !== undefined) endNode = latest[range.order] ?? -1;
    if (endNode >= 0) trace(course, [endNode], seen, counted, 2 * run, part.decidedEnd);
    trace(course, lateNodes, seen, counted, 2 * run + 1, part.decidedLateness);
    network.maxLags.forEach(({ from, to, maxLag }, i) => {
      if ((course.begin[to] as number) - (course.end[from] as number) > maxLag)
        part.brokenLags[i] = (part.brokenLags[i] ?? 0) + 1;
    });
  }
  return part;
}

/** All runs together, ordered by run number. */
export function mergeRuns(parts: readonly RunsPart[]): RunsPart {
  const sorted = parts.toSorted((a, b) => a.firstRun - b.firstRun);
  const first = present(sorted[0], "runs");
  let next = first.firstRun;
  for (const part of sorted) {
    invariant(part.firstRun === next, `runs ${next} to ${part.firstRun} are missing or doubled`);
    next += part.runs;
  }
  const joined = (pick: (part: RunsPart) => Float64Array): Float64Array => {
    const out = new Float64Array(sorted.reduce((sum, part) => sum + pick(part).length, 0));
    let at = 0;
    for (const part of sorted) {
      out.set(pick(part), at);
      at += pick(part).length;
    }
    return out;
  };
  const added = (pick: (part: RunsPart) => Float64Array): Float64Array =>
    pick(first).map((_, i) => sorted.reduce((sum, part) => sum + (pick(part)[i] ?? 0), 0));
  return {
    ...{ firstRun: first.firstRun, runs: next - first.firstRun },
    completions: joined((part) => part.completions),
    ends: joined((part) => part.ends),
    decidedEnd: added((part) => part.decidedEnd),
    decidedLateness: added((part) => part.decidedLateness),
    brokenLags: added((part) => part.brokenLags),
  };
}

/** The node that ends last, by order; -1: none is left to work. */
function lastNodes({ flat, end }: Course, latest: Int32Array): void {
  latest.fill(-1);
  for (let lot = 0; lot < flat.lotLast.length; lot++) {
    const order = flat.lotOrder[lot] as number;
    const last = flat.lotLast[lot] as number;
    const known = latest[order] as number;
    if (known < 0 || (end[last] as number) > (end[known] as number)) latest[order] = last;
  }
}

/** Counts every lot on the chains that decided these nodes, once a run. */
function trace(
  course: Course,
  from: readonly number[],
  seen: Int32Array,
  counted: Int32Array,
  stamp: number,
  counts: Float64Array,
): void {
  for (const start of from) {
    for (let node = start; node >= 0 && seen[node] !== stamp; ) {
      seen[node] = stamp;
      const lot = course.flat.lotOf[node] as number;
      if (counted[lot] !== stamp) {
        counted[lot] = stamp;
        counts[lot] = (counts[lot] ?? 0) + 1;
      }
      node = course.decided[node] as number;
    }
  }
}
