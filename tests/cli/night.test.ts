/** `slotwright night` as a process: proposals that the checker accepts, the plan it writes, bad input by option. */
import { execFile } from "node:child_process";
import { mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import os from "node:os";
import path from "node:path";
import { expect, test } from "vitest";
import type { ProblemFileInput } from "../../src/contract/problem-file.ts";

const starter = path.resolve("src/cli/slotwright.mjs");
const slotwright = (...args: string[]): Promise<{ code: number; stdout: string; stderr: string }> =>
  new Promise((resolve) => {
    execFile(process.execPath, [starter, ...args], { encoding: "utf8" }, (error, stdout, stderr) =>
      resolve({ code: error === null ? 0 : Number(error.code), stdout, stderr }),
    );
  });

/** A rig that may run alone; its test of eight hours needs an hour of setup and is planned for Wednesday morning. */
const problem: ProblemFileInput = {
  format: "slotwright-problem",
  version: 1,
  name: "One rig",
  zone: "UTC",
  origin: "2026-06-08",
  horizon: 20_160,
  calendars: [{ id: "days", weekly: [{ days: [1, 2, 3, 4, 5], from: "07:00", until: "15:00" }] }],
  machines: [{ id: "rig", kind: "rig", unattended: { kind: "allowed" } }],
  crews: [{ id: "testers", skills: ["test"], calendar: "days" }],
  orders: [
    {
      id: "T",
      due: 9000,
      operations: [
        {
          id: "T/1",
          modes: [
            {
              id: "m",
              machines: ["rig"],
              phases: [
                { kind: "prepare", flow: "solid", work: { kind: "fixed", minutes: 60 }, needs: [{ skill: "test" }] },
                { kind: "run", flow: "solid", work: { kind: "fixed", minutes: 480 } },
              ],
            },
          ],
        },
      ],
    },
  ],
};
const plan = {
  format: "slotwright-plan",
  version: 1,
  problem: "One rig",
  operations: [
    {
      operation: "T/1",
      lots: [
        {
          mode: "m",
          pieces: 1,
          start: 3300,
          end: 3840,
          phases: [
            { phase: 0, work: [[3300, 3360]], crews: ["testers"] },
            { phase: 1, work: [[3360, 3840]], crews: [] },
          ],
        },
      ],
    },
  ],
};

test("work that could run tonight is proposed, written, and checked", async () => {
  const folder = mkdtempSync(path.join(os.tmpdir(), "slotwright-night-"));
  const [problemFile, planFile, out] = ["problem.json", "plan.json", "out.json"].map((name) => path.join(folder, name)) as [
    string,
    string,
    string,
  ];
  writeFileSync(problemFile, JSON.stringify(problem));
  writeFileSync(planFile, JSON.stringify(plan));
  const night = await slotwright("night", problemFile, planFile, "--out", out);
  expect(night.code, night.stderr).toBe(0);
  const answer = JSON.parse(night.stdout.trimEnd().split("\n").at(-1) ?? "");
  expect(answer.proposals).toMatchObject([
    { operation: "T/1", machine: "rig", start: 840, plannedStart: 3300, nightMinutes: 480, moved: [] },
  ]);
  expect(JSON.parse(readFileSync(out, "utf8")).operations).toHaveLength(1);
  expect((await slotwright("check", problemFile, out)).code).toBe(0);
  expect((await slotwright("night", problemFile, out)).code).toBe(1); // nothing is left to propose
  const bad = await slotwright("night", problemFile, planFile, "--machine", "lathe");
  expect([bad.code, bad.stderr]).toEqual([2, expect.stringContaining("lathe")]);
  expect((await slotwright("night", problemFile, planFile, "--days", "0")).stderr).toContain("--days");
});
