/**
 * What makes one rush answer better than another, and which of many are shown. Seven measures, all of them less is better: the finish
 * of the rush order, the lateness it brings to others, how far others move, how many orders move, how many machines and crews are
 * told anew, how much more runs with nobody on site (in begun hours), batches cut. No answer shown is as good as another in all.
 */
import type { Minute } from "../calendar/minute.ts";
import type { Cost } from "../problem/objective.ts";
import type { PlanDifference } from "./plan-difference.ts";

/** nothingMoves: no other lot changes. noPromiseBroken: nobody becomes late or later. balanced: the least cost by the shop's weights. */
const NAMED = ["nothingMoves", "noPromiseBroken", "balanced", "earliest"] as const;
/** Named only where an answer has no name yet and none of those shown is better in this. */
const BEST_IN = ["fewestOrders", "fewestTold", "leastAlone", "wholeBatches"] as const;
export const RUSH_LABELS = [...NAMED, ...BEST_IN] as const;
export type RushLabel = (typeof NAMED)[number] | (typeof BEST_IN)[number];

export type Measures = {
  readonly finish: Minute;
  readonly lateness: number;
  readonly movement: number;
  /** Other orders of which something moves. */
  readonly ordersMoved: number;
  /** Machines and crews that must be told anew, the order's own included. */
  readonly told: number;
  readonly nightMinutesChange: Minute;
  readonly cuts: number;
};

type Labelled = { readonly labels: readonly RushLabel[] };
type Choosable = Measures & { readonly difference: PlanDifference; readonly cost: Cost };

const ALL: readonly ((measures: Measures) => number)[] = [
  ({ finish }) => finish,
  ({ lateness }) => lateness,
  ({ movement }) => movement,
  ({ ordersMoved }) => ordersMoved,
  ({ told }) => told,
  // a minute more or less is no reason for another answer
  ({ nightMinutesChange }) => Math.ceil(nightMinutesChange / 60),
  ({ cuts }) => cuts,
];

const MAIN = ALL.slice(0, 3);
/** Fewer are shown only where no more are known. */
export const ANSWERS_LEAST = 3;

/** At least as good in everything (equal counts: a second plan alike in all is no second answer). */
export const noWorse = (a: Measures, b: Measures): boolean => ALL.every((of) => of(a) <= of(b));

export const MEASURES = ["finish", "lateness", "movement", "ordersMoved", "told", "nightMinutesChange", "cuts"] as const;
export type MeasureName = (typeof MEASURES)[number];

/** An answer, by its place, that nothing beats but in these measures; none: there is no other way at all. */
export type Settled = { readonly answer: number; readonly open: readonly MeasureName[] };

/** The earliest of those that are at their bound in most measures; null: none is at the bound of the finish, or nothing is known. */
export function settledBy(answers: readonly Measures[], least: Measures | null): Settled | null {
  if (least === null) return null;
  const open = (one: Measures): MeasureName[] => MEASURES.filter((_, i) => (ALL[i]?.(one) ?? 0) > (ALL[i]?.(least) ?? 0));
  const best = answers.map((one, answer) => ({ answer, open: open(one) })).toSorted((a, b) => a.open.length - b.open.length)[0];
  return best === undefined || best.open.includes("finish") ? null : best;
}

/** Nothing is at least as good in finish, lateness and movement: what it trades is what a shop looks at first. */
export const foremost = <A extends Measures>(answers: readonly A[]): readonly A[] =>
  answers.filter(
    (one) =>
      !answers.some(
        (other) => other !== one && MAIN.every((of) => of(other) <= of(one)) && MAIN.some((of) => of(other) < of(one)),
      ),
  );

/**
 * The answers to show: the named ones, then those that differ most from all shown; while there are not three, those that are better
 * in the lesser measures alone, whoever hurts least first. By finish.
 */
export function chosen<A extends Choosable>(answers: readonly A[], most: number): readonly (A & Labelled)[] {
  const byFinish = answers.toSorted((a, b) => ALL.map((of) => of(a) - of(b)).find((more) => more !== 0) ?? 0);
  const labels = new Map<A, RushLabel[]>();
  const name = (answer: A | undefined, label: RushLabel): void => {
    if (answer !== undefined) labels.set(answer, [...(labels.get(answer) ?? []), label]);
  };
  name(byFinish[0], "earliest");
  name(
    byFinish.find(({ lateness }) => lateness === 0),
    "noPromiseBroken",
  );
  name(
    byFinish.find(({ difference }) => difference.moved.length === 0),
    "nothingMoves",
  );
  name(byFinish.toSorted((a, b) => a.cost.total - b.cost.total)[0], "balanced");
  const shown = new Set([...labels.keys()].slice(0, Math.max(most, NAMED.length)));
  const far = distances(byFinish);
  const gap = (answer: A): number => Math.min(...[...shown].map((other) => far(answer, other)));
  const fill = (from: readonly A[], count: number, by: (a: A, b: A) => number): void => {
    while (shown.size < Math.min(most, count)) {
      const next = from.filter((answer) => !shown.has(answer)).sort(by)[0];
      if (next === undefined) return;
      shown.add(next);
    }
  };
  fill(foremost(byFinish), most, (a, b) => gap(b) - gap(a));
  fill(byFinish, ANSWERS_LEAST, (a, b) => a.lateness - b.lateness || gap(b) - gap(a));
  const inOrder = byFinish.filter((answer) => shown.has(answer));
  const bestIn = { fewestOrders: 3, fewestTold: 4, leastAlone: 5, wholeBatches: 6 } as const;
  for (const answer of inOrder.filter((one) => !labels.has(one))) {
    const found = BEST_IN.find((label) => {
      const of = ALL[bestIn[label]] as (typeof ALL)[number];
      return inOrder.every((other) => other === answer || of(answer) < of(other));
    });
    if (found !== undefined) name(answer, found);
  }
  return inOrder.map((answer) => ({ ...answer, labels: labels.get(answer) ?? [] }));
}

/** How far two answers lie apart: each measure by its range over all of them. */
function distances(answers: readonly Measures[]): (a: Measures, b: Measures) => number {
  const ranges = ALL.map((of) => {
    const values = answers.map(of);
    return Math.max(1, Math.max(...values) - Math.min(...values));
  });
  return (a, b) => ALL.reduce((sum, of, i) => sum + Math.abs(of(a) - of(b)) / (ranges[i] ?? 1), 0);
}
