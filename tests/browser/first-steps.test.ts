/**
 * An empty shop is led from nothing to a first plan in five steps, or loads the demo shop - in a real browser, by the forms
 * alone, with the real engine, without an error and without asking any other machine; then the application stops in order.
 */
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, expect } from "vitest";
import { browserTest, launchChromium, openContext } from "./support/chromium.ts";
import { type RunningApp, startApp } from "./support/running-app.ts";

let app: RunningApp;
let browser: Browser;

beforeAll(async () => {
  app = await startApp({ shop: "empty" });
  browser = await launchChromium();
});
afterAll(async () => {
  await browser?.close();
  expect(await app?.stop()).toBe(0);
});

const start = "Set up your shop";
const step = (page: Page, name: string) => page.getByRole("listitem").filter({ has: page.getByRole("heading", { name }) });

browserTest("from nothing to a first plan in five steps, and from empty to the demo shop", async () => {
  const page = await (await openContext(browser)).newPage();
  const trouble: string[] = [];
  page.on("pageerror", (error) => trouble.push(error.message));
  page.on("request", (request) => {
    const { origin, protocol } = new URL(request.url());
    if (protocol.startsWith("http") && origin !== new URL(app.address).origin) trouble.push(`asked ${origin}`);
  });
  await page.goto(app.address);
  await page.getByRole("heading", { level: 1, name: start }).waitFor();
  expect(await page.title()).toContain("Slotwright");
  expect(await step(page, "Hours").getAttribute("aria-current")).toBe("step");
  expect(await page.getByRole("button", { name: "Plan now" }).isDisabled()).toBe(true);

  // The clock of the shop is asked for before anything is dated.
  await page.getByRole("button", { name: "Use Europe/Berlin" }).click();
  await page.getByRole("button", { name: "Use Europe/Berlin" }).waitFor({ state: "detached" });

  await page.getByRole("link", { name: "Add hours" }).click();
  await page.getByLabel("Name", { exact: true }).first().fill("Day shift");
  await page.getByRole("button", { name: "Add calendar", exact: true }).click();
  await page.getByRole("heading", { level: 1, name: "Day shift" }).waitFor();

  await page.getByRole("link", { name: "Next step" }).click();
  await step(page, "Hours").getByText("1 entered").waitFor();
  await page.getByRole("link", { name: "Add a machine" }).click();
  await page.getByLabel("Name", { exact: true }).first().fill("Lathe");
  await page.getByRole("button", { name: "Add machine", exact: true }).click();
  await page.getByRole("heading", { level: 1, name: "Lathe" }).waitFor();

  await page.getByRole("link", { name: "Next step" }).click();
  await page.getByRole("link", { name: "Add a crew" }).click();
  await page.getByLabel("Name", { exact: true }).first().fill("Turners");
  await page.getByLabel("Skills").fill("turning");
  await page.getByRole("button", { name: "Add crew", exact: true }).click();
  await page.getByRole("heading", { level: 1, name: "Turners" }).waitFor();

  await page.getByRole("link", { name: "Next step" }).click();
  await page.getByRole("link", { name: "Add an order" }).click();
  await page.getByLabel("Name", { exact: true }).first().fill("First shaft");
  await page.getByRole("button", { name: "Add operation" }).click();
  await page.getByRole("button", { name: "Add order", exact: true }).click();
  await page.getByRole("heading", { level: 1, name: /First shaft/ }).waitFor();
  await page.getByText("1 operation is not in the draft plan yet").waitFor();

  await page.getByRole("link", { name: "Next step" }).click();
  await page.getByRole("button", { name: "Plan now" }).click();
  await page.getByRole("link", { name: "Open the plan board" }).waitFor();
  await page.getByRole("link", { name: "Orders" }).click();
  await page.getByRole("cell", { name: "Planned", exact: true }).waitFor();
  await page.getByRole("link", { name: "1", exact: true }).click();
  await page.getByRole("cell", { name: /setup 15 min, attended run 1 h, unload 15 min/ }).waitFor();

  // Everything taken out again: the demo is offered instead.
  const empty = {
    format: "slotwright-problem",
    version: 1,
    name: "Empty",
    zone: "Europe/Berlin",
    origin: "2026-01-05",
    horizon: "2026-02-05",
  };
  const answer = await page.request.put(`${app.address}/api/v1/shop?replace=true&clock=live`, { data: empty });
  expect(answer.status()).toBe(200);
  await page.goto(app.address);
  await page.getByRole("button", { name: "Load the demo shop" }).click();
  await page.getByRole("link", { name: "Orders" }).click();
  await page.getByText(/^\d+ of \d+ orders$/).waitFor();
  await page.getByRole("link", { name: "Plan board" }).first().click();
  await page.getByRole("grid").first().waitFor();
  expect(trouble).toEqual([]);
});
