/**
 * `npm run bench:board [-- --json] [--bars 100,1000,10000]`: the pace of the real board in real Chromium, as a table.
 * Frame = time between animation frames; task = main-thread time of one picture. With --json the last line is one object with
 * `p95Ratio`, the largest p95 frame at the largest number of bars over that at the smallest, over the zoom tiers.
 */
import { mkdtemp, readFile, rm } from "node:fs/promises";
import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import os from "node:os";
import path from "node:path";
import process from "node:process";
import { build } from "vite";
import { launchChromium } from "../../browser/support/chromium.ts";
import type { Measurement } from "./board-bench.ts";

const TYPES: Readonly<Record<string, string>> = { ".html": "text/html", ".js": "text/javascript", ".css": "text/css" };
const here = path.dirname(new URL(import.meta.url).pathname);
const args = process.argv.slice(2);
const at = args.indexOf("--bars");
const counts = (at >= 0 ? (args[at + 1] ?? "") : "100,1000,10000").split(",").map(Number);

const folder = await mkdtemp(path.join(os.tmpdir(), "board-bench-"));
await build({ root: here, logLevel: "error", base: "./", build: { outDir: folder, emptyOutDir: true, target: "es2022" } });
const server = createServer((request, response) => {
  const name = (request.url ?? "/").split("?")[0] ?? "/";
  readFile(path.join(folder, name === "/" ? "index.html" : path.normalize(name)))
    .then((body) =>
      response
        .setHeader("Content-Type", TYPES[path.extname(name === "/" ? "index.html" : name)] ?? "application/octet-stream")
        .end(body),
    )
    .catch(() => response.writeHead(404).end());
});
await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
const browser = await launchChromium();
try {
  const page = await browser.newPage({ viewport: { width: 1640, height: 1040 } });
  await page.goto(`http://127.0.0.1:${(server.address() as AddressInfo).port}/`);
  await page.waitForFunction(() => typeof window.measureBoard === "function");
  const measured: Measurement = await page.evaluate((list) => window.measureBoard(list), counts);
  const one = (value: number): string => value.toFixed(1).padStart(8);
  console.log(`Chromium ${browser.version()}, 1600 x 1000 at 1x, dense rows, ${os.cpus().length} processors; milliseconds`);
  console.log("bars     tier         frame p50      p95  task p50      p95");
  for (const row of measured.rows) {
    console.log(
      `${String(row.bars).padEnd(8)} ${row.tier.padEnd(12)} ${one(row.frameP50)} ${one(row.frameP95)}  ${one(row.taskP50)} ${one(row.taskP95)}`,
    );
  }
  for (const { bars, ms } of measured.first) console.log(`first picture with ${bars} bars, model included: ${ms.toFixed(0)} ms`);
  const least = Math.min(...counts);
  const most = Math.max(...counts);
  const p95 = (bars: number, tier: string): number =>
    measured.rows.find((row) => row.bars === bars && row.tier === tier)?.frameP95 ?? Number.NaN;
  const tiers = [...new Set(measured.rows.map(({ tier }) => tier))];
  const p95Ratio = Math.max(...tiers.map((tier) => p95(most, tier) / p95(least, tier)));
  if (args.includes("--json")) console.log(JSON.stringify({ p95Ratio, ...measured }));
  else console.log(`largest p95 ratio ${most} : ${least} bars: ${p95Ratio.toFixed(2)}`);
} finally {
  await browser.close();
  server.close();
  await rm(folder, { recursive: true, force: true });
}
