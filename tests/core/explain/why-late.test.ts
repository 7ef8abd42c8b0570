/** Why late: the chain from the last work of a late order back to its root. */
import { expect, test } from "vitest";
import { whyLate } from "../../../src/core/explain/why-late.ts";
import { lag, operation, order, plan, put, run, shop } from "../check/shop.ts";

test("over a link and a busy machine back to the first work of the day, which waited for its material", () => {
  const problem = shop({
    orders: [order("early", { release: 440 }), order("late", { release: 400, due: 600 })],
    operations: [
      operation("a", { order: "early", machines: ["m"], phases: [run(120, { needs: 0 })] }),
      operation("x", { order: "late", machines: ["m"], phases: [run(60, { needs: 0 })] }),
      operation("y", { order: "late", machines: ["n"], phases: [run(60, { needs: 0 })] }),
    ],
    links: [lag("x", "y", 0)],
    crews: [],
  });
  const made = plan(problem, put("a", [[440, 560]]), put("x", [[560, 620]]), put("y", [[620, 680]]));
  const why = whyLate(problem, made, "late");
  expect(why).toMatchObject({ order: "late", due: 600, end: 680, lateMinutes: 80 });
  expect(why?.steps.map(({ operation: id, reasons, follows }) => [id, reasons[0]?.kind, follows])).toEqual([
    ["y", "link", "x"],
    ["x", "machineBusy", "a"],
    ["a", "release", null],
  ]);
  expect(whyLate(problem, made, "early")).toBeNull();
});

test("work that rests over the night says so", () => {
  const problem = shop({
    orders: [order("o", { due: 900 })],
    operations: [operation("x", { phases: [run(600, { flow: "pausable" })] })],
  });
  const why = whyLate(
    problem,
    plan(
      problem,
      put("x", [
        [
          [420, 900],
          [1860, 1980],
        ],
      ]),
    ),
    "o",
  );
  expect(why?.steps[0]).toMatchObject({ operation: "x", workMinutes: 600, follows: null });
  expect(why?.steps[0]?.sentence).toContain("It works 10 h and lasts 26 h");
});
