/**
 * How sure the dates are, from the runs of a replay: chance of being on time and dates at a confidence for each order, and how
 * often each operation lay on the chain that decided the end or a lateness (criticality index: Van Slyke, Operations Research
 * 11(5), 1963). A share of n runs is uncertain by itself: `onTimeError` is the half width of its 95 % interval (Wilson, J. Am.
 * Stat. Assoc. 22, 1927).
 */
import type { Minute } from "../calendar/minute.ts";
import { present } from "../ground/invariant.ts";
import type { LinkId } from "../orders/link.ts";
import type { OperationId } from "../orders/operation.ts";
import type { OrderId } from "../orders/order.ts";
import type { Plan } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { type OverRest, overRest } from "./over-rest.ts";
import { createReplay, mergeRuns, type Replay, type RunsPart, simulateRuns } from "./replay.ts";
import { DEFAULT_RISK_PROFILE, type RiskProfile } from "./risk-profile.ts";

/** Dates by confidence; null: in more runs than that the work did not end within the horizon. */
export type Dates = { readonly p50: Minute | null; readonly p80: Minute | null; readonly p95: Minute | null };

export type OrderRisk = {
  readonly order: OrderId;
  readonly due: Minute | null;
  readonly planned: Minute;
  /** Share of runs, 0 to 1; null: nothing was promised. */
  readonly onTime: number | null;
  readonly onTimeError: number | null;
  readonly dates: Dates;
  /** Where it is due while its people are away: how often it runs over into their return. */
  readonly overRest: OverRest | null;
};

export type OperationRisk = {
  readonly operation: OperationId;
  /** Share of runs in which it lay on the chain that decided the latest end. */
  readonly decidesEnd: number;
  /** Share of runs in which it lay on the chain of an order that came late. */
  readonly decidesLateness: number;
};

export type RiskReport = {
  readonly runs: number;
  readonly end: Dates;
  readonly orders: readonly OrderRisk[];
  /** What decides lateness most often first. */
  readonly operations: readonly OperationRisk[];
  /** Share of runs in which a "use within" was broken. */
  readonly brokenLags: readonly { readonly link: LinkId; readonly share: number }[];
  readonly profile: RiskProfile;
};

export const RUNS_DEFAULT = 2000;

/** All runs in one go, in the thread of the caller. */
export function howSure(
  problem: Problem,
  plan: Plan,
  options: { readonly seed: number; readonly runs?: number; readonly profile?: RiskProfile },
): RiskReport {
  const replay = createReplay(problem, plan, options.profile ?? DEFAULT_RISK_PROFILE);
  return riskReport(replay, [simulateRuns(replay, { seed: options.seed, firstRun: 0, runs: options.runs ?? RUNS_DEFAULT })]);
}

export function riskReport({ network, profile }: Replay, parts: readonly RunsPart[]): RiskReport {
  const { problem } = network;
  const whole = mergeRuns(parts);
  const { runs } = whole;
  const orders = problem.orders.flatMap((order, i): OrderRisk[] => {
    const last = network.lots.filter((lot) => lot.order === i);
    if (last.length === 0) return [];
    const ended = Array.from({ length: runs }, (_, run) => whole.completions[run * problem.orders.length + i] as number);
    const good = order.due === null ? null : ended.filter((end) => end >= 0 && end <= (order.due ?? end)).length;
    const planned = Math.max(
      network.doneUntil[i] ?? 0,
      ...last.map((lot) => present(network.nodes[lot.last], "node").plannedEnd),
    );
    return [
      {
        ...{ order: order.id, due: order.due, planned },
        onTime: good === null ? null : good / runs,
        onTimeError: good === null ? null : halfWidth(good / runs, runs),
        dates: datesOf(ended),
        overRest: overRest(network, i, planned, ended),
      },
    ];
  });
  const byOperation = new Map<OperationId, { end: number; late: number }>();
  network.lots.forEach((lot, i) => {
    const known = byOperation.get(lot.operation) ?? { end: 0, late: 0 };
    // Of a split operation the lot that decides most often stands for it.
    byOperation.set(lot.operation, {
      end: Math.max(known.end, whole.decidedEnd[i] ?? 0),
      late: Math.max(known.late, whole.decidedLateness[i] ?? 0),
    });
  });
  return {
    runs,
    end: datesOf([...whole.ends]),
    orders,
    operations: [...byOperation]
      .map(([operation, { end, late }]) => ({ operation, decidesEnd: end / runs, decidesLateness: late / runs }))
      .sort(
        (a, b) => b.decidesLateness - a.decidesLateness || b.decidesEnd - a.decidesEnd || (a.operation < b.operation ? -1 : 1),
      ),
    brokenLags: network.maxLags.map(({ link }, i) => ({ link, share: (whole.brokenLags[i] ?? 0) / runs })),
    profile,
  };
}

export type Decider = { readonly operation: OperationId; readonly share: number };

/** Operations most often on the chain that decided the end the runs were asked about, the most often first (criticality index). */
export function deciders({ network }: Replay, whole: RunsPart, most: number): readonly Decider[] {
  const shares = new Map<OperationId, number>();
  network.lots.forEach(({ operation }, i) => {
    shares.set(operation, Math.max(shares.get(operation) ?? 0, (whole.decidedEnd[i] ?? 0) / whole.runs));
  });
  return [...shares]
    .filter(([, share]) => share > 0)
    .map(([operation, share]) => ({ operation, share }))
    .sort((a, b) => b.share - a.share || (a.operation < b.operation ? -1 : 1))
    .slice(0, most);
}

/** The end that so many of the runs do not pass. */
export function dateAt(ends: readonly number[], confidence: number): Minute | null {
  const sorted = ends.map((end) => (end < 0 ? Number.POSITIVE_INFINITY : end)).sort((a, b) => a - b);
  const at = sorted[Math.max(0, Math.ceil(confidence * sorted.length) - 1)];
  return at === undefined || !Number.isFinite(at) ? null : at;
}

const datesOf = (ends: readonly number[]): Dates => ({
  p50: dateAt(ends, 0.5),
  p80: dateAt(ends, 0.8),
  p95: dateAt(ends, 0.95),
});

const Z_95 = 1.96;

function halfWidth(share: number, runs: number): number {
  const z2 = (Z_95 * Z_95) / runs;
  return (Z_95 * Math.sqrt((share * (1 - share)) / runs + z2 / (4 * runs))) / (1 + z2);
}
