/**
 * The test runs: which files belong to which project, and what each project needs around it.
 * Promises that a run of core tests starts no database and that integration tests never run without a real one.
 */
import process from "node:process";
import react from "@vitejs/plugin-react";
import { defineConfig } from "vitest/config";

// A poll ends as soon as it holds; its limit only says when to give up, and a second is too soon on a busy machine.
const PATIENT = { timeout: 20_000, interval: 50 };
const DATABASE_SETUP = ["tests/server/support/database-setup.ts"];

export default defineConfig({
  test: {
    maxWorkers: 2,
    projects: [
      {
        test: {
          name: "unit",
          include: ["tests/{core,contract,laws,reference,seed,cli,bench}/**/*.test.ts", "tests/web/**/*.test.ts"],
          // Pure code keeps nothing between files: loading it once for each worker saves a third of the time.
          isolate: false,
          // Limits say when to give up on a machine busy with other work; quiet, the longest test takes a tenth of this.
          testTimeout: 300_000,
          hookTimeout: 300_000,
        },
      },
      {
        plugins: [react()],
        test: { name: "web", include: ["tests/web/**/*.test.tsx"], environment: "jsdom", testTimeout: 120_000 },
      },
      {
        test: {
          name: "integration",
          include: ["tests/{server,simulation}/**/*.test.ts"],
          globalSetup: DATABASE_SETUP,
          // Nothing of ours is kept in a module: each file opens a store of its own. A third file uses what two leave of the
          // processor while they wait for the queue.
          isolate: false,
          maxWorkers: 3,
          testTimeout: 240_000,
          hookTimeout: 240_000,
          expect: { poll: PATIENT },
        },
      },
      {
        test: {
          name: "browser",
          include: ["tests/browser/**/*.test.ts"],
          globalSetup: ["tests/browser/support/demo-setup.ts"],
          // On a machine busy with other work a journey of a hundred steps may lose one to chance. It may try once more where
          // nobody watches; the run names it at its end, and on a desk it simply fails.
          retry: process.env.CI && process.env.CI !== "false" ? 1 : 0,
          // Each file has an app and a database of its own; one app mostly waits for a person's next click. Modules keep nothing.
          isolate: false,
          maxWorkers: 3,
          testTimeout: 600_000,
          hookTimeout: 240_000,
          expect: { poll: PATIENT },
        },
      },
    ],
  },
});
