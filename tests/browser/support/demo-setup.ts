/**
 * For the browser tests: the run's PostgreSQL with its migrated template, and a second template into which the built
 * application has loaded the demo shop, so that thirteen test files do not plan it thirteen times.
 */
import process from "node:process";
import { DateTime } from "luxon";
import type { TestProject } from "vitest/node";
import { DEMO_ZONE } from "../../../seed/demo-shop/plant.ts";
import { copyOfDatabase } from "../../server/support/database-copy.ts";
import { migratedTemplate } from "../../server/support/database-setup.ts";
import { runApp } from "./app-process.ts";

declare module "vitest" {
  export interface ProvidedContext {
    demoUrl: string;
    /** For CLOCK_AHEAD_MINUTES of every application of the run. */
    clockAhead: string;
  }
}

/**
 * What a person can do on the demo differs by the hour: on a Thursday night the next free work lies behind a weekend. So that a
 * journey of a hundred steps passes at every hour or at none, its shop opens at one: a working morning, far from clock changes.
 * JOURNEY_AT names another, to look for what fails there.
 */
const OPENS_AT = process.env.JOURNEY_AT || "2027-04-13T10:20";

export default async function setup(project: TestProject): Promise<() => Promise<unknown>> {
  const { url, stop } = await migratedTemplate();
  const clockAhead = String(Math.round(DateTime.fromISO(OPENS_AT, { zone: DEMO_ZONE }).diffNow("minutes").minutes));
  project.provide("templateUrl", url);
  project.provide("clockAhead", clockAhead);
  try {
    const demo = await copyOfDatabase(url);
    const app = await runApp({ ...demo, drop: async () => undefined }, { CLOCK_AHEAD_MINUTES: clockAhead });
    await app.stop();
    project.provide("demoUrl", demo.url);
  } catch (error) {
    await stop();
    throw error;
  }
  return stop;
}
