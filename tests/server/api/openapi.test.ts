/** The API's own page: a sound OpenAPI 3.1 document that names exactly what the table has, and a reference page that needs nothing from elsewhere. */
import { afterAll, beforeAll, expect, test } from "vitest";
import { routes } from "../../../src/server/api/routes.ts";
import { type ShopServer, shopServer } from "../support/shop-server.ts";

type Operation = {
  responses: Record<string, unknown>;
  parameters?: { name: string; in: string; required?: boolean }[];
  requestBody?: unknown;
};
type Document = {
  openapi: string;
  paths: Record<string, Record<string, Operation>>;
  components: Record<string, Record<string, unknown>>;
};

let server: ShopServer;
let document: Document;
beforeAll(async () => {
  server = await shopServer();
  document = (await server.ask<Document>("GET", "/openapi.json")).body;
});
afterAll(() => server.close());

test("names exactly the routes of the table", () => {
  expect(document.openapi).toMatch(/^3\.1\./);
  const described = Object.entries(document.paths).flatMap(([path, methods]) =>
    Object.keys(methods).map((method) => `${method} ${path}`),
  );
  expect(described.sort()).toEqual(routes.map((route) => `${route.method} ${route.path.replaceAll(/:(\w+)/g, "{$1}")}`).sort());
});

test("every operation names its answers and every path parameter; bodies where the table has them", () => {
  for (const route of routes) {
    const path = route.path.replaceAll(/:(\w+)/g, "{$1}");
    const operation = document.paths[path]?.[route.method];
    expect(Object.keys(operation?.responses ?? {}), path).toEqual([...Object.keys(route.answers), "default"]);
    const inPath = operation?.parameters?.filter((parameter) => parameter.in === "path") ?? [];
    expect(inPath.map((parameter) => `{${parameter.name}}`)).toEqual(path.match(/\{\w+\}/g) ?? []);
    expect(inPath.every((parameter) => parameter.required === true)).toBe(true);
    expect(operation?.requestBody !== undefined, path).toBe(route.body !== undefined);
  }
});

test("every reference leads somewhere", () => {
  const references = new Set([...JSON.stringify(document).matchAll(/"\$ref":"([^"]+)"/g)].map((match) => match[1] ?? ""));
  expect(references.size).toBeGreaterThan(20);
  for (const reference of references) {
    const target = reference
      .split("/")
      .slice(1)
      .reduce<unknown>((at, step) => (at as Record<string, unknown> | undefined)?.[step], document);
    expect(target, reference).toBeTypeOf("object");
  }
});

test("the reference page and its parts come from here", async () => {
  const page = await (await fetch(`${server.address()}/api/v1/docs/`)).text();
  const parts = [...page.matchAll(/(?:src|href)="([^"]+)"/g)].map((match) => match[1] ?? "");
  expect(parts.length).toBeGreaterThan(3);
  for (const part of parts) {
    expect(part).not.toMatch(/^(https?:)?\/\//);
    expect((await fetch(new URL(part, `${server.address()}/api/v1/docs/`))).status, part).toBe(200);
  }
  expect(await (await fetch(`${server.address()}/api/v1/docs/swagger-initializer.js`)).text()).toContain("../openapi.json");
});
