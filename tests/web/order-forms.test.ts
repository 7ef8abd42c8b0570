/** What forms make of orders: new ones the contract accepts, copies that share nothing, faults at the place they belong to. */
import { describe, expect, test } from "vitest";
import { z } from "zod";
import { demoShop } from "../../seed/demo-shop.ts";
import { type OrderBody, type OrderSummary, orderBodySchema } from "../../src/contract/api/order.ts";
import { ratesSchema } from "../../src/contract/api/rates.ts";
import { SETTINGS } from "../../src/contract/api/setting.ts";
import { PLANT, PLANT_KINDS, routeTemplateSchema } from "../../src/contract/api/shop.ts";
import { siteInputSchema } from "../../src/contract/api/site.ts";
import { problemFileSchema, readProblemFile } from "../../src/contract/problem-file.ts";
import { faultUnder, pointer, shifted } from "../../web/forms/lens.ts";
import { placeText } from "../../web/forms/place-text.ts";
import { schemaFaults } from "../../web/forms/use-form.ts";
import { placedFault } from "../../web/screens/exchange/fault-place.ts";
import {
  chained,
  duplicated,
  newMode,
  newOperation,
  newOrder,
  nextId,
  nextOperationId,
  renumbered,
  templateOf,
  withTemplate,
} from "../../web/screens/orders/order-defaults.ts";
import { filterOrders, ORDERS_PER_PAGE, type OrderFilter, pageOfOrders } from "../../web/screens/orders/order-filter.ts";
import { FRESH, idOfName, mirrored, withFamily, withMinutes, withoutFamily } from "../../web/screens/setup/plant-defaults.ts";
import { words } from "../../web/words/words.ts";

const file = problemFileSchema.parse(demoShop("2026-06-10T08:00:00Z"));

const bodyOf = (id: string): OrderBody => {
  const order = file.orders.find((candidate) => candidate.id === id);
  if (!order) throw new Error(`the demo shop has no order ${id}`);
  const own = new Set(order.operations.map((operation) => operation.id));
  return { ...order, links: file.links.filter(({ to }) => own.has(to)), kitSpans: file.kitSpans.filter(({ to }) => own.has(to)) };
};

const withRoute = (): OrderBody => {
  const order = newOrder("2406", "2026-06-10");
  const operations = [10, 20, 30].map((number) => newOperation(`2406/${number}`, newMode("way", ["mill-1"], "milling")));
  return { ...order, operations };
};

describe("the place of a fault", () => {
  test("is said in the words of the forms", () => {
    expect(placeText("/operations/1/modes/0/phases/2/minutes")).toBe("Operation 2 › Way 1 › Phase 3 › Duration");
    expect([placeText("/operations"), placeText("/setup/mill-1"), placeText("")]).toEqual([
      "Operations",
      "Setup times › mill-1",
      "",
    ]);
  });

  test("every field that a form can send has its word", () => {
    const names = new Set<string>();
    const seen = new Set<object>();
    const collect = (part: unknown): void => {
      if (typeof part !== "object" || part === null || seen.has(part)) return;
      seen.add(part);
      const { properties } = part as { properties?: object };
      if (properties) for (const name of Object.keys(properties)) names.add(name);
      for (const below of Object.values(part)) collect(below);
    };
    const forms = [...Object.values(PLANT), orderBodySchema, siteInputSchema, ratesSchema, ...Object.values(SETTINGS)];
    for (const schema of forms) collect(z.toJSONSchema(schema as z.ZodType, { io: "input", unrepresentable: "any" }));
    expect(names.size).toBeGreaterThan(100);
    expect([...names].filter((name) => words.fields[name] === undefined)).toEqual([]);
  });
});

describe("new things", () => {
  test("are what the contract accepts, once they have what only a person knows", () => {
    expect(schemaFaults(orderBodySchema, withRoute())).toEqual([]);
    for (const kind of PLANT_KINDS) {
      const fresh = FRESH[kind]("new", { calendars: [{ id: "day" }], machines: [{ id: "mill-1" }], first: true });
      const missing = schemaFaults(PLANT[kind], fresh).map((fault) => fault.pointer);
      expect(missing, kind).toEqual(kind === "run-hour-rules" ? ["/operations"] : []);
    }
  });

  test("an order without operations is refused at its list of operations", () => {
    expect(schemaFaults(orderBodySchema, newOrder("1", "2026-06-10"))).toEqual([
      { pointer: "/operations", message: "expected at least 1 entry, found none" },
    ]);
  });

  test("numbers go on where the book ends", () => {
    expect(nextId(["2101", "2290", "2205"])).toBe("2291");
    expect(nextId(["P-0099", "P-0008"])).toBe("P-0100");
    expect(nextId([])).toBe("1");
    expect(nextOperationId("7", [{ id: "7/10" }, { id: "7/35" }])).toBe("7/40");
    expect(idOfName("Mill 2, pallets", new Set(["mill-2-pallets"]), "machines")).toBe("mill-2-pallets-2");
    expect(idOfName("Prüfstand Ö", new Set(), "machines")).toBe("prufstand-o");
    expect(idOfName("***", new Set(), "machines")).toBe("machines");
  });
});

describe("copies", () => {
  const original = bodyOf("2302");
  const copy = duplicated(original, "9001");

  test("share no id with the original, keep its route, and forget what happened to it", () => {
    const ids = (order: OrderBody) => [
      order.id,
      ...order.operations.map(({ id }) => id),
      ...order.links.map(({ id }) => id),
      ...order.kitSpans.map(({ id }) => id),
    ];
    const before = new Set(ids(original));
    expect(ids(copy).filter((id) => before.has(id))).toEqual([]);
    expect(copy.operations.length).toBe(original.operations.length);
    expect(
      copy.operations.every(({ pin, progress }) => pin === null && progress.done.length === 0 && progress.running.length === 0),
    ).toBe(true);
    expect(original.links.length).toBeGreaterThan(0);
    const own = new Set(copy.operations.map(({ id }) => id));
    expect(copy.links.every(({ from, to }) => own.has(from) && own.has(to))).toBe(true);
  });

  test("make a problem that can be read together with the original", () => {
    const { links, kitSpans, ...order } = copy;
    const read = readProblemFile({
      ...file,
      published: null,
      orders: [...file.orders, order],
      links: [...file.links, ...links],
      kitSpans: [...file.kitSpans, ...kitSpans],
    });
    expect(read.ok ? [] : read.error).toEqual([]);
  });

  test("through a template and back give the same route under another number", () => {
    const template = templateOf(original, "endurance");
    expect(schemaFaults(routeTemplateSchema, template)).toEqual([]);
    const again = withTemplate({ ...newOrder("9002", "2026-06-10"), operations: [] }, template);
    const route = (order: OrderBody) =>
      order.operations.map(({ id, modes, name }) => ({ number: id.split("/")[1], modes, name }));
    expect(route(again)).toEqual(route(original));
    const ends = (order: OrderBody) =>
      order.links
        .filter(({ from }) => order.operations.some(({ id }) => id === from))
        .map(({ from, to }) => [from.split("/")[1], to.split("/")[1]]);
    expect(ends(again)).toEqual(ends(original));
  });

  test("a template copied into an order that has operations takes free numbers", () => {
    const twice = withTemplate(withTemplate(newOrder("1", "2026-06-10"), templateOf(original, "t")), templateOf(original, "t"));
    const ids = twice.operations.map(({ id }) => id);
    expect(new Set(ids).size).toBe(ids.length);
    expect(ids.length).toBe(2 * original.operations.length);
    expect(new Set(twice.links.map(({ id }) => id)).size).toBe(twice.links.length);
  });

  test("another number renames operations and links with it", () => {
    const order = { ...withRoute(), links: chained(withRoute()) };
    const other = renumbered(order, "77");
    expect(other.operations.map(({ id }) => id)).toEqual(["77/10", "77/20", "77/30"]);
    expect(other.links.map(({ id, from, to }) => [id, from, to])).toEqual([
      ["77-link-1", "77/10", "77/20"],
      ["77-link-2", "77/20", "77/30"],
    ]);
    expect(chained(other)).toEqual(other.links); // already linked: nothing is added
  });
});

describe("faults", () => {
  test("stand at the field, or at the nearest thing that is on screen", () => {
    const order = withRoute();
    const broken = {
      ...order,
      quantity: 0,
      operations: order.operations.map((operation, i) => (i === 1 ? { ...operation, modes: [] } : operation)),
    };
    const faults = schemaFaults(orderBodySchema, broken);
    expect(faults.map((fault) => fault.pointer)).toEqual(["/quantity", "/operations/1/modes"]);
    expect(faultUnder(faults, "/operations/1")).toBe("expected at least 1 entry, found none");
    expect(faultUnder(faults, "/operations/10")).toBeNull();
    expect(pointer(["a/b", 0, "c~d"])).toBe("/a~1b/0/c~0d");
  });

  test("of a file name the entry by its id and count from one", () => {
    const json = { orders: [{ id: "A" }, { id: "B", operations: [{ id: "B/10", modes: [{ id: "m" }] }] }] };
    expect(placedFault({ pointer: "orders[1].operations[0].modes[0].phases", message: "is missing" }, json)).toEqual({
      place: "orders",
      entry: "orders 2 (B), operations 1 (B/10), modes 1 (m)",
      field: "phases",
      message: "is missing",
    });
    expect(placedFault({ pointer: "/horizon", message: "x" }, json)).toMatchObject({
      place: "horizon",
      entry: "",
      field: "horizon",
    });
    expect(placedFault({ pointer: "(file)", message: "x" }, json)).toMatchObject({ place: "", entry: "", field: "" });
  });
});

test("setup tables stay square whatever is done to them", () => {
  const table = {
    id: "t",
    families: ["A", "B"],
    minutes: [
      [0, 30],
      [45, 0],
    ],
  };
  const three = withMinutes(withFamily(table, "C", 50), 0, 2, 70);
  expect(three.minutes).toEqual([
    [0, 30, 70],
    [45, 0, 50],
    [50, 50, 0],
  ]);
  expect(mirrored(three).minutes).toEqual([
    [0, 30, 70],
    [30, 0, 50],
    [70, 50, 0],
  ]);
  expect(withoutFamily(three, 1)).toMatchObject({
    families: ["A", "C"],
    minutes: [
      [0, 70],
      [50, 0],
    ],
  });
  expect(PLANT["setup-tables"].safeParse(three).success).toBe(true);
});

test("entries move one place and never past an end", () => {
  expect([shifted(["a", "b", "c"], 1, -1), shifted(["a", "b", "c"], 0, -1), shifted(["a", "b", "c"], 2, 1)]).toEqual([
    ["b", "a", "c"],
    ["a", "b", "c"],
    ["a", "b", "c"],
  ]);
});

describe("the order book on screen", () => {
  const entry = (id: string, more: Partial<OrderSummary>): OrderSummary => ({
    id,
    name: `Order ${id}`,
    kind: "production",
    requester: null,
    quantity: 1,
    weight: 1,
    release: 0,
    due: null,
    deadline: null,
    operations: 1,
    state: "planned",
    running: false,
    completion: 0,
    late: 0,
    ...more,
  });
  const book = [
    entry("10", { due: 500 }),
    entry("9", { due: 100, late: 40, state: "late", running: true }),
    entry("2", { state: "done", due: 300 }),
    entry("11", { kind: "prototype", requester: "R. Osei", state: "unplanned" }),
  ];
  const all: OrderFilter = { search: "", state: "", kind: "", sort: "due", descending: false };
  const ids = (filter: Partial<OrderFilter>) => filterOrders(book, { ...all, ...filter }).map(({ id }) => id);

  test("what has no date comes last either way; numbers sort as numbers", () => {
    expect(ids({})).toEqual(["9", "2", "10", "11"]);
    expect(ids({ descending: true })).toEqual(["10", "2", "9", "11"]);
    expect(ids({ sort: "id" })).toEqual(["2", "9", "10", "11"]);
    expect(ids({ sort: "state" })).toEqual(["9", "11", "10", "2"]);
  });

  test("late work that runs is found as late, as running and as open", () => {
    expect(ids({ state: "late" })).toEqual(["9"]);
    expect(ids({ state: "running" })).toEqual(["9"]);
    expect(ids({ state: "open" })).toEqual(["9", "10", "11"]);
    expect(ids({ kind: "prototype" })).toEqual(["11"]);
    expect(ids({ search: "osei 11" })).toEqual(["11"]);
    expect(ids({ search: "osei 12" })).toEqual([]);
  });

  test("pages hold everything once", () => {
    const many = Array.from({ length: 2 * ORDERS_PER_PAGE + 1 }, (_, i) => i);
    expect([1, 2, 3].flatMap((page) => [...pageOfOrders(many, page).shown])).toEqual(many);
    expect(pageOfOrders(many, 99).page).toBe(3);
    expect(pageOfOrders([], 1)).toEqual({ shown: [], page: 1, pages: 1 });
  });
});
