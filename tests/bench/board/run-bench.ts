/**
 * `npm run bench:board [-- --json] [--bars 100,1000,10000] [--shops 1500,10000] [--address http://...]`: the pace of the real board in
 * real Chromium, as two tables. First the painter, with every layer that a draft can have: frame = time between animation frames,
 * task = main-thread time of one picture. Then the board inside the running application (the built one, on a database of its own unless
 * an address is given; what is there is replaced): first view, and input to next paint. `--shops ""` leaves the second part out.
 * With --json the last line is one object: `p95Ratio`, the largest p95 frame at the largest number of bars over that at the smallest,
 * over the zoom tiers; `firstRatio` and `toPaintMs`, the worst of the application; and all rows.
 */
import { mkdtemp, readFile, rm } from "node:fs/promises";
import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import os from "node:os";
import path from "node:path";
import process from "node:process";
import { build } from "vite";
import type { ShopSize } from "../../../seed/shop-generator.ts";
import { launchChromium } from "../../browser/support/chromium.ts";
import { startOwnApp } from "../../run/own-app.ts";
import { type AppPace, appPace } from "./app-pace.ts";
import type { Measurement } from "./board-bench.ts";

const TYPES: Readonly<Record<string, string>> = { ".html": "text/html", ".js": "text/javascript", ".css": "text/css" };
const here = path.dirname(new URL(import.meta.url).pathname);
const args = process.argv.slice(2);
const option = (name: string, usual: string): string => {
  const at = args.indexOf(name);
  return at >= 0 ? (args[at + 1] ?? "") : usual;
};
const counts = option("--bars", "100,1000,10000").split(",").map(Number);
const shops = option("--shops", "1500,10000").split(",").filter(Boolean) as ShopSize[];
const address = option("--address", "");

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
  for (const row of [...measured.rows].sort((a, b) => a.bars - b.bars)) {
    console.log(
      `${String(row.bars).padEnd(8)} ${row.tier.padEnd(12)} ${one(row.frameP50)} ${one(row.frameP95)}  ${one(row.taskP50)} ${one(row.taskP95)}`,
    );
  }
  for (const { bars, ms, conflicts, late, chain } of measured.first)
    console.log(
      `first picture with ${bars} bars, model included: ${ms.toFixed(0)} ms (${conflicts} conflicts, ${late} late, chain of ${chain})`,
    );
  const least = Math.min(...counts);
  const most = Math.max(...counts);
  const p95 = (bars: number, tier: string): number =>
    measured.rows.find((row) => row.bars === bars && row.tier === tier)?.frameP95 ?? Number.NaN;
  const tiers = [...new Set(measured.rows.map(({ tier }) => tier))];
  const p95Ratio = Math.max(...tiers.map((tier) => p95(most, tier) / p95(least, tier)));
  console.log(`largest p95 ratio ${most} : ${least} bars: ${p95Ratio.toFixed(2)}`);
  const inApp = shops.length === 0 ? [] : await measureApp();
  const firstRatio = Math.max(...inApp.map((each) => each.firstRatio));
  const toPaintMs = Math.max(...inApp.flatMap(({ toPaint }) => Object.values(toPaint).map(({ p95 }) => p95)));
  if (args.includes("--json"))
    console.log(JSON.stringify({ p95Ratio, ...(inApp.length > 0 ? { firstRatio, toPaintMs } : {}), ...measured, inApp }));
} finally {
  await browser.close();
  server.close();
  await rm(folder, { recursive: true, force: true });
}

async function measureApp(): Promise<readonly AppPace[]> {
  const own = address === "" ? await startOwnApp() : null;
  const out: AppPace[] = [];
  try {
    for (const size of shops) {
      const pace = await appPace(browser, own?.address ?? address, size);
      out.push(pace);
      const { operations, bars, conflicts, emptyMs, boardMs, firstRatio, toPaint } = pace;
      console.log(`\nIn the application: ${operations} operations, ${bars} bars, ${conflicts} conflicts; milliseconds`);
      console.log(`empty page ${emptyMs.toFixed(0)}, first view of the board ${boardMs.toFixed(0)}: ${firstRatio.toFixed(2)} x`);
      console.log("input to next paint       p50      p95   inputs");
      for (const [kind, { p50, p95, count }] of Object.entries(toPaint))
        console.log(
          `${kind.padEnd(20)} ${p50.toFixed(1).padStart(8)} ${p95.toFixed(1).padStart(8)} ${String(count).padStart(8)}`,
        );
    }
  } finally {
    await own?.stop();
  }
  return out;
}
