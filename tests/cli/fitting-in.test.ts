/** Rush, promise and free on the command line, as a user meets them: real processes on an example file. */
import { execFile } from "node:child_process";
import { mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import os from "node:os";
import path from "node:path";
import { beforeAll, expect, test } from "vitest";
import { readPlanFile } from "../../src/contract/plan-file.ts";
import { readProblemText } from "../../src/contract/problem-file.ts";
import { check } from "../../src/core/check/checker.ts";

const starter = path.resolve("src/cli/slotwright.mjs");
const shop = path.resolve("seed/examples/3-workshop.json");
let plan: string;
let order: string;

type Run = { readonly code: number; readonly stderr: string; readonly last: unknown };
const slotwright = (...args: string[]): Promise<Run> =>
  new Promise((resolve) => {
    execFile(process.execPath, [starter, ...args], { encoding: "utf8", maxBuffer: 1e8 }, (error, stdout, stderr) => {
      const line = stdout.trimEnd().split("\n").at(-1) ?? "";
      resolve({ code: error === null ? 0 : Number(error.code), stderr, last: /^[[{]/.test(line) ? JSON.parse(line) : null });
    });
  });

type Loose = { id: string; operations: { id: string; progress?: unknown; pin?: unknown }[]; links?: unknown[] };
const file = JSON.parse(readFileSync(shop, "utf8")) as { orders: Loose[]; links: { id: string; from: string; to: string }[] };

/** The first order of the example once more. */
function again(): Loose {
  const like = file.orders[0]!;
  const ids = new Set(like.operations.map(({ id }) => id));
  return {
    ...like,
    id: "rush",
    operations: like.operations.map(({ progress: _progress, pin: _pin, ...operation }) => ({
      ...operation,
      id: `rush ${operation.id}`,
    })),
    links: file.links
      .filter(({ from, to }) => ids.has(from) && ids.has(to))
      .map((link) => ({ ...link, id: `rush ${link.id}`, from: `rush ${link.from}`, to: `rush ${link.to}` })),
  };
}

beforeAll(async () => {
  const folder = mkdtempSync(path.join(os.tmpdir(), "slotwright-fitting-"));
  plan = path.join(folder, "plan.json");
  order = path.join(folder, "order.json");
  writeFileSync(order, JSON.stringify(again()));
  expect((await slotwright("plan", shop, "--iterations", "100", "--out", plan)).code).toBe(0);
});

test("rush: an array of answers whose plans hold in the shop with the order in it", async () => {
  const { code, last, stderr } = await slotwright("rush", shop, plan, "--order", order, "--iterations", "20");
  expect(code, stderr).toBe(0);
  const answers = last as { finish: number; labels: string[]; plan: unknown; moved: unknown[]; conflicts: number }[];
  expect(answers.length).toBeGreaterThanOrEqual(2);
  const { links, ...added } = again();
  const joined = readProblemText(
    JSON.stringify({ ...file, orders: [...file.orders, added], links: [...file.links, ...(links ?? [])] }),
  );
  if (!joined.ok) throw new Error(JSON.stringify(joined.error));
  for (const answer of answers) {
    const read = readPlanFile(answer.plan, joined.value);
    if (!read.ok) throw new Error(JSON.stringify(read.error));
    expect(check(joined.value, read.value).conflicts).toHaveLength(answer.conflicts);
  }
  expect(answers.find(({ labels }) => labels.includes("nothingMoves"))?.moved).toEqual([]);
  expect(answers[0]?.labels).toContain("earliest");

  const bad = path.join(path.dirname(order), "bad.json");
  writeFileSync(bad, JSON.stringify({ ...again(), weight: -1 }));
  expect(await slotwright("rush", shop, plan, "--order", bad)).toMatchObject({ code: 2 });
  writeFileSync(bad, JSON.stringify({ id: "nobody's" }));
  expect((await slotwright("rush", shop, plan, "--order", bad)).stderr).toContain("operations");
});

test("promise and free: dates without moving anybody, windows that a booking could take", async () => {
  const promised = await slotwright("promise", shop, plan, "--order", order, "--still");
  expect(promised.code, promised.stderr).toBe(0);
  expect(promised.last).toMatchObject({ order: "rush", withMoves: null, asItStands: { moved: [] } });
  const free = await slotwright("free", shop, plan, "--hours", "2.5", "--unattended", "--rigs", "--before", "2027-04-02");
  expect(free.code, free.stderr).toBe(0);
  const { windows } = free.last as { windows: { start: number; end: number; machine: string }[] };
  expect(windows.length).toBeGreaterThan(0);
  expect(windows.every(({ start, end }) => end - start === 150)).toBe(true);
  expect((await slotwright("free", shop, plan, "--hours", "8000")).code).toBe(1);
  expect(await slotwright("free", shop, plan, "--hours", "2", "--supply", "steam=3")).toMatchObject({ code: 2 });
});
