/**
 * The Chromium that the browser tests drive, where this machine has one.
 * Promises that a missing browser is said aloud: tests are skipped by name on a desk, and fail where CI is set.
 */
import { existsSync } from "node:fs";
import path from "node:path";
import process from "node:process";
import { type Browser, type BrowserContext, type BrowserContextOptions, chromium } from "playwright-core";
import { test } from "vitest";

const NAMES = ["chromium", "chromium-browser", "google-chrome", "google-chrome-stable"];
const ELSEWHERE = [
  "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
  "/Applications/Chromium.app/Contents/MacOS/Chromium",
  "C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe",
];

/** CHROMIUM_PATH, else the first one found on the path or in the usual places. */
export function findChromium(): string | undefined {
  const wanted = process.env.CHROMIUM_PATH;
  if (wanted) return existsSync(wanted) ? wanted : undefined;
  const folders = ["/usr/bin", ...(process.env.PATH ?? "").split(path.delimiter)];
  const candidates = [...NAMES.flatMap((name) => folders.map((folder) => path.join(folder, name))), ...ELSEWHERE];
  return candidates.find((file) => existsSync(file));
}

const executable = findChromium();
const required = Boolean(process.env.CI) && process.env.CI !== "false";
if (executable === undefined) {
  const reason = process.env.CHROMIUM_PATH ? `there is none at CHROMIUM_PATH=${process.env.CHROMIUM_PATH}` : "none was found";
  if (required) throw new Error(`Browser tests need Chromium, and ${reason}. Install it or set CHROMIUM_PATH.`);
  console.warn(`No Chromium (${reason}): the browser tests of this file are skipped.`);
}

/** Use in place of `test` for everything that needs the browser. */
export const browserTest = test.skipIf(executable === undefined);

export async function launchChromium(): Promise<Browser> {
  if (executable === undefined) throw new Error("launchChromium was called although no Chromium was found.");
  const quiet = ["--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"];
  const still = ["--disable-component-update", "--disable-sync", "--disable-dev-shm-usage"];
  const asRoot = process.getuid?.() === 0 ? ["--no-sandbox"] : []; // Chromium's sandbox refuses root
  return chromium.launch({ executablePath: executable, args: [...quiet, ...still, ...asRoot] });
}

/** Far more than anything takes on a quiet machine: what fails, fails for good. */
const PATIENCE_MS = 180_000;

/**
 * A context is needed for accessibility checks. A new one has nothing kept: a service worker would fetch all screens again for each
 * test, so only a test that is about being offline allows it (`serviceWorkers: "allow"`). Zone and language are fixed, so that what a
 * test reads is the same everywhere.
 */
export async function openContext(browser: Browser, options: BrowserContextOptions = {}): Promise<BrowserContext> {
  const usual = { viewport: { width: 1440, height: 900 }, locale: "en-GB", timezoneId: "Europe/Berlin" };
  const context = await browser.newContext({ ...usual, serviceWorkers: "block", ...options });
  context.setDefaultTimeout(PATIENCE_MS);
  return context;
}
