/**
 * The application for one browser test file, on a shop of its own. The database is a copy of one into which the application
 * itself loaded the demo, once for the run (`demo-setup.ts`).
 */
import { inject } from "vitest";
import { copyOfDatabase } from "../../server/support/database-copy.ts";
import { type RunningApp, runApp } from "./app-process.ts";

export type { RunningApp } from "./app-process.ts";

/** On the demo, or with `{ shop: "empty" }` on a database that has nothing but its tables. */
export async function startApp({ shop = "demo" }: Readonly<{ shop?: "demo" | "empty" }> = {}): Promise<RunningApp> {
  const database = await copyOfDatabase(inject(shop === "demo" ? "demoUrl" : "templateUrl"));
  const clock = { CLOCK_AHEAD_MINUTES: inject("clockAhead") };
  return runApp(database, shop === "demo" ? clock : { ...clock, DEMO: "no" });
}
