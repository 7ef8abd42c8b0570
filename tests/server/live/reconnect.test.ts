/** The database cuts every connection, as it does when it restarts: the server, its events and its worker come back by themselves. */
import pg from "pg";
import { afterAll, beforeAll, expect, test } from "vitest";
import type { RunView } from "../../../src/contract/api/run.ts";
import { eventStream } from "../support/event-stream.ts";
import { type ShopServer, shopServer } from "../support/shop-server.ts";
import { smallWorkshop } from "../support/small-workshop.ts";

let server: ShopServer;
beforeAll(async () => {
  server = await shopServer({ solverWorkers: "inside" });
  expect((await server.ask("PUT", "/shop", { body: smallWorkshop() })).status).toBe(200);
});
afterAll(() => server.close());

test("answers, tells screens to read again, and takes runs", async () => {
  const events = await eventStream(server.address());
  const cutter = new pg.Client({ connectionString: server.databaseUrl });
  await cutter.connect();
  const cut = await cutter.query(
    "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = current_database() AND pid <> pg_backend_pid()",
  );
  expect(cut.rowCount).toBeGreaterThan(3);
  await cutter.end();

  await events.wait((event) => event.type === "reread");
  await expect.poll(async () => (await server.ask("GET", "/plan")).status, { timeout: 10_000 }).toBe(200);
  const { body, status } = await server.ask<{ id: string }>("POST", "/runs", { body: { iterations: 50 } });
  expect(status).toBe(202);
  await expect
    .poll(async () => (await server.ask<RunView>("GET", `/runs/${body.id}`)).body.state, { timeout: 45_000, interval: 250 })
    .toBe("finished");
  events.close();
});
