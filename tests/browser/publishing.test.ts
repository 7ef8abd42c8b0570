/**
 * Publishing with care, on the demo shop in a real browser: checklists gone through and signed before the plan is in force, a draft
 * proposed and published from its review, an old version looked at on its board, two compared; how sure the plan is; why then.
 */
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, expect } from "vitest";
import type { PlanView, VersionView } from "../../src/contract/api/plan.ts";
import { present } from "../../src/core/ground/invariant.ts";
import { axe, WCAG } from "./support/axe.ts";
import { goThroughCautions } from "./support/cautions.ts";
import { browserTest, findChromium, launchChromium, openContext } from "./support/chromium.ts";
import { type RunningApp, startApp } from "./support/running-app.ts";

let app: RunningApp;
let browser: Browser | undefined;
beforeAll(async () => {
  app = await startApp();
  if (findChromium() !== undefined) browser = await launchChromium();
});
afterAll(async () => {
  await browser?.close();
  await app.stop();
});

const open = async (path: string): Promise<Page> => {
  const page = await (await openContext(present(browser, "browser"))).newPage();
  await page.goto(app.address + path);
  return page;
};
const heading = (page: Page, name: RegExp) => page.getByRole("heading", { level: 1, name }).waitFor();
const ask = async <T>(path: string): Promise<T> => (await (await fetch(`${app.address}/api/v1${path}`)).json()) as T;
const faults = async (page: Page) =>
  (await axe(page).withTags(WCAG).analyze()).violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html}`);

browserTest("a plan with night and rig work is published only when every list is gone through and signed", async () => {
  const before = await ask<PlanView>("/plan");
  const page = await open("/");
  await page.getByRole("grid").waitFor();
  await page.getByRole("button", { name: "Publish draft" }).click();
  const dialog = page.getByRole("dialog");
  const act = dialog.getByRole("button", { name: "Publish draft" });
  await dialog.getByText("Machines running with nobody on site").waitFor();
  await dialog.getByText("The plan does not say that it is safe", { exact: false }).waitFor();
  if (before.check.conflicts.length > 0) await dialog.getByLabel("Name of whoever has read the conflicts").fill("R. Falk");
  expect(await act.isDisabled()).toBe(true);
  const lists = await goThroughCautions(dialog, "R. Falk");
  expect(lists).toBe(4);
  expect(await act.isDisabled()).toBe(false);
  // One point that is not ticked, or one name that is missing, holds it up.
  const first = dialog.locator("fieldset.caution").first();
  await first.getByRole("checkbox").nth(2).uncheck();
  expect(await act.isDisabled()).toBe(true);
  await first.getByRole("checkbox").nth(2).check();
  await first.getByRole("textbox").fill(" ");
  expect(await act.isDisabled()).toBe(true);
  await first.getByRole("textbox").fill("M. Sand");
  expect(await faults(page)).toEqual([]);
  await act.click();
  await dialog.waitFor({ state: "detached" });
  const version = present((await ask<PlanView>("/plan")).published, "published").version;
  expect(version).toBe((before.published?.version ?? 0) + 1);
  const kept = await ask<VersionView>(`/plan/versions/${version}`);
  expect(kept.cautions.map(({ by }) => by)).toEqual(["M. Sand", "R. Falk", "R. Falk", "R. Falk"]);

  // Looked back at: the list with names, the plan on its board and as a table, and against the version before.
  await page.goto(`${app.address}/published`);
  await heading(page, /^Published plans$/);
  await page.getByRole("link", { name: `Version ${version}` }).click();
  await heading(page, new RegExp(`^Version ${version}$`));
  await page.getByText("Acknowledged by M. Sand", { exact: false }).waitFor();
  await page.getByRole("button", { name: "Board" }).click();
  await page.getByRole("grid").waitFor();
  await page.getByRole("gridcell").focus();
  await page.keyboard.press("ArrowDown");
  expect(await page.getByRole("gridcell").getAttribute("aria-label")).toMatch(/\d/);
  expect(await faults(page)).toEqual([]);
  await page.getByRole("button", { name: "Table" }).click();
  await page.getByRole("columnheader", { name: /Machine/ }).waitFor();
  await page.goto(`${app.address}/published/1/against/${version}`);
  await heading(page, new RegExp(`^Version 1 → Version ${version}$`));
  await page.getByRole("rowheader", { name: "Late orders" }).waitFor();
  await page.context().close();
});

browserTest("a draft is proposed on the board and published from its review", async () => {
  const page = await open("/");
  await page.getByRole("grid").waitFor();
  await page.getByRole("button", { name: "Publish draft" }).click();
  const dialog = page.getByRole("dialog");
  await dialog.getByRole("button", { name: "Propose instead" }).click();
  const act = dialog.getByRole("button", { name: "Propose the draft" });
  expect(await act.isDisabled()).toBe(true); // a proposal says what for
  await dialog.getByLabel("Note for those who publish").fill("The week as agreed on Monday");
  await act.click();
  await dialog.waitFor({ state: "detached" });
  await page.getByRole("link", { name: "1 proposed" }).click();
  await page
    .getByRole("link", { name: /^Proposal \d+$/ })
    .first()
    .click();
  await heading(page, /^Proposal \d+$/);
  await page.getByText("The week as agreed on Monday").waitFor();
  const main = page.getByRole("main");
  const reader = main.getByLabel("Name of whoever has read the conflicts");
  await main.getByText("Machines running with nobody on site").waitFor();
  if ((await reader.count()) > 0) await reader.fill("R. Falk");
  await goThroughCautions(main, "R. Falk");
  expect(await faults(page)).toEqual([]);
  await main.getByRole("button", { name: "Publish draft" }).click();
  await heading(page, /^Version \d+$/);
  await page.getByText("The week as agreed on Monday").waitFor();
  await page.context().close();
});

browserTest("how sure the plan is: worked out once, shown on its page, the order list, the order and the board", async () => {
  const page = await open("/how-sure");
  await page.getByText("Nobody has worked it out yet").waitFor();
  await page.getByRole("button", { name: "Work it out" }).click();
  await page.getByRole("heading", { name: "Orders, least sure first" }).waitFor();
  await page.getByText("All of it is common practice, measured nowhere", { exact: false }).waitFor();
  expect(await faults(page)).toEqual([]);
  const least = await page.getByRole("row").nth(1).getByRole("link").textContent();
  const order = present(least?.split(" ")[0], "an order");
  await page.goto(`${app.address}/orders/${order}`);
  await page.getByText(/On time in \d+\s% of the courses/).waitFor();
  await page.goto(`${app.address}/orders`);
  await page.getByRole("columnheader", { name: "On time" }).waitFor();
  await page
    .getByText(/\d+\s%, (unlikely|unsure)/)
    .first()
    .waitFor();
  await page.goto(`${app.address}/`);
  const panel = page.getByRole("complementary");
  await panel.getByRole("heading", { name: "How sure" }).waitFor();
  await panel
    .getByText(/\d+\s%, (unlikely|unsure)/)
    .first()
    .waitFor();
  await page.context().close();
});

browserTest("why then, why late, and the chain on the board", async () => {
  const page = await open("/orders/2104");
  await heading(page, /2104/);
  await page.getByText("Why then?").last().click();
  await expect.poll(() => page.locator("details[open] li").allTextContents()).not.toEqual([]);
  const steps = page.locator(".reason-chain li");
  await steps.first().waitFor();
  expect(await steps.first().textContent()).toMatch(/2104\/30/);
  expect(await steps.last().textContent()).toMatch(/Root/);
  expect(await faults(page)).toEqual([]);
  const count = await steps.count();
  await page.getByRole("link", { name: "Show on the board" }).click();
  await page.getByRole("grid").waitFor();
  const panel = page.getByRole("complementary");
  await panel.getByRole("heading", { name: "Why 2104 ends then" }).waitFor();
  await expect.poll(() => panel.locator(".board-chain li").count()).toBe(count);
  expect(await page.getByTestId("chosen-order").textContent()).toBe("2104");

  await page.getByRole("checkbox", { name: "Critical chain" }).check();
  await panel.getByRole("heading", { name: "Critical chain of the plan" }).waitFor();
  await panel.locator(".board-chain button").first().click();
  await panel.getByText(/^(No slack|May start)/).waitFor();
  expect(await faults(page)).toEqual([]);
  await page.getByRole("checkbox", { name: "Critical chain" }).uncheck();
  await panel.getByRole("heading", { name: "Critical chain of the plan" }).waitFor({ state: "detached" });
  await page.context().close();
});
