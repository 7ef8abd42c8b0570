/** Critical chain and slack: published project networks, hand cases, and random shops judged by the checker and by replay. */
import { describe, expect, test } from "vitest";
import { check } from "../../../src/core/check/checker.ts";
import { criticalChain } from "../../../src/core/explain/critical-chain.ts";
import { makePlan } from "../../../src/core/plan/make-plan.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { NO_RISK } from "../../../src/core/risk/risk-profile.ts";
import { howSure } from "../../../src/core/risk/risk-report.ts";
import { tinyProblem } from "../../arbitraries/tiny-problem.ts";
import { lag, operation, order, plan, put, run, shop } from "../check/shop.ts";
import { CONSTRUCTION, type Project, projectShop, SMALL_PROJECT, WEEK } from "../risk/project-networks.ts";

describe("published project networks", () => {
  const figures = (project: Project) => {
    const { problem, plan: made } = projectShop(project, null);
    const { chain, slacks } = criticalChain(problem, made);
    const late = slacks.filter(({ pushing }) => pushing > 0).map(({ operation: id, pushing }) => [id, pushing / WEEK]);
    return { chain: chain.map((step) => step.operation).join("-"), slack: Object.fromEntries(late) as Record<string, number> };
  };

  // Anderson, Sweeney, Williams, Introduction to Management Science, PERT chapter.
  test("Anderson, Sweeney, Williams: A-E-H-I-J; slack B 7, C 4, D 1, F 4, G 1", () => {
    expect(figures(SMALL_PROJECT)).toEqual({ chain: "A-E-H-I-J", slack: { B: 7, C: 4, D: 1, F: 4, G: 1 } });
  });

  // Hillier, Lieberman, Introduction to Operations Research, construction project (from memory, recomputed).
  test("Hillier, Lieberman: A-B-C-E-F-J-L-N; slack D 4, G 4, H 4, I 2, K 1, M 4", () => {
    expect(figures(CONSTRUCTION)).toEqual({ chain: "A-B-C-E-F-J-L-N", slack: { D: 4, G: 4, H: 4, I: 2, K: 1, M: 4 } });
  });
});

describe("by hand: one crew, Monday's shift 420 to 900", () => {
  const problem = shop({
    orders: [order("ox", { due: 900 }), order("oy", { due: 3000 }), order("oz")],
    operations: [
      operation("x", { order: "ox", phases: [run(120)] }),
      operation("y", { order: "oy", phases: [run(60)] }),
      operation("z", { order: "oz", machines: ["n"], phases: [run(60)] }),
    ],
    links: [lag("y", "z", 30)],
  });
  const made = plan(problem, put("x", [[420, 540]]), put("y", [[540, 600]]), put("z", [[1860, 1920]]));

  test("the chain names the machine that y waited for; z waited for nothing", () => {
    expect(criticalChain(problem, made, "oy").chain).toMatchObject([
      { operation: "x", because: { kind: "now" }, after: null },
      { operation: "y", because: { kind: "machine", machine: "m" }, after: "x" },
    ]);
    expect(criticalChain(problem, made).chain).toMatchObject([{ operation: "z", because: { kind: "choice" }, after: null }]);
  });

  test("slack alone and pushing: x is stuck before y, pushed it has what its due date leaves", () => {
    const slack = new Map(criticalChain(problem, made).slacks.map((entry) => [entry.operation, entry]));
    expect(slack.get("x")).toMatchObject({ alone: 0, pushing: 300 }); // 720 to 840, then y 840 to 900
    expect(slack.get("y")).toMatchObject({ alone: 300, pushing: 300 }); // ends 900 with the shift; tomorrow z and its lag stand
    expect(slack.get("z")).toMatchObject({ alone: 0, pushing: 0 }); // nothing was promised, so its planned end is the limit
  });
});

/** The same problem with a window that opens `later` minutes after the planned start of the operation. */
const heldBack = (problem: Problem, id: string, start: number): Problem => ({
  ...problem,
  operations: problem.operations.map((op) => (op.id === id ? { ...op, window: { ...op.window, start } } : op)),
});

const limitsKept = (problem: Problem, before: Plan): boolean => {
  const ends = (of: Problem) => howSure(of, before, { seed: 1, runs: 1, profile: NO_RISK }).orders;
  return ends(problem).every(({ due, planned, dates }) => {
    const end = dates.p50 ?? Number.POSITIVE_INFINITY;
    return end <= Math.max(due ?? planned, planned);
  });
};

test("random shops: with its slack spent an operation makes no order later than allowed, with a minute more it does", () => {
  const counts = { spent: 0, past: 0, slack: 0 };
  for (let seed = 1; seed <= 120; seed++) {
    const problem = tinyProblem(seed, { enumerable: true });
    if (
      problem.orders.some(({ deadline }) => deadline !== null) ||
      problem.links.some((link) => link.kind !== "lag" || link.maxLag !== null)
    )
      continue;
    const { plan: made, conflicts } = makePlan(problem, { seed, iterations: 30 });
    if (conflicts.length > 0) continue;
    const starts = new Map(made.operations.map(({ operation: id, lots }) => [id, lots[0]?.start ?? 0]));
    for (const { operation: id, pushing } of criticalChain(problem, made).slacks) {
      const own = problem.operations.find((op) => op.id === id);
      if (
        own === undefined ||
        own.pin !== null ||
        own.window.end !== null ||
        own.modes.some(({ phases }) => phases.some(({ maxWait }) => maxWait !== null))
      )
        continue;
      const start = starts.get(id) ?? 0;
      expect(limitsKept(heldBack(problem, id, start + pushing), made), `seed ${seed}, ${id}, ${pushing}`).toBe(true);
      counts.spent++;
      if (pushing > 0) counts.slack++;
      if (!limitsKept(heldBack(problem, id, start + pushing + 1), made)) counts.past++;
    }
  }
  expect(counts.spent).toBeGreaterThan(60);
  expect(counts.slack).toBeGreaterThan(15);
  expect(counts.past, JSON.stringify(counts)).toBeGreaterThan(0.9 * counts.spent);
});

test("the plan that is judged has no conflicts", () => {
  const { problem, plan: made } = projectShop(SMALL_PROJECT, null);
  expect(check(problem, made).conflicts).toEqual([]);
});
