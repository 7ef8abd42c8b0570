/**
 * Two published project networks with three-point durations, as problems without machines: each activity an operation of one order,
 * planned at its mean duration and its earliest start. A week is 600 minutes, so that all means are whole.
 * Anderson, Sweeney, Williams, Introduction to Management Science, PERT chapter (weeks): `SMALL_PROJECT`.
 * Hillier, Lieberman, Introduction to Operations Research, construction project (data from memory, recomputed): `CONSTRUCTION`.
 */
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { pertMean, type ThreePoint } from "../../../src/core/risk/pert.ts";
import { NO_RISK, type RiskProfile } from "../../../src/core/risk/risk-profile.ts";
import { lag, mode, operation, order, plan, put, run, shop } from "../check/shop.ts";

export const WEEK = 600;

export type Project = {
  readonly activities: Readonly<Record<string, readonly [best: number, likely: number, worst: number]>>;
  readonly after: Readonly<Record<string, string>>;
};

export const SMALL_PROJECT: Project = {
  activities: {
    A: [4, 5, 12],
    B: [1, 1.5, 5],
    C: [2, 3, 4],
    D: [3, 4, 11],
    E: [2, 3, 4],
    F: [1.5, 2, 2.5],
    G: [1.5, 3, 4.5],
    H: [2.5, 3.5, 7.5],
    I: [1.5, 2, 2.5],
    J: [1, 2, 3],
  },
  after: { C: "A", D: "A", E: "A", F: "C", G: "D", H: "BE", I: "H", J: "FGI" },
};

export const CONSTRUCTION: Project = {
  activities: {
    A: [1, 2, 3],
    B: [2, 3.5, 8],
    C: [6, 9, 18],
    D: [4, 5.5, 10],
    E: [1, 4.5, 5],
    F: [4, 4, 10],
    G: [5, 6.5, 11],
    H: [5, 8, 17],
    I: [3, 7.5, 9],
    J: [3, 9, 9],
    K: [4, 4, 4],
    L: [1, 5.5, 7],
    M: [1, 2, 3],
    N: [5, 5.5, 9],
  },
  after: { B: "A", C: "B", D: "C", E: "C", F: "E", G: "D", H: "EG", I: "C", J: "FI", K: "J", L: "J", M: "H", N: "KL" },
};

export const pointOf = ([best, likely, worst]: readonly [number, number, number]): ThreePoint => ({
  best: best * WEEK,
  likely: likely * WEEK,
  worst: worst * WEEK,
});

export function projectShop(project: Project, dueWeeks: number | null): { problem: Problem; plan: Plan; profile: RiskProfile } {
  const mean = (id: string): number => pertMean(pointOf(project.activities[id] ?? [0, 0, 0]));
  const ids = Object.keys(project.activities);
  const free = mode("a", [], []);
  const problem = shop({
    horizon: 100_000,
    crews: [],
    orders: [order("o", { due: dueWeeks === null ? null : dueWeeks * WEEK })],
    operations: ids.map((id) => operation(id, { modes: [{ ...free, phases: [run(mean(id), { needs: 0 })] }] })),
    links: ids.flatMap((id) => [...(project.after[id] ?? "")].map((before) => lag(before, id, 0))),
  });
  const end = new Map<string, number>();
  const puts = ids.map((id) => {
    const start = Math.max(0, ...[...(project.after[id] ?? "")].map((before) => end.get(before) ?? 0));
    end.set(id, start + mean(id));
    return put(id, [[start, start + mean(id)]]);
  });
  const operations = Object.fromEntries(
    ids.map((id) => {
      const { best, likely, worst } = pointOf(project.activities[id] ?? [0, 0, 0]);
      return [id, { best: best / mean(id), likely: likely / mean(id), worst: worst / mean(id) }];
    }),
  );
  return { problem, plan: plan(problem, ...puts), profile: { ...NO_RISK, operations, starts: "asSoonAsPossible" } };
}
