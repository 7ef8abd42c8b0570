/** Orders from a spreadsheet: cells as spreadsheets write them, dates that can be read in one way only, faults by row and column. */
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { demoShop } from "../../seed/demo-shop.ts";
import { type RouteTemplate, routeTemplateSchema } from "../../src/contract/api/shop.ts";
import { problemFileSchema, readProblemFile } from "../../src/contract/problem-file.ts";
import { cellsOf, csvOf, isBlocking, pastedMoment, pastedOrders } from "../../web/screens/orders/pasted-orders.ts";

const TEMPLATE: RouteTemplate = routeTemplateSchema.parse({
  id: "housing",
  name: "Housing",
  operations: [
    {
      id: "housing/10",
      modes: [
        { id: "mill-1", machines: ["mill-1"], phases: [{ kind: "run", flow: "solid", work: { kind: "fixed", minutes: 60 } }] },
      ],
    },
    {
      id: "housing/30",
      modes: [
        { id: "press", machines: ["press"], phases: [{ kind: "run", flow: "solid", work: { kind: "fixed", minutes: 60 } }] },
      ],
    },
  ],
  links: [{ kind: "lag", id: "l", from: "housing/10", to: "housing/30" }],
});

const MACHINES = [{ id: "mill-1", name: "Mill 1, five axes" }, { id: "press" }];
const paste = (text: string, templates = [TEMPLATE]) =>
  pastedOrders(text, { templates, machines: MACHINES, skill: "milling" }, ["2101", "2405"], "2026-06-10");

describe("cells", () => {
  test("come tab-, semicolon- or comma-separated, with quotes around separators and line ends", () => {
    expect(cellsOf("a\tb\r\n1, x\t2\r\n")).toEqual([
      ["a", "b"],
      ["1, x", "2"],
    ]);
    expect(cellsOf("a;b\n1,5;2")).toEqual([
      ["a", "b"],
      ["1,5", "2"],
    ]);
    expect(cellsOf('a,b\n"one, ""two""\nthree",4')).toEqual([
      ["a", "b"],
      ['one, "two"\nthree', "4"],
    ]);
    expect(cellsOf("")).toEqual([]);
  });

  test("written as CSV are read back as they were", () => {
    const cell = fc.string().map((text) => text.replace(/[\r\t;]/g, " ").trim());
    const table = fc.array(fc.tuple(fc.constant("x"), cell, fc.constant("y")), { minLength: 1 });
    fc.assert(
      fc.property(table, (rows) => {
        expect(cellsOf(csvOf([["a", "b", "c"], ...rows]))).toEqual([["a", "b", "c"], ...rows]);
      }),
    );
  });
});

test("dates are read in one way or refused", () => {
  const read = (text: string) => {
    const result = pastedMoment(text);
    return "moment" in result ? result.moment : null;
  };
  expect(
    ["2026-12-18", "18.12.2026", "18.12.2026 9:05", "2026-12-18T14:00", "12/18/2026", "18/12/2026", "5/5/2026"].map(read),
  ).toEqual(["2026-12-18", "2026-12-18", "2026-12-18T09:05", "2026-12-18T14:00", "2026-12-18", "2026-12-18", "2026-05-05"]);
  expect(["04/05/2026", "30.02.2026", "2026-12-18 25:00", "18.12.26", "soon"].map(read)).toEqual([null, null, null, null, null]);
  expect(pastedMoment("04/05/2026")).toEqual({ message: expect.stringContaining("two ways") });
});

describe("rows", () => {
  test("become orders with the operations of their route, numbers going on where the book ends", () => {
    const { orders, faults } = paste(
      "Name\tPieces\tDue\tRoute\tCustomer\nKestrel 40 housing\t24\t2026-07-01\thousing\tTrial Ltd\n\nWren 12 housing\t\t\tHOUSING\t\n",
    );
    expect(faults).toEqual([]);
    expect(
      orders.map(({ row, order }) => [
        row,
        order.id,
        order.name,
        order.quantity,
        order.due,
        order.requester,
        order.operations.map(({ id }) => id),
      ]),
    ).toEqual([
      [2, "2406", "Kestrel 40 housing", 24, "2026-07-01", "Trial Ltd", ["2406/10", "2406/30"]],
      [4, "2407", "Wren 12 housing", 1, null, null, ["2407/10", "2407/30"]],
    ]);
  });

  test("fit into the shop they are pasted into", () => {
    const file = problemFileSchema.parse(demoShop("2026-06-10T08:00:00Z"));
    const { orders } = paste("Number,Name,Pieces,Route\n9001,Housing,8,Housing\n9002,Housing,9,Housing");
    const read = readProblemFile({
      ...file,
      published: null,
      orders: [...file.orders, ...orders.map(({ order: { links: _links, kitSpans: _kitSpans, ...order } }) => order)],
      links: [...file.links, ...orders.flatMap(({ order }) => order.links)],
    });
    expect(read.ok ? [] : read.error).toEqual([]);
  });

  test("of a shop without routes become one operation on a machine, of so many hours; both are asked for where they cannot be read", () => {
    const { orders, faults } = paste(
      "Name\tMachine\tHours\nAxle\tmill 1, five axes\t3,5\nBush\tpress\t3 h 40\nNut\tlathe\t2\nBolt\tpress\tlong\nPin\t\t1",
      [],
    );
    expect(
      orders.map(({ order: { id, operations } }) => [
        id,
        operations.map(({ id, modes: [mode] }) => [
          id,
          mode?.machines,
          mode?.phases.map(({ kind, work, needs }) => [kind, work, needs]),
        ]),
      ]),
    ).toEqual([
      ["2406", [["2406/10", ["mill-1"], [["run", { kind: "fixed", minutes: 210 }, [{ skill: "milling", amount: 100 }]]]]]],
      ["2407", [["2407/10", ["press"], [["run", { kind: "fixed", minutes: 220 }, [{ skill: "milling", amount: 100 }]]]]]],
    ]);
    expect(faults.map(({ row, column }) => [row, column])).toEqual([
      [4, "Machine"],
      [5, "Hours"],
      [6, "route"],
    ]);
  });

  test("with faults name row and column, all of them at once, and hold back only themselves", () => {
    const { orders, faults } = paste(
      "Order;Qty;Due;Route;Colour\n2101;2;;housing;red\n3000;two;next week;nowhere;blue\n3001;0;;housing;\n3002;1;;housing;\n3002;1;;housing;",
    );
    expect(orders.map(({ order }) => order.id)).toEqual(["3002"]);
    expect(faults.filter(isBlocking).map(({ row, column }) => [row, column])).toEqual([
      [2, "Order"],
      [3, "Route"],
      [3, "Qty"],
      [3, "Due"],
      [4, "Qty"],
      [6, "Order"],
    ]);
    expect(faults.filter((fault) => !isBlocking(fault)).map(({ column }) => column)).toEqual(["Colour"]);
  });

  test("without column names are refused as a whole", () => {
    expect(paste("Kestrel\t24").faults).toEqual([{ row: 1, column: "", message: expect.stringContaining("column names") }]);
    expect(paste("").faults).toEqual([]);
  });
});
