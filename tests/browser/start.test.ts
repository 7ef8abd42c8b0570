/**
 * The built application starts on an empty migrated database, answers, shows a page in a real browser, and stops in order.
 */
import { afterAll, beforeAll, expect } from "vitest";
import { freshDatabase } from "../server/support/fresh-database.ts";
import { type RunningApp, runApp } from "./support/app-process.ts";
import { browserTest, launchChromium, openContext } from "./support/chromium.ts";

let app: RunningApp;
beforeAll(async () => {
  app = await runApp(await freshDatabase(), {});
});
afterAll(async () => {
  expect(await app.stop()).toBe(0);
});

browserTest("the first page loads without an error and without asking any other machine", async () => {
  const browser = await launchChromium();
  try {
    const page = await (await openContext(browser)).newPage();
    const trouble: string[] = [];
    page.on("pageerror", (error) => trouble.push(error.message));
    page.on("request", (request) => {
      const { origin, protocol } = new URL(request.url());
      if (protocol.startsWith("http") && origin !== new URL(app.address).origin) trouble.push(`asked ${origin}`);
    });
    await page.goto(app.address);
    await page.getByRole("main").waitFor();
    expect(await page.title()).toContain("Slotwright");
    expect(trouble).toEqual([]);
  } finally {
    await browser.close();
  }
});
