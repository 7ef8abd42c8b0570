/**
 * Threads that exchange their best: the same problem, seed, iterations and number of threads give the same bytes, whichever
 * thread is faster; one thread is what a plain run is; what one thread proves holds for the plan of another.
 * Oracles: mk01 cannot be shorter than 40 (P. Brandimarte, Annals of OR 41, 1993); ft06 has 55 (Fisher and Thompson 1963).
 */
import { expect, test } from "vitest";
import { MK01 } from "../../seed/instances/flexible-and-setups.ts";
import { FT06 } from "../../seed/instances/job-shops.ts";
import { generateShop } from "../../seed/shop-generator.ts";
import { problemFromFlexible, problemFromJobShop } from "../../src/contract/benchmark-problem.ts";
import { readProblemFile } from "../../src/contract/problem-file.ts";
import { makePlan } from "../../src/core/plan/make-plan.ts";
import { readFlexibleJobShop } from "../../src/core/problem/formats/flexible-job-shop.ts";
import { readJobShop } from "../../src/core/problem/formats/job-shop.ts";
import { mergeRound, type RoundReport } from "../../src/core/solve/rounds.ts";
import { planOnThreads, planUnlessStopped } from "../../src/threads/plan-on-threads.ts";

function mk01() {
  const read = readFlexibleJobShop(MK01);
  if (!read.ok) throw new Error(read.error.message);
  return problemFromFlexible(read.value, "mk01");
}

test("two threads over several rounds give the same plan each time, checked and not below the optimum", async () => {
  const problem = mk01();
  const request = { seed: 3, threads: 2, iterations: 32_000 };
  const [a, b] = await Promise.all([planOnThreads(problem, request), planOnThreads(problem, request)]);
  expect(JSON.stringify(b.outcome)).toBe(JSON.stringify(a.outcome));
  expect(b.iterations).toBe(a.iterations);
  expect(a.iterations).toBeGreaterThanOrEqual(64_000);
  expect(a.outcome.conflicts).toEqual([]);
  expect(a.outcome.cost.parts.makespan).toBeGreaterThanOrEqual(40);
});

test("one thread is a plain run", async () => {
  const problem = mk01();
  const { outcome } = await planOnThreads(problem, { seed: 5, threads: 1, iterations: 17_000 });
  expect(JSON.stringify(outcome)).toBe(JSON.stringify(makePlan(problem, { seed: 5, iterations: 17_000 })));
});

test("without a limit a proof ends all threads; a stop ends them with the best so far", async () => {
  const read = readJobShop(FT06);
  if (!read.ok) throw new Error(read.error.message);
  const proven = await planOnThreads(problemFromJobShop(read.value, "ft06"), { seed: 1, threads: 2 });
  expect(proven.outcome).toMatchObject({ bound: { kind: "optimal" }, cost: { total: 55 }, conflicts: [] });

  const stop = new AbortController();
  const stopped = await planOnThreads(mk01(), { seed: 1, threads: 2, stop: stop.signal, onProgress: () => stop.abort() });
  expect(stopped.outcome.conflicts).toEqual([]);
});

test("a stop that will not wait gets no plan before the first one stands, and a plan afterwards", async () => {
  const read = readProblemFile(generateShop("300", 1));
  if (!read.ok) throw new Error(JSON.stringify(read.error));
  const early = new AbortController();
  early.abort();
  const request = { seed: 1, threads: 2, stop: early.signal };
  expect(await planUnlessStopped(read.value, request)).toBeNull();
  const later = new AbortController();
  const stopped = await planUnlessStopped(read.value, {
    seed: 1,
    threads: 2,
    stop: later.signal,
    onProgress: () => later.abort(), // the first thread that has one tells; the other may not have got so far
  });
  expect(stopped?.outcome.conflicts).toEqual([]);
  expect(stopped?.outcome.plan.operations).toHaveLength(300);
});

test("reports are merged in the order of the threads", () => {
  const elite = (mark: number): Int32Array => Int32Array.of(mark);
  const report = (total: number, more: Partial<RoundReport> = {}): RoundReport => ({
    conflicts: 0,
    total,
    lowerBound: 10,
    finished: false,
    iterations: 1,
    elites: [elite(total)],
    ...more,
  });
  // Conflicts count before cost; of equals the first wins; who is finished is not sent on, but its elites are.
  expect(mergeRound([report(15, { conflicts: 1 }), report(20, { finished: true }), report(20, { lowerBound: 12 })])).toEqual({
    winner: 1,
    lowerBound: 12,
    next: [
      { thread: 0, visitors: [elite(20), elite(20)] },
      { thread: 2, visitors: [elite(15), elite(20)] },
    ],
  });
  // The first has found what the second has proven.
  expect(mergeRound([report(12), report(14, { lowerBound: 12 })])).toEqual({ winner: 0, lowerBound: 12, next: [] });
  // A bound proves nothing about a plan with conflicts.
  expect(mergeRound([report(9, { conflicts: 1 })]).next).toHaveLength(1);
});
