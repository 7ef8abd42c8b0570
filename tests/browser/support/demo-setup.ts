/**
 * For the browser tests: the run's PostgreSQL with its migrated template, and a second template into which the built
 * application has loaded the demo shop, so that thirteen test files do not plan it thirteen times.
 */
import type { TestProject } from "vitest/node";
import { copyOfDatabase } from "../../server/support/database-copy.ts";
import { migratedTemplate } from "../../server/support/database-setup.ts";
import { runApp } from "./app-process.ts";

declare module "vitest" {
  export interface ProvidedContext {
    demoUrl: string;
  }
}

export default async function setup(project: TestProject): Promise<() => Promise<unknown>> {
  const { url, stop } = await migratedTemplate();
  project.provide("templateUrl", url);
  try {
    const demo = await copyOfDatabase(url);
    const app = await runApp({ ...demo, drop: async () => undefined }, {});
    await app.stop();
    project.provide("demoUrl", demo.url);
  } catch (error) {
    await stop();
    throw error;
  }
  return stop;
}
