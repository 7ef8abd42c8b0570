/** The questions of a planner on the command line: why, hold-out, risk, compare; real processes on an example shop. */
import { execFile } from "node:child_process";
import { mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import os from "node:os";
import path from "node:path";
import { beforeAll, expect, test } from "vitest";

const starter = path.resolve("src/cli/slotwright.mjs");
const shop = "seed/examples/2-cell.json";
let folder: string;
let first: string;
let second: string;
let operation: string;

type Run = { code: number; stdout: string; stderr: string; last: Record<string, unknown> };
const slotwright = (...args: string[]): Promise<Run> =>
  new Promise((resolve) => {
    execFile(process.execPath, [starter, ...args], { encoding: "utf8", maxBuffer: 64_000_000 }, (error, stdout, stderr) => {
      const line = stdout.trimEnd().split("\n").at(-1) ?? "";
      const last = line.startsWith("{") ? (JSON.parse(line) as Record<string, unknown>) : {};
      resolve({ code: error === null ? 0 : Number(error.code), stdout, stderr, last });
    });
  });

beforeAll(async () => {
  folder = mkdtempSync(path.join(os.tmpdir(), "slotwright-questions-"));
  [first, second] = ["a.json", "b.json"].map((name) => path.join(folder, name)) as [string, string];
  await slotwright("plan", shop, "--iterations", "30", "--out", first);
  await slotwright("plan", shop, "--iterations", "1", "--seed", "9", "--out", second);
  const plan = JSON.parse(readFileSync(first, "utf8")) as { operations: { operation: string }[] };
  operation = plan.operations[0]?.operation ?? "";
});

test("why: an operation, the chain, and ids that do not exist", async () => {
  const why = await slotwright("why", shop, first, "--operation", operation);
  expect(why.code, why.stderr).toBe(0);
  expect(why.last).toMatchObject({ operation, lot: 0 });
  expect((why.last.sentences as string[]).length).toBeGreaterThan(0);
  const chain = await slotwright("why", shop, first, "--chain");
  expect((chain.last.chain as unknown[]).length).toBeGreaterThan(0);
  const nothing = await slotwright("why", shop, first, "--operation", `${operation}x`);
  expect(nothing.code).toBe(2);
  expect(nothing.stderr).toContain(`it has ${operation}`);
  expect((await slotwright("why", shop, first)).code).toBe(2);
});

test("risk: the same seed says the same; a bad profile is refused by field", async () => {
  const runs = await Promise.all([1, 2].map(() => slotwright("risk", shop, first, "--runs", "200", "--seed", "4")));
  expect(runs[0]?.code, runs[0]?.stderr).toBe(0);
  expect(runs[0]?.last).toEqual(runs[1]?.last);
  expect(runs[0]?.last).toMatchObject({ seed: 4, runs: 200 });
  const profile = path.join(folder, "profile.json");
  writeFileSync(profile, JSON.stringify({ material: { chance: 2, delayMinutes: { best: 0, likely: 0, worst: 0 } } }));
  const refused = await slotwright("risk", shop, first, "--profile", profile);
  expect(refused.code).toBe(2);
  expect(refused.stderr).toContain("material.chance");
});

test("compare: a plan with itself and with another", async () => {
  const same = await slotwright("compare", shop, first, first);
  expect(same.last).toMatchObject({ orders: [], operations: [] });
  const other = await slotwright("compare", shop, first, second);
  expect(other.code, other.stderr).toBe(0);
  expect((other.last.measures as unknown[]).length).toBe(2);
});

test("hold-out: two pins that want one machine at once are named, and exit 1", async () => {
  type Row = { id: string; modes: { machines: string[] }[]; pin?: unknown };
  const file = JSON.parse(readFileSync("seed/examples/1-tiny.json", "utf8")) as {
    now?: unknown;
    orders: { operations: Row[] }[];
  };
  expect((await slotwright("hold-out", "seed/examples/1-tiny.json", "--iterations", "50")).last).toEqual({ kind: "holds" });
  const plan = path.join(folder, "tiny.json");
  await slotwright("plan", "seed/examples/1-tiny.json", "--iterations", "50", "--out", plan);
  const planned = JSON.parse(readFileSync(plan, "utf8")) as {
    operations: { operation: string; lots: { start: number; mode: string }[] }[];
  };
  const rows = file.orders.flatMap((order) => order.operations);
  const startOf = (id: string) => planned.operations.find((entry) => entry.operation === id)?.lots[0]?.start ?? 0;
  const pair = rows
    .flatMap((a) => rows.map((b) => [a, b] as const))
    .find(
      ([a, b]) =>
        a.id < b.id &&
        a.modes.length === 1 &&
        b.modes.length === 1 &&
        a.modes[0]?.machines.some((m) => b.modes[0]?.machines.includes(m)),
    );
  if (pair === undefined) throw new Error("the tiny example has no two operations on one machine");
  for (const row of pair) row.pin = { start: startOf(pair[0].id) };
  const contradicting = path.join(folder, "contradicting.json");
  writeFileSync(contradicting, JSON.stringify(file));
  const answer = await slotwright("hold-out", contradicting, "--iterations", "50");
  expect(answer.code, answer.stderr).toBe(1);
  const [set] = (answer.last.sets ?? []) as { proof: string; demands: { demand: unknown }[] }[];
  expect(set?.demands.map(({ demand }) => demand)).toEqual(expect.arrayContaining([{ kind: "pin", operation: pair[1].id }]));
});
