/** The table of routes walked with every role: who is let in is exactly who the table names, and what is not in it is denied. */
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { ROLES, type Role } from "../../../src/contract/api/role.ts";
import { routes } from "../../../src/server/api/routes.ts";
import { type ShopServer, shopServer } from "../support/shop-server.ts";
import { smallWorkshop } from "../support/small-workshop.ts";

let server: ShopServer;
beforeAll(async () => {
  server = await shopServer();
  // Not empty, so that nothing of the walk has work to do: loading the demo, for one, is refused.
  expect((await server.ask("PUT", "/shop", { body: smallWorkshop() })).status).toBe(200);
});
afterAll(() => server.close());

/** A harmless try: an id that nothing has, a body that nothing accepts. Rights are decided before either is looked at. */
const tried = (path: string): string => path.replaceAll(/:\w+/g, "nothing-has-this-id");
const NO_BODY = { body: { nobody: "accepts this" } };

/** Status of one try; the event stream is only opened and left. */
async function statusAs(role: Role | "nobody", method: string, path: string): Promise<number> {
  if (path === "/events" && role !== "nobody") return 200; // streams without end: see the test of events
  return (await server.ask(method.toUpperCase(), tried(path), { as: role, ...(method === "get" ? {} : NO_BODY) })).status;
}

describe("demo mode", () => {
  test("this machine plans, and the session says that it is the demo", async () => {
    const { body } = await server.ask<{ user: unknown; demoMode: boolean }>("GET", "/session");
    expect(body).toMatchObject({ demoMode: true, user: { role: "planner" } });
    expect((await server.ask("GET", "/users")).status).toBe(403);
  });

  test.each([
    ["through a proxy", { "x-forwarded-for": "203.0.113.7" }],
    ["asked for under another name", { host: "shop.example.test" }],
  ])("not %s", async (_, headers) => {
    // fetch sets Host itself, so that case goes over a plain socket
    const status =
      "host" in headers ? await statusWithHost(headers.host) : (await server.ask("GET", "/plan", { headers })).status;
    expect(status).toBe(401);
  });

  test("not for a page of another origin", async () => {
    const foreign = await server.ask("POST", "/plan/draft/reset", { headers: { origin: "https://elsewhere.example.test" } });
    expect(foreign.status).toBe(403);
  });
});

async function statusWithHost(host: string): Promise<number> {
  const { get } = await import("node:http");
  const { port } = new URL(server.address());
  return new Promise((resolve, reject) => {
    get({ host: "127.0.0.1", port, path: "/api/v1/plan", headers: { host } }, (response) => {
      response.resume();
      resolve(response.statusCode ?? 0);
    }).on("error", reject);
  });
}

describe("with people", () => {
  beforeAll(() => server.people());

  test("the table names known roles, and no route twice", () => {
    expect(routes.length).toBeGreaterThan(50);
    for (const route of routes) if (route.allowed !== "anyone") expect(ROLES).toEqual(expect.arrayContaining([...route.allowed]));
    const names = routes.map((route) => `${route.method} ${route.path}`);
    expect(new Set(names).size).toBe(names.length);
  });

  test("only these need no session", () => {
    const open = routes.filter((route) => route.allowed === "anyone").map((route) => `${route.method} ${route.path}`);
    expect(open).toEqual(["get /session", "post /auth/sign-in/email", "post /auth/sign-out", "post /first-administrator"]);
  });

  test.each(
    routes.filter((route) => route.allowed !== "anyone").map((route) => [`${route.method} ${route.path}`, route] as const),
  )("%s", async (_, route) => {
    expect(await statusAs("nobody", route.method, route.path)).toBe(401);
    for (const role of ROLES) {
      const status = await statusAs(role, route.method, route.path);
      if (route.allowed.includes(role)) expect([401, 403, 405, 500], `${role} got ${status}`).not.toContain(status);
      else expect(status, role).toBe(403);
    }
  });

  test("demo mode is over", async () => {
    expect((await server.ask<{ user: unknown; demoMode: boolean }>("GET", "/session")).body).toMatchObject({
      demoMode: false,
      user: null,
    });
    expect((await server.ask("GET", "/plan")).status).toBe(401);
  });

  test.each([
    ["GET", "/nothing", 404],
    ["GET", "/auth/get-session", 404],
    ["POST", "/auth/sign-up/email", 404],
    ["DELETE", "/plan", 405],
    ["PUT", "/orders", 405],
    ["POST", "/machines/x", 405],
  ])("%s %s is not in the table", async (method, path, status) => {
    const reply = await server.ask(method, path, { as: "administrator", ...(method === "GET" ? {} : NO_BODY) });
    expect(reply.status).toBe(status);
    expect(reply.body).toMatchObject({ status });
  });

  test("metrics are for this machine or an administrator", async () => {
    const away = { "x-forwarded-for": "203.0.113.7" };
    const metrics = async (as: Role | "nobody", headers = {}) =>
      (await fetch(`${server.address()}/metrics`, { headers: { ...headers, ...(as === "nobody" ? {} : { cookie: "" }) } }))
        .status;
    expect(await metrics("nobody")).toBe(200);
    expect(await metrics("nobody", away)).toBe(401);
  });
});
