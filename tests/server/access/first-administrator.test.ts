/** From the demo to the first administrator, by the link that the start prints; and what an administrator can do with people. */
import { afterAll, beforeAll, expect, test } from "vitest";
import type { SessionView, UserView } from "../../../src/contract/api/session.ts";
import { PASSWORD, type ShopServer, shopServer } from "../support/shop-server.ts";

let server: ShopServer;
let cookie = "";
beforeAll(async () => {
  server = await shopServer();
});
afterAll(() => server.close());

const printedToken = (): string => server.printed.join("\n").split("/first-administrator?token=").at(-1)?.split(/\s/)[0] ?? "";
const account = { name: "Ada Renn", email: "Ada@example.test", password: PASSWORD };
const signedIn = <T>(method: string, path: string, body?: unknown) =>
  server.ask<T>(method, path, { headers: { cookie }, ...(body === undefined ? {} : { body }) });

async function signIn(email: string, password = PASSWORD): Promise<{ status: number; cookie: string; flags: string }> {
  const { status, headers } = await server.ask("POST", "/auth/sign-in/email", { body: { email, password } });
  const set = headers.getSetCookie();
  return { status, cookie: set.map((c) => c.split(";")[0]).join("; "), flags: set.join("\n") };
}

test("the link is good once, and not after the next start", async () => {
  const old = printedToken();
  expect(old.length).toBeGreaterThan(40);
  await server.restart();
  expect(printedToken()).not.toBe(old);
  expect((await server.ask("POST", "/first-administrator", { body: { ...account, token: old } })).status).toBe(403);
  expect((await server.ask("POST", "/first-administrator", { body: { ...account, token: "guess" } })).status).toBe(403);
  expect(
    (await server.ask("POST", "/first-administrator", { body: { ...account, token: printedToken(), password: "short" } })).status,
  ).toBe(422);
  expect((await server.ask("POST", "/first-administrator", { body: { ...account, token: printedToken() } })).status).toBe(204);
  expect(
    (
      await server.ask("POST", "/first-administrator", {
        body: { ...account, email: "second@example.test", token: printedToken() },
      })
    ).status,
  ).toBe(409);
  expect((await server.ask<SessionView>("GET", "/session")).body).toMatchObject({ demoMode: false, user: null });
});

test("signing in sets a cookie that scripts cannot read, and a start later it still holds", async () => {
  expect((await signIn(account.email, "wrong password")).status).toBe(401);
  const good = await signIn(account.email.toUpperCase());
  expect(good.status).toBe(204);
  expect(good.flags).toMatch(/HttpOnly/i);
  expect(good.flags).toMatch(/SameSite=Lax/i);
  cookie = good.cookie;
  const links = server.printed.length;
  await server.restart();
  expect((await signedIn<SessionView>("GET", "/session")).body.user).toMatchObject({ name: "Ada Renn", role: "administrator" });
  expect(server.printed.length).toBe(links); // no more links
});

test("a browser signs in from the server's own page, under whatever name it knows it, and from no other", async () => {
  const body = JSON.stringify({ email: account.email, password: PASSWORD });
  const from = async (address: string, origin: string) =>
    (
      await fetch(`${address}/api/v1/auth/sign-in/email`, {
        method: "POST",
        body,
        headers: { "content-type": "application/json", origin, cookie: "other=1" },
      })
    ).status;
  const byNumber = server.address().replace("localhost", "127.0.0.1");
  expect(await from(server.address(), server.address())).toBe(204);
  expect(await from(byNumber, byNumber)).toBe(204);
  expect(await from(byNumber, "https://elsewhere.example.test")).toBe(403);
});

test("accounts are made, changed and removed; the last administrator stays", async () => {
  const made = await signedIn<UserView>("POST", "/users", {
    name: "Op",
    email: "op@example.test",
    password: PASSWORD,
    role: "operator",
  });
  expect(made.status).toBe(201);
  expect(
    (await signedIn("POST", "/users", { name: "Op", email: "OP@example.test", password: PASSWORD, role: "viewer" })).status,
  ).toBe(409);
  const operator = await signIn("op@example.test");
  expect((await server.ask("GET", "/plan", { headers: { cookie: operator.cookie } })).status).toBe(200);

  const changed = await signedIn<UserView>("PUT", `/users/${made.body.id}`, { role: "viewer", password: "another long secret" });
  expect(changed.body.role).toBe("viewer");
  expect((await server.ask("GET", "/plan", { headers: { cookie: operator.cookie } })).status).toBe(401); // a new password ends old sessions
  expect((await signIn("op@example.test")).status).toBe(401);
  expect((await signIn("op@example.test", "another long secret")).status).toBe(204);

  const { body } = await signedIn<{ items: UserView[] }>("GET", "/users");
  const ada = body.items.find((user) => user.name === "Ada Renn");
  expect((await signedIn("DELETE", `/users/${ada?.id}`)).status).toBe(409);
  expect((await signedIn("PUT", `/users/${ada?.id}`, { role: "planner" })).status).toBe(409);
  expect((await signedIn("DELETE", `/users/${made.body.id}`)).status).toBe(204);
  expect((await signIn("op@example.test", "another long secret")).status).toBe(401);
});

test("who guesses passwords is slowed down", async () => {
  const statuses: number[] = [];
  for (let i = 0; i < 12; i++) statuses.push((await signIn(account.email, `guess number ${i}`)).status);
  expect(statuses.at(-1)).toBe(429);
  expect(new Set(statuses)).toEqual(new Set([401, 429]));
  expect((await signedIn("GET", "/plan")).status).toBe(200); // whoever is in stays in
});

test("signing out ends the session", async () => {
  expect((await signedIn("POST", "/auth/sign-out", {})).status).toBe(204);
  expect((await signedIn("GET", "/plan")).status).toBe(401);
});
