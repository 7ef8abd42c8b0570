/**
 * `npm run shots -- --out <folder> [--address http://...] [--only name,name] [--themes light] [--sizes desktop]`: pictures of all screens, both themes,
 * desktop and tablet, from the demo shop. Starts the built application on a fresh database of its own unless an address
 * is given. Promises a file for each picture named at the end, and an exit code other than 0 when a screen did not come up.
 */
import fs from "node:fs/promises";
import path from "node:path";
import process from "node:process";
import { parseArgs } from "node:util";
import type { Page } from "playwright-core";
import { launchChromium } from "../browser/support/chromium.ts";
import { madeScreens } from "../browser/support/made-screens.ts";
import { SCREENS, type ScreenAddress } from "../browser/support/screens.ts";
import { startOwnApp } from "./own-app.ts";

const SIZES = { desktop: { width: 1440, height: 900 }, tablet: { width: 1024, height: 768 } } as const;
type Theme = "light" | "dark";
/** Drawings that follow the size of their frame settle within this time. */
const SETTLE_MS = 400;

const { values } = parseArgs({
  options: {
    out: { type: "string" },
    address: { type: "string" },
    only: { type: "string" },
    themes: { type: "string" },
    sizes: { type: "string" },
  },
});
if (!values.out) {
  console.error("Say where the pictures go: npm run shots -- --out <folder>");
  process.exit(2);
}
const out = path.resolve(values.out);
await fs.mkdir(out, { recursive: true });
const only = values.only?.split(",");
const themes = (["light", "dark"] satisfies Theme[]).filter(
  (theme) => !values.themes || values.themes.split(",").includes(theme),
) as Theme[];
const sizes = Object.entries(SIZES).filter(([size]) => !values.sizes || values.sizes.split(",").includes(size));

const app = values.address ? null : await startOwnApp();
const address = values.address ?? app?.address ?? "";
const screens = [...SCREENS, ...(await madeScreens(address))].filter(({ name }) => !only || only.includes(name));
let missing = 0;
try {
  const browser = await launchChromium();
  for (const [size, viewport] of sizes) {
    for (const theme of themes) {
      const context = await browser.newContext({
        viewport,
        locale: "en-GB",
        timezoneId: "Europe/Berlin",
        colorScheme: theme,
        reducedMotion: "reduce",
      });
      const page = await context.newPage();
      for (const screen of screens) {
        const file = path.join(out, `${screen.name}-${theme}-${size}.png`);
        if (await shown(page, address, screen)) await page.screenshot({ path: file, fullPage: screen.heading !== null });
        else missing += 1;
      }
      await context.close();
    }
  }
  await browser.close();
} finally {
  await app?.stop();
}
console.log(
  `${screens.length * themes.length * sizes.length - missing} pictures in ${out}${missing > 0 ? `, ${missing} screens did not come up` : ""}`,
);
process.exit(missing > 0 ? 1 : 0);

async function shown(page: Page, at: string, screen: ScreenAddress): Promise<boolean> {
  try {
    await page.goto(at + screen.path);
    if (screen.heading === null) await page.getByRole("grid").first().waitFor({ timeout: 15_000 });
    else await page.getByRole("heading", { level: 1, name: screen.heading }).waitFor({ timeout: 15_000 });
    // Parts that are read later, or worked out by the server, have stood up too.
    await page.getByText("Reading the shop's data").first().waitFor({ state: "detached", timeout: 15_000 });
    await page.evaluate(() => document.fonts.ready.then(() => undefined));
    await page.waitForTimeout(SETTLE_MS);
    return true;
  } catch (error) {
    console.error(`${screen.name} (${screen.path}): ${error instanceof Error ? error.message.split("\n")[0] : String(error)}`);
    return false;
  }
}
