/**
 * A what-if as a planner makes one, on the demo shop: created, changed by a form, planned, compared with another beside the draft,
 * adopted as one step, and taken back by one undo. Until it is adopted nothing that people follow changes. Pages pass axe.
 */
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, expect } from "vitest";
import type { PlanView } from "../../src/contract/api/plan.ts";
import type { ScenarioHead } from "../../src/contract/api/scenario.ts";
import { present } from "../../src/core/ground/invariant.ts";
import { axe, WCAG } from "./support/axe.ts";
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

/** A question waits for its worker on a busy machine. */
const PATIENCE_MS = 240_000;
/** The whole way, with a plan of fifteen seconds in it, on a machine that does much else. */
const TEST_MS = 400_000;

const read = async <T>(path: string): Promise<T> => (await (await fetch(`${app.address}/api/v1${path}`)).json()) as T;
const readPlan = (): Promise<PlanView> => read<PlanView>("/plan");
const axeOn = async (page: Page): Promise<unknown> =>
  (await axe(page).withTags(WCAG).analyze()).violations.map(({ id, nodes }) => [id, nodes.map(({ target }) => target)]);

async function create(page: Page, name: string): Promise<void> {
  await page.goto(`${app.address}/scenarios`);
  await page.getByRole("button", { name: "New scenario" }).first().click();
  const dialog = page.getByRole("dialog");
  await dialog.getByLabel("Name").fill(name);
  await dialog.getByRole("button", { name: "Create scenario" }).click();
  await page.getByRole("heading", { level: 1, name }).waitFor();
}

browserTest(
  "created, edited, planned, compared, adopted as one step, undone",
  async () => {
    const page = await (await openContext(present(browser, "browser"))).newPage();
    const trouble: string[] = [];
    page.on("pageerror", (error) => trouble.push(error.message));
    const before = await readPlan();
    const mill = present(
      before.problem.machines.find(({ id }) => id === "mill-1"),
      "mill 1",
    );

    await page.goto(`${app.address}/scenarios`);
    await page.getByRole("heading", { name: "No scenario yet" }).waitFor();
    await create(page, "Mill 1 stands still");
    await page.getByText("Nothing is changed yet").waitFor();
    await page.getByLabel("What changes").selectOption({ label: "A machine is down" });
    await page.getByLabel("Machine or rig").selectOption({ label: mill.name });
    await page.getByLabel("Reason").fill("Spindle bearing");
    await page.getByRole("button", { name: "Add change" }).click();
    await expect
      .poll(() => page.locator(".change-list").textContent(), { timeout: PATIENCE_MS })
      .toContain(`${mill.name} is down from`);
    expect(await page.locator(".change-list").textContent()).toContain("Spindle bearing");
    await page.getByRole("table").first().waitFor({ timeout: PATIENCE_MS });
    expect(await axeOn(page)).toEqual([]);

    await page.getByRole("button", { name: "Plan it", exact: true }).click();
    await page.getByRole("button", { name: "Stop and keep" }).waitFor({ timeout: PATIENCE_MS });
    await page.getByRole("button", { name: "Plan it again" }).waitFor({ timeout: PATIENCE_MS });
    await expect
      .poll(async () => (await read<{ items: ScenarioHead[] }>("/scenarios")).items[0]?.planned, { timeout: PATIENCE_MS })
      .toBe("planned");

    await create(page, "An order can wait");
    await page.getByLabel("What changes").selectOption({ label: "An order: other date, weight or quantity" });
    await page.getByLabel("Weight", { exact: true }).fill("7");
    await page.getByRole("button", { name: "Add change" }).click();
    await expect.poll(() => page.locator(".change-list").textContent(), { timeout: PATIENCE_MS }).toContain("weight 7");
    const after = await readPlan();
    // The plan itself is shown as of the minute; its revision says that nobody changed it.
    expect([after.draft.revision, after.published?.version]).toEqual([before.draft.revision, before.published?.version]);
    expect(after.problem.machines.find(({ id }) => id === mill.id)?.closures).toEqual(mill.closures);
    expect(after.problem.orders).toEqual(before.problem.orders);

    await page.goto(`${app.address}/scenarios`);
    const table = page.getByRole("table").first();
    await table.getByRole("rowheader", { name: "Late orders" }).waitFor({ timeout: PATIENCE_MS });
    expect(await table.locator("thead").getByRole("columnheader").allTextContents()).toEqual([
      "Measure",
      expect.stringContaining(`Draft ${before.draft.revision}`),
      expect.stringContaining("An order can wait"),
      expect.stringContaining("Mill 1 stands still"),
    ]);
    // The draft leaves a rush order unplanned, the planned scenario does not: it is the best of that row, and says by how much.
    const unplanned = before.check.conflicts.filter(({ kind }) => kind === "notPlanned").length;
    const cells = await table
      .getByRole("row", { name: /^Operations not planned/ })
      .getByRole("cell")
      .allTextContents();
    expect(cells.map((text) => text.replaceAll("◆", "").trim())).toEqual([
      `${unplanned}`,
      `${unplanned}as the draft`,
      `best: 0−${unplanned}`,
    ]);
    await page.getByText(/Mill 1 stands still: \d+ operations? moves?/).waitFor();
    expect(await axeOn(page)).toEqual([]);

    await page.getByRole("button", { name: "Adopt Mill 1 stands still" }).click();
    const dialog = page.getByRole("dialog");
    await expect.poll(() => dialog.textContent(), { timeout: PATIENCE_MS }).toContain("1 change of the shop");
    await dialog.getByRole("button", { name: "Adopt into the draft" }).click();
    await page.getByRole("grid").first().waitFor({ timeout: PATIENCE_MS });
    const adopted = await readPlan();
    expect(adopted.draft.note).toBe("Scenario: Mill 1 stands still");
    expect(adopted.draft.revision).toBeGreaterThan(before.draft.revision);
    expect(adopted.problem.machines.find(({ id }) => id === mill.id)?.closures).toHaveLength(mill.closures.length + 1);
    expect(adopted.check.conflicts.filter(({ kind }) => kind === "notPlanned")).toEqual([]);

    await page.getByRole("gridcell").focus();
    await page.keyboard.press("Control+z");
    await expect.poll(async () => (await readPlan()).draft.revision, { timeout: PATIENCE_MS }).toBe(before.draft.revision);
    const undone = await readPlan();
    expect(undone.problem.machines.find(({ id }) => id === mill.id)?.closures).toEqual(mill.closures);
    expect(undone.draft.note).toBe(before.draft.note);
    expect(trouble).toEqual([]);
  },
  TEST_MS,
);

browserTest(
  "a late order says what would help, and keeps it as a scenario on wish",
  async () => {
    const page = await (await openContext(present(browser, "browser"))).newPage();
    const { problem, draft } = await readPlan();
    const ends = new Map<string, number>();
    for (const { id, order } of problem.operations)
      for (const { end } of draft.plan.operations.find(({ operation }) => operation === id)?.lots ?? [])
        ends.set(order, Math.max(ends.get(order) ?? 0, end));
    const late = present(
      problem.orders.find(({ id, due }) => due !== null && (ends.get(id) ?? 0) > due),
      "a late order in the demo",
    );
    await page.goto(`${app.address}/orders/${encodeURIComponent(late.id)}`);
    await page.getByRole("heading", { name: "What would help?" }).waitFor({ timeout: PATIENCE_MS });
    await page.getByRole("button", { name: "Try what would help" }).click();
    await page.getByText(/Better planning alone: ends/).waitFor({ timeout: 2 * PATIENCE_MS });
    const make = page.getByRole("button", { name: /^Make a scenario of: / });
    const none = page.getByText(/Nothing that was tried makes it less late|no lever is needed/);
    await make.first().or(none).waitFor({ timeout: PATIENCE_MS });
    if ((await make.count()) === 0) return;
    await make.first().click();
    await page.getByRole("heading", { level: 1, name: new RegExp(`^${late.id}: `) }).waitFor({ timeout: PATIENCE_MS });
    await expect.poll(() => page.locator(".change-list li").count(), { timeout: PATIENCE_MS }).toBe(1);
  },
  TEST_MS,
);
