/** The command line as a user meets it: real processes, real files, exit codes and last lines. */
import { execFile } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import os from "node:os";
import path from "node:path";
import { beforeAll, describe, expect, test } from "vitest";

const starter = path.resolve("src/cli/slotwright.mjs");
let folder: string;
beforeAll(() => {
  folder = mkdtempSync(path.join(os.tmpdir(), "slotwright-cli-"));
});

type Run = { code: number; stdout: string; stderr: string; last: Record<string, unknown> };
const slotwright = (...args: string[]): Promise<Run> =>
  new Promise((resolve) => {
    execFile(process.execPath, [starter, ...args], { encoding: "utf8" }, (error, stdout, stderr) => {
      const line = stdout.trimEnd().split("\n").at(-1) ?? "";
      const last = line.startsWith("{") ? (JSON.parse(line) as Record<string, unknown>) : {};
      resolve({ code: error === null ? 0 : Number(error.code), stdout, stderr, last });
    });
  });
const file = (name: string, text: string): string => {
  const at = path.join(folder, name);
  writeFileSync(at, text);
  return at;
};

/** FT06, Fisher and Thompson, in Muth and Thompson 1963. */
const FT06 =
  "6 6\n2 1 0 3 1 6 3 7 5 3 4 6\n1 8 2 5 4 10 5 10 0 10 3 4\n2 5 3 4 5 8 0 9 1 1 4 7\n1 5 0 5 2 5 3 3 4 8 5 9\n2 9 1 3 4 5 5 4 0 3 3 1\n1 3 3 3 5 9 0 10 4 4 2 1\n";

describe("plan and check", () => {
  test("a published job shop: planned, proven, written, checked; a spoilt plan is refused with exit 1", async () => {
    const problem = file("ft06.txt", FT06);
    const out = path.join(folder, "ft06.plan.json");
    const planned = await slotwright(
      "plan",
      problem,
      "--format",
      "jobshop",
      "--iterations",
      "60000",
      "--seed",
      "2",
      "--out",
      out,
    );
    expect(planned.code, planned.stderr).toBe(0);
    expect(planned.last).toMatchObject({ objective: 55, makespan: 55, lowerBound: 55, conflicts: 0, lateOrders: 0 });
    expect(Object.keys(planned.last)).toEqual(expect.arrayContaining(["seconds", "iterations"]));
    expect((await slotwright("check", problem, out, "--format", "jobshop")).code).toBe(0);

    const plan = JSON.parse(readFileSync(out, "utf8")) as {
      operations: { lots: { start: number; end: number; phases: { work: number[][] }[] }[] }[];
    };
    const lot = plan.operations[7]?.lots[0];
    if (!lot) throw new Error("no lot to spoil");
    const length = lot.end - lot.start;
    Object.assign(lot, { start: 0, end: length });
    if (lot.phases[0]) lot.phases[0].work = [[0, length]];
    const spoilt = file("spoilt.plan.json", JSON.stringify(plan));
    const judged = await slotwright("check", problem, spoilt, "--format", "jobshop", "--json");
    expect(judged.code).toBe(1);
    expect((judged.last.conflicts as { kind: string }[]).map((conflict) => conflict.kind)).toContain("lagShort");
  });

  test("same seed and iterations give the same plan file, with two threads as well", async () => {
    const problem = file("again.txt", FT06);
    const outs = [1, 2].map((n) => path.join(folder, `again-${n}.json`));
    for (const out of outs)
      expect(
        (await slotwright("plan", problem, "--format", "jobshop", "--iterations", "4000", "--threads", "2", "--out", out)).code,
      ).toBe(0);
    const [first, second] = outs.map((out) => readFileSync(out, "utf8"));
    expect(first).toBe(second);
  });

  test("the example shop plans without conflicts", async () => {
    const planned = await slotwright("plan", "seed/examples/1-tiny.json", "--iterations", "200");
    expect(planned.code, planned.stderr).toBe(0);
    expect(planned.last).toMatchObject({ conflicts: 0 });
  });
});

describe("bad input", () => {
  test("a short line of a job shop is named with its number, and nothing is written", async () => {
    const out = path.join(folder, "never.json");
    const run = await slotwright("plan", file("short.txt", "2 2\n0 3 1 2\n0 4\n"), "--format", "jobshop", "--out", out);
    expect(run.code).toBe(2);
    expect(run.stderr).toMatch(/line 3/);
    expect(existsSync(out)).toBe(false);
  });
  test("broken JSON is named with its line; a wrong field with its path", async () => {
    const broken = await slotwright("plan", file("broken.json", '{\n "format": "slotwright-problem",\n "version" 1\n}'));
    expect(broken.code).toBe(2);
    expect(broken.stderr).toMatch(/line 3/);
    const wrong = await slotwright(
      "plan",
      file(
        "wrong.json",
        '{"format":"slotwright-problem","version":1,"name":"x","origin":"2026-01-05","horizon":100,"machines":[{"id":"m","colour":"red"}]}',
      ),
    );
    expect(wrong.code).toBe(2);
    expect(wrong.stderr).toMatch(/machines.*colour/s);
  });
  test.each([
    [["plan"], /slotwright plan <file>/],
    [["plan", "no-such-file.json"], /no file no-such-file\.json/],
    [["plan", "README.md", "--format", "morse"], /json, jobshop, flexible, setup, rcpsp/],
    [["plan", "seed/examples/1-tiny.json", "--seconds=-1"], /--seconds -1: expected a number/],
    [["plan", "seed/examples/1-tiny.json", "--seed", "-1"], /--seed -1: expected a number from 0/],
    [["dance"], /there is no command dance/],
    [["estimate", "wire-cut", "--json", '{"heightMm": 9000}'], /heightMm.*from 0\.1 to 600/s],
  ])("%j is refused with exit 2 and a word of help", async (args, message) => {
    const run = await slotwright(...args);
    expect(run.code).toBe(2);
    expect(run.stderr).toMatch(message);
  });
});

test("schema prints the JSON Schema of both files; estimate shows its working", async () => {
  for (const which of ["problem", "plan"]) {
    const run = await slotwright("schema", which);
    expect(run.code).toBe(0);
    expect(JSON.parse(run.stdout)).toMatchObject({ $schema: expect.stringContaining("json-schema.org") });
  }
  const run = await slotwright("estimate", "fatigue", "--json", '{"cycles": 1000000, "frequencyHertz": 20}');
  expect(run.last).toMatchObject({ likelyMinutes: 834 }); // 1e6 / 20 Hz = 13.89 h, arithmetic
});

test("bench compares with the published optimum and stops at a plan that contradicts it", async () => {
  file("ft06.txt", FT06);
  const bounds = file(
    "bounds.json",
    JSON.stringify([{ family: "jobshop", name: "ft06", lower: 55, upper: 55, file: "ft06.txt" }]),
  );
  const run = await slotwright("bench", folder, "--bounds", bounds, "--iterations", "60000", "--json");
  expect(run.code, run.stderr).toBe(0);
  expect(run.last).toMatchObject({ meanGap: 0, instances: [{ name: "ft06", ours: 55, gap: 0 }] });
  const some = await slotwright(
    ...["bench", folder, "--bounds", bounds, "--only", "ft0.", "--clock", "cpu", "--seconds", "20", "--threads", "2", "--json"],
  );
  expect(some.last, some.stderr).toMatchObject({ clock: "cpu", instances: [{ name: "ft06", ours: 55, proven: 1 }] });
  const none = await slotwright("bench", folder, "--bounds", bounds, "--only", "ft");
  expect([none.code, none.stderr]).toEqual([2, expect.stringContaining("--only ft")]);
  const wrong = file(
    "wrong-bounds.json",
    JSON.stringify([{ family: "jobshop", name: "ft06", lower: 56, upper: 56, file: "ft06.txt" }]),
  );
  const refused = await slotwright("bench", folder, "--bounds", wrong, "--iterations", "60000");
  expect(refused.code).toBe(1);
  expect(refused.stderr).toMatch(/contradict/);
});
