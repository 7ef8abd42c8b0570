/** The contract question on files: one lathe of 40 hours a week and orders of ten hours, so the answer is arithmetic. Real processes. */
import { execFile } from "node:child_process";
import { mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import os from "node:os";
import path from "node:path";
import { beforeAll, expect, test } from "vitest";

const starter = path.resolve("src/cli/slotwright.mjs");
let shop: string;

type Run = {
  code: number;
  stdout: string;
  stderr: string;
  last: { variants?: { name: string; breaks: object | null; lateOrders: number }[] };
};
const contract = (...args: string[]): Promise<Run> =>
  new Promise((resolve) => {
    execFile(
      process.execPath,
      [starter, "contract", ...args],
      { encoding: "utf8", maxBuffer: 64_000_000 },
      (error, stdout, stderr) => {
        const line = stdout.trimEnd().split("\n").at(-1) ?? "";
        const last = line.startsWith("{") ? (JSON.parse(line) as Run["last"]) : {};
        resolve({ code: error === null ? 0 : Number(error.code), stdout, stderr, last });
      },
    );
  });

beforeAll(() => {
  shop = path.join(mkdtempSync(path.join(os.tmpdir(), "slotwright-contract-")), "shop.json");
  const phases = [{ kind: "run", flow: "pausable", work: { kind: "fixed", minutes: 600 }, needs: [{ skill: "turn" }] }];
  const file = {
    ...{ format: "slotwright-problem", version: 1, name: "one lathe", zone: "UTC", origin: "2026-06-08", horizon: "2026-06-28" },
    calendars: [{ id: "day", weekly: [{ days: [1, 2, 3, 4, 5], from: "07:00", until: "15:00" }] }],
    machines: [{ id: "lathe", calendar: "day" }],
    crews: [{ id: "turners", skills: ["turn"], calendar: "day", people: 200 }],
    orders: [
      { id: "shaft", due: "2026-06-12", operations: [{ id: "shaft/1", modes: [{ id: "turn", machines: ["lathe"], phases }] }] },
    ],
  };
  writeFileSync(shop, JSON.stringify(file));
});

const asked = (perWeek: number, ...more: string[]) =>
  contract(
    shop,
    ...["--like", "shaft", "--per-week", `${perWeek}`, "--from", "2026-06-15", "--weeks", "3", "--lead-days", "7"],
    ...["--iterations", "300", ...more],
  );

test("four orders of ten hours a week hold, five break, and another lathe or a shift carries them", async () => {
  const before = readFileSync(shop, "utf8");
  const four = await asked(4);
  expect(four.code, four.stderr).toBe(0);
  expect(four.last.variants).toMatchObject([{ name: "", breaks: null, lateOrders: 0 }]);
  const five = await asked(5);
  expect(five.code, five.stderr).toBe(1);
  expect(five.last.variants).toMatchObject([{ breaks: { week: "2026-06-22", bottleneck: { id: "lathe" } } }]);
  expect(five.stdout).toContain("breaks first in the week of 2026-06-22");
  const helped = await asked(5, "--machine", "lathe", "--shift", "turners=15:00-19:00");
  expect(helped.code, helped.stderr).toBe(0);
  expect(helped.last.variants?.map(({ name, breaks }) => [name, breaks === null])).toEqual([
    ["", false],
    ["one more lathe", true],
    ["turners also 15:00-19:00", true],
  ]);
  expect(readFileSync(shop, "utf8")).toBe(before);
});

test("bad input is said by its option, with exit code 2", async () => {
  const wrong: readonly (readonly [string, readonly string[]])[] = [
    ["no such order", [shop, "--like", "bush", "--per-week", "2", "--from", "2026-06-15"]],
    ["no such date", [shop, "--like", "shaft", "--per-week", "2", "--from", "2026-06-31"]],
    ["either --like ORDER or --route FILE", [shop, "--per-week", "2", "--from", "2026-06-15"]],
    ["expected CREW=HH:MM-HH:MM", [shop, "--like", "shaft", "--per-week", "2", "--from", "2026-06-15", "--shift", "turners"]],
    ["there is no machine", [shop, "--like", "shaft", "--per-week", "2", "--from", "2026-06-15", "--machine", "saw"]],
  ];
  for (const [sentence, args] of wrong) {
    const { code, stderr } = await contract(...args);
    expect([code, stderr]).toEqual([2, expect.stringContaining(sentence)]);
  }
});
