/** Draft and scenarios side by side, figures by hand: each plan in its own shop, moves against the draft. */
import { expect, test } from "vitest";
import { sideBySide } from "../../../src/core/scenario/side-by-side.ts";
import { machine, mode, operation, order, plan, put, run, shop, table } from "../check/shop.ts";

const setup = table(
  ["V", "T"],
  [
    [0, 30],
    [20, 0],
  ],
);
const work = {
  machines: [machine("m", { setup, family: "V" }), machine("n")],
  operations: [
    operation("x", { order: "a", family: "T" }),
    operation("y", { order: "b", modes: [mode("m", ["m"], [run(60)], { families: ["V"] }), mode("n", ["n"], [run(60)])] }),
  ],
};
const draft = shop({ ...work, orders: [order("a", { due: 500 }), order("b", { due: 480 })] });
const postponed = shop({ ...work, orders: [order("a", { due: 500 }), order("b", { due: 600 })] });

test("columns measure each plan in its own shop, and show only what moved", () => {
  const first = { problem: draft, plan: plan(draft, put("x", [[450, 510]]), put("y", [[530, 590]], { mode: "m" })) };
  const second = { problem: postponed, plan: plan(postponed, put("x", [[450, 510]]), put("y", [[510, 570]], { mode: "n" })) };
  const { columns, orders } = sideBySide(first, [second], 1440);
  expect(columns.map(({ measures }) => [measures.setups, measures.lateMinutes, measures.end])).toEqual([
    [2, 10 + 110, 590],
    [1, 10, 570],
  ]);
  expect(columns[0]?.moved).toEqual([]);
  expect(columns[1]?.moved).toEqual([
    {
      operation: "y",
      name: "Operation y",
      order: "b",
      from: { start: 530, end: 590, machines: ["m"] },
      to: { start: 510, end: 570, machines: ["n"] },
    },
  ]);
  expect(columns.map(({ load }) => load)).toEqual([
    [
      { machine: "m", occupied: 120, open: 1440 },
      { machine: "n", occupied: 0, open: 1440 },
    ],
    [
      { machine: "m", occupied: 60, open: 1440 },
      { machine: "n", occupied: 60, open: 1440 },
    ],
  ]);
  expect(orders.map(({ order: id, sides }) => [id, ...sides.map(({ late }) => late)])).toEqual([
    ["b", 110, 0],
    ["a", 10, 10],
  ]);
});

test("an order that only a scenario has is not planned in the draft", () => {
  const more = shop({
    ...work,
    operations: [...work.operations, operation("c1", { order: "c", machines: ["n"] })],
    orders: [...draft.orders, order("c", { due: 450 })],
  });
  const first = { problem: draft, plan: plan(draft, put("x", [[450, 510]])) };
  const { columns, orders } = sideBySide(
    first,
    [{ problem: more, plan: plan(more, put("x", [[450, 510]]), put("c1", [[510, 570]])) }],
    1440,
  );
  expect(columns[1]?.moved.map(({ operation: id, from }) => [id, from])).toEqual([["c1", null]]);
  expect(orders.find(({ order: id }) => id === "c")?.sides).toEqual([
    { due: null, end: null, late: 0 },
    { due: 450, end: 570, late: 120 },
  ]);
});
