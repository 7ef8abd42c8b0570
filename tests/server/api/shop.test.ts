/** Changing plant and orders over HTTP: lost updates, faults at their place, what is still needed, and every error as problem details. */
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { OrderBody, OrderSummary } from "../../../src/contract/api/order.ts";
import { problemDetailsSchema } from "../../../src/contract/api/problem-details.ts";
import type { Page } from "../../../src/contract/api/shop.ts";
import { type ShopServer, shopServer } from "../support/shop-server.ts";
import { jobOrder, smallWorkshop } from "../support/small-workshop.ts";

let server: ShopServer;
beforeAll(async () => {
  server = await shopServer();
  expect((await server.ask("PUT", "/shop", { body: smallWorkshop() })).status).toBe(200);
});
afterAll(() => server.close());

describe("lost updates", () => {
  const mill = (name: string) => ({ id: "mill-c", name, calendar: "days" });

  test("made without If-Match, changed only with the right one", async () => {
    const made = await server.ask("PUT", "/machines/mill-c", { body: mill("Mill C") });
    expect([made.status, made.etag]).toEqual([201, '"1"']);
    expect((await server.ask("PUT", "/machines/mill-c", { body: mill("Mine") })).status).toBe(428);
    const mine = await server.ask("PUT", "/machines/mill-c", { body: mill("Mine"), ifMatch: '"1"' });
    expect([mine.status, mine.etag]).toEqual([200, '"2"']);
    const late = await server.ask("PUT", "/machines/mill-c", { body: mill("Yours"), ifMatch: '"1"' });
    expect(late.status).toBe(412);
    expect(late.body.type).toBe("/problems/stale");
    const { body, etag } = await server.ask("GET", "/machines/mill-c");
    expect([body, etag]).toEqual([expect.objectContaining({ name: "Mine" }), '"2"']);
    expect((await server.ask("DELETE", "/machines/mill-c")).status).toBe(428);
    expect((await server.ask("DELETE", "/machines/mill-c", { ifMatch: '"1"' })).status).toBe(412);
    expect((await server.ask("DELETE", "/machines/mill-c", { ifMatch: '"2"' })).status).toBe(204);
    expect((await server.ask("GET", "/machines/mill-c")).status).toBe(404);
    expect((await server.ask("PUT", "/machines/mill-c", { body: mill("Again"), ifMatch: '"2"' })).status).toBe(412);
  });

  test("of twenty who changed the same thing at once, one wins", async () => {
    const { etag } = await server.ask("GET", "/site");
    const change = (i: number) => ({ name: `Name ${i}`, zone: "UTC", weights: {}, freezeHours: null, horizonDays: 14 });
    const all = await Promise.all(
      Array.from({ length: 20 }, (_, i) => server.ask("PUT", "/site", { body: change(i), ifMatch: etag })),
    );
    expect(all.map((reply) => reply.status).sort()).toEqual([200, ...Array<number>(19).fill(412)]);
  });
});

describe("orders", () => {
  test("entered, found, changed, taken out", async () => {
    const order = { ...jobOrder("new"), requester: "Test bay", notes: "by Friday" };
    const made = await server.ask("POST", "/orders", { body: order });
    expect([made.status, made.headers.get("location")]).toEqual([201, "/api/v1/orders/new"]);
    expect((await server.ask("POST", "/orders", { body: order })).status).toBe(409);
    const found = await server.ask<Page<OrderSummary>>("GET", "/orders?search=test%20BAY&state=unplanned");
    expect(found.body.items.map((item) => item.id)).toEqual(["new"]);
    const one = await server.ask<OrderBody>("GET", "/orders/new");
    expect(one.body).toMatchObject({ notes: "by Friday", due: 2_000, operations: [{ id: "new/1" }], links: [] });

    const link = { kind: "lag" as const, id: "after-P", from: "P/1", to: "new/1", minLag: 30 };
    const linked = await server.ask<OrderBody>("PUT", "/orders/new", { body: { ...one.body, links: [link] }, ifMatch: one.etag });
    expect(linked.body.links).toEqual([{ ...link, maxLag: null }]);
    const { status, body } = await server.ask("DELETE", "/orders/P", { ifMatch: '"1"' });
    expect([status, body.faults?.length]).toEqual([409, 1]);
    expect((await server.ask("DELETE", "/orders/new", { ifMatch: linked.etag })).status).toBe(204);
    expect((await server.ask("GET", "/orders/new")).status).toBe(404);
    const { body: trail } = await server.ask<{ items: { actor: string; action: string }[] }>("GET", "/audit?subject=order%20new");
    expect(trail.items.map(({ actor, action }) => `${actor} ${action}`)).toEqual([
      "Demo planner deleted",
      "Demo planner changed",
      "Demo planner made",
    ]);
  });

  test("pages", async () => {
    const page = async (query: string) => (await server.ask<Page<OrderSummary>>("GET", `/orders?${query}`)).body;
    expect(await page("page=2&size=2")).toMatchObject({ items: [{ id: "X" }], page: 2, size: 2, total: 3 });
    expect((await page("page=9&size=2")).items).toEqual([]);
    expect((await server.ask("GET", "/orders?size=0")).status).toBe(422);
    expect((await server.ask("GET", "/orders?sise=5")).body.faults).toEqual([expect.objectContaining({ pointer: "query" })]);
  });
});

describe("what is wrong is said where it is", () => {
  test("all faults at once, as pointers into the body", async () => {
    const order = { ...jobOrder("bad"), quantity: 0, weight: "much" };
    const { status, body } = await server.ask("POST", "/orders", { body: order });
    expect(status).toBe(422);
    expect(body.faults?.map((fault) => fault.pointer).sort()).toEqual(["/quantity", "/weight"]);
  });

  test("what only the whole shop shows", async () => {
    const order = jobOrder("bad");
    const operation = order.operations[0];
    if (!operation?.modes[0]) throw new Error("the order has an operation");
    operation.modes[0].machines = ["mill-z"];
    const { status, body } = await server.ask("POST", "/orders", { body: order });
    expect(status).toBe(422);
    expect(body.faults?.[0]?.pointer).toMatch(/^\/operations\/0\/modes\/0\/machines/);
    expect(body.faults?.[0]?.message).toContain("mill-z");
    expect((await server.ask("GET", "/orders/bad")).status).toBe(404);
  });

  test("an id that another order has", async () => {
    const order = { ...jobOrder("P2"), operations: jobOrder("P").operations };
    expect((await server.ask("POST", "/orders", { body: order })).status).toBe(422);
  });

  test("a link that leads elsewhere", async () => {
    const order = { ...jobOrder("L"), links: [{ kind: "lag", id: "l", from: "L/1", to: "P/1" }] };
    const { status, body } = await server.ask("POST", "/orders", { body: order });
    expect([status, body.faults?.[0]?.pointer]).toEqual([422, "/links/0/to"]);
  });

  test("a crew, a calendar, a machine that something needs", async () => {
    for (const path of ["/calendars/days", "/machines/mill-a"]) {
      const { status, body } = await server.ask("DELETE", path, { ifMatch: '"1"' });
      expect(status).toBe(409);
      expect(body.faults?.length).toBeGreaterThan(0);
    }
  });
});

describe("every error is problem details", () => {
  const large = `{"id":"${"x".repeat(1_100_000)}"}`;
  test.each([
    [400, "PUT", "/machines/x", { body: "{not json" }],
    [404, "GET", "/nowhere", {}],
    [404, "GET", "/runs/not-a-run", {}],
    [405, "PUT", "/orders", { body: {} }],
    [413, "PUT", "/machines/x", { body: large }],
    [415, "PUT", "/machines/x", { body: "id=x", headers: { "content-type": "application/x-www-form-urlencoded" } }],
    [422, "PUT", "/machines/x", { body: { id: "y" } }],
    [401, "POST", "/auth/sign-in/email", { body: { email: "nobody@example.test", password: "wrong" } }],
  ])("%i for %s %s", async (status, method, path, ask) => {
    const reply = await server.ask(method, path, ask);
    expect(reply.status).toBe(status);
    expect(reply.headers.get("content-type")).toContain("application/problem+json");
    const details = problemDetailsSchema.parse(reply.body);
    expect(details.status).toBe(status);
    expect(details.instance).toBe(reply.headers.get("x-request-id"));
  });
});

test("answers carry a request id, forbid caches and guard the page", async () => {
  const { headers } = await server.ask("GET", "/site", { headers: { "x-request-id": "from-the-caller" } });
  expect(headers.get("x-request-id")).toBe("from-the-caller");
  expect(headers.get("cache-control")).toBe("no-store");
  expect(headers.get("content-security-policy")).toContain("default-src 'self'");
  expect(headers.get("x-powered-by")).toBeNull();
  const odd = await server.ask("GET", "/site", { headers: { "x-request-id": "two words" } });
  expect(odd.headers.get("x-request-id")).toMatch(/^[0-9a-f-]{36}$/);
});

test("alive, ready, counted", async () => {
  for (const path of ["/healthz", "/readyz"]) expect((await fetch(server.address() + path)).status).toBe(200);
  expect(await (await fetch(`${server.address()}/metrics`)).text()).toMatch(
    /slotwright_request_seconds_count\{.*route="\/site".*\} \d+/,
  );
});
