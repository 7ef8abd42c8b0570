/**
 * One real PostgreSQL for a whole test run, with a migrated template database that each test file copies.
 * TEST_DATABASE chooses: `container`, `embedded`, or an address `postgresql://...` of a server where databases may be made;
 * unset, a container when an engine answers, else the embedded server. Prints which one it is.
 */
import fs from "node:fs/promises";
import os from "node:os";
import path from "node:path";
import process from "node:process";
import type { TestProject } from "vitest/node";
import { startEmbeddedPostgres } from "../../../src/server/start/embedded-postgres.ts";
import { migrate } from "../../../src/server/start/migrate.ts";
import { MIGRATIONS_FOLDER } from "../../../src/server/start/places.ts";
import { containerEngineAnswers } from "./container-engine.ts";

declare module "vitest" {
  export interface ProvidedContext {
    templateUrl: string;
  }
}

type TestServer = Readonly<{ url: string; kind: string; stop(): Promise<unknown> }>;
const TEMPLATE = "slotwright_template";

export default async function setup(project: TestProject): Promise<() => Promise<unknown>> {
  const template = await migratedTemplate();
  project.provide("templateUrl", template.url);
  return template.stop;
}

/** A server with a migrated template database; `url` is the template's. */
export async function migratedTemplate(): Promise<TestServer> {
  const server = await startServer(process.env.TEST_DATABASE ?? "auto");
  await migrate(server.url, MIGRATIONS_FOLDER);
  console.log(`Test database: ${server.kind}`);
  return server;
}

async function startServer(wanted: string): Promise<TestServer> {
  if (/^postgres(ql)?:/.test(wanted))
    return { url: wanted, kind: "the PostgreSQL of TEST_DATABASE", stop: async () => undefined };
  if (wanted === "container") return startContainer();
  if (wanted === "auto" && (await containerEngineAnswers())) {
    try {
      return await startContainer();
    } catch (error) {
      console.warn(`The container engine answers but starts no PostgreSQL (${(error as Error).message}).`);
    }
  }
  const folder = await fs.mkdtemp(path.join(os.tmpdir(), "slotwright-test-"));
  const embedded = await startEmbeddedPostgres({ folder, database: TEMPLATE, throwaway: true });
  const why = wanted === "auto" ? " (no usable container engine)" : "";
  return { url: embedded.url, kind: `embedded PostgreSQL${why}`, stop: () => embedded.stop() };
}

async function startContainer(): Promise<TestServer> {
  const { PostgreSqlContainer } = await import("@testcontainers/postgresql"); // half a second to load, so only when needed
  const container = await new PostgreSqlContainer("postgres:18-alpine").withDatabase(TEMPLATE).start();
  return { url: container.getConnectionUri(), kind: "PostgreSQL in a container", stop: () => container.stop() };
}
