/**
 * When things go wrong, as a planner meets it on the demo shop: a bar dropped where it does not fit is repaired by keys and taken back;
 * a machine stands still, what breaks is told, a repair is taken in and one undo takes it back; an order's date is moved from its page.
 */
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, expect } from "vitest";
import type { PlanView } from "../../src/contract/api/plan.ts";
import { present } from "../../src/core/ground/invariant.ts";
import { hasBegun } from "../../src/core/orders/operation.ts";
import { samePlan } from "../../src/core/problem/same-plan.ts";
import { axe, WCAG } from "./support/axe.ts";
import { browserTest, findChromium, launchChromium, openContext } from "./support/chromium.ts";
import { type RunningApp, startApp } from "./support/running-app.ts";

let app: RunningApp;
let browser: Browser | undefined;
let first: PlanView;
beforeAll(async () => {
  app = await startApp();
  if (findChromium() !== undefined) browser = await launchChromium();
  first = await readPlan();
});
afterAll(async () => {
  await browser?.close();
  await app.stop();
});

/** A search on a busy machine. */
const SEARCH_MS = 240_000;
/** Undoing a step compiles the shop twice: seconds on a busy machine. */
const eventually = <T>(look: () => T | Promise<T>) => expect.poll(look, { timeout: SEARCH_MS });
const readPlan = async (): Promise<PlanView> => (await (await fetch(`${app.address}/api/v1/plan`)).json()) as PlanView;
const placed = ({ check }: Pick<PlanView, "check">): number => check.conflicts.filter(({ kind }) => kind !== "notPlanned").length;

/** Running work goes on while the test runs; everything else must lie where it lay. */
const free = ({ problem, draft }: PlanView) => ({
  operations: draft.plan.operations.filter(({ operation: id }) => {
    const operation = problem.operations.find((each) => each.id === id);
    return operation !== undefined && !hasBegun(operation.progress);
  }),
});
const closures = ({ problem }: PlanView) => problem.machines.map((machine) => [machine.id, machine.closures]);

async function openPage(path = "/"): Promise<Page> {
  const page = await (await openContext(present(browser, "browser"))).newPage();
  await page.goto(app.address + path);
  return page;
}
async function openBoard(): Promise<Page> {
  const page = await openPage();
  await page.getByRole("grid").waitFor();
  await page.locator(".board-drawing canvas").first().waitFor();
  return page;
}
const focused = (page: Page) => page.getByRole("gridcell");
async function find(page: Page, operation: string): Promise<void> {
  await focused(page).focus();
  await page.keyboard.press("/");
  await page.keyboard.type(operation);
  await page.keyboard.press("Enter");
  await eventually(() => focused(page).getAttribute("aria-label")).toContain(`${operation} `);
  await eventually(() => focused(page).evaluate((cell) => cell === document.activeElement)).toBe(true);
}

/** Free work that lies close behind other free work on its machine: a few steps to the left it stands on it. */
function crowded({ problem, draft }: PlanView): string {
  const list = draft.plan.operations
    .flatMap(({ operation: id, lots }) => {
      const operation = problem.operations.find((each) => each.id === id);
      const lot = lots[0];
      const machines = operation?.modes.find((mode) => mode.id === lot?.mode)?.machines;
      if (!operation || !lot || lots.length !== 1 || operation.pin || hasBegun(operation.progress) || machines?.length !== 1)
        return [];
      return lot.start > (problem.freeze ?? problem.now) ? [{ id, machine: machines[0], start: lot.start, end: lot.end }] : [];
    })
    .sort((a, b) => a.start - b.start);
  const one = list.find(({ machine, start }) =>
    list.some((other) => other.machine === machine && other.end <= start && start - other.end < 1_000),
  );
  return present(one, "two operations after one another").id;
}

browserTest("a drop that makes conflicts: repairs are offered, one is taken by its key, two undos lead back", async () => {
  const page = await openBoard();
  const trouble: string[] = [];
  page.on("pageerror", (error) => trouble.push(error.message));
  const before = await readPlan();
  const operation = crowded(before);
  await find(page, operation);
  await page.keyboard.press("m");
  const slip = page.locator(".board-slip");
  for (let i = 0; i < 400 && !/Does not fit/.test((await slip.textContent().catch(() => "")) ?? ""); i++)
    await page.keyboard.press("ArrowLeft");
  await page.keyboard.press("Enter");

  const offer = page.getByTestId("drop-offer");
  await offer.waitFor();
  // the drop is kept at once, whatever is chosen
  await eventually(async () => placed(await readPlan())).toBeGreaterThan(placed(before));
  const dropped = await readPlan();
  await offer.locator(".repair-card").first().waitFor({ timeout: SEARCH_MS });
  const findings = await axe(page).withTags(WCAG).include("[data-testid=drop-offer]").analyze();
  expect(findings.violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html}`)).toEqual([]);
  const card = (await offer.locator(".repair-card").first().textContent()) ?? "";
  expect(card).toMatch(/no conflict left|conflicts? stays?/);
  expect(card).toMatch(/Told anew|Nobody is told anew/);

  await focused(page).focus();
  await page.keyboard.press("1");
  await offer.waitFor({ state: "detached" });
  await eventually(() => page.getByTestId("board-status").textContent()).toMatch(/taken: \d+ operations? moved/);
  await eventually(async () => placed(await readPlan())).toBeLessThan(placed(dropped));
  await page.keyboard.press("Control+z");
  await eventually(async () => samePlan(free(await readPlan()), free(dropped))).toBe(true);
  await page.keyboard.press("Control+z");
  await eventually(async () => samePlan(free(await readPlan()), free(before))).toBe(true);
  expect(trouble).toEqual([]);
  await page.close();
});

browserTest("a drop is left as it lies by Escape, and the board goes on", async () => {
  const page = await openBoard();
  const before = await readPlan();
  await find(page, crowded(before));
  await page.keyboard.press("m");
  for (
    let i = 0;
    i < 400 &&
    !/Does not fit/.test(
      (await page
        .locator(".board-slip")
        .textContent()
        .catch(() => "")) ?? "",
    );
    i++
  )
    await page.keyboard.press("ArrowLeft");
  await page.keyboard.press("Enter");
  const offer = page.getByTestId("drop-offer");
  await offer.waitFor();
  await page.keyboard.press("Escape");
  await offer.waitFor({ state: "detached" });
  await eventually(async () => placed(await readPlan())).toBeGreaterThan(placed(before));
  await page.keyboard.press("Control+z");
  await eventually(async () => samePlan(free(await readPlan()), free(before))).toBe(true);
  await page.close();
});

browserTest(
  "a machine stands still: told at its name, what breaks is said, a repair is taken in and taken back as one step",
  async () => {
    const page = await openBoard();
    const before = await readPlan();
    // the machine of the first free work, from now until after it
    const [work] = free(before).operations.filter(({ lots }) => (lots[0]?.start ?? 0) > before.problem.now + 60);
    const lot = present(work?.lots[0], "free work");
    const operation = present(
      before.problem.operations.find(({ id }) => id === work?.operation),
      "its operation",
    );
    const machine = present(
      before.problem.machines.find(({ id }) => operation.modes.find((mode) => mode.id === lot.mode)?.machines.includes(id)),
      "its machine",
    );
    await page.getByRole("button", { name: "Something went wrong …" }).first().click();
    const dialog = page.getByRole("dialog");
    await dialog.getByLabel("Machine or rig").selectOption(machine.id);
    const from = await dialog.getByLabel(/^From/).inputValue();
    const until = new Date(Date.parse(`${from}Z`) + (lot.end - before.problem.now + 600) * 60_000).toISOString().slice(0, 16);
    await dialog.getByRole("button", { name: "See what it breaks" }).click();
    // nothing is asked while a fact is missing
    expect(await dialog.isVisible()).toBe(true);
    await dialog.getByLabel(/^Until/).fill(until);
    await dialog.getByRole("button", { name: "See what it breaks" }).click();

    const strip = page.getByTestId("trouble-strip");
    await page.getByTestId("trouble-breaks").waitFor({ timeout: SEARCH_MS });
    expect(await strip.textContent()).toContain(`${machine.name} stands still until`);
    expect(await strip.textContent()).toMatch(/If nothing moves: \d+ new conflicts?/);
    // telling changes nothing
    expect(closures(await readPlan())).toEqual(closures(before));
    await strip.locator(".repair-card").first().waitFor({ timeout: SEARCH_MS });
    const findings = await axe(page).withTags(WCAG).include("[data-testid=trouble-strip]").analyze();
    expect(findings.violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html}`)).toEqual([]);
    await strip.locator(".repair-card").first().click();
    await strip.waitFor({ state: "detached" });

    const taken = await readPlan();
    expect(taken.draft.note).toContain(`${machine.name} stands still`);
    expect(taken.problem.machines.find(({ id }) => id === machine.id)?.closures.length).toBe(machine.closures.length + 1);
    expect(placed(taken)).toBe(placed(before));
    // the title block grows by what waits to be published, so the button may move under a pointer: by key
    await eventually(() => page.getByTestId("board-status").textContent()).toMatch(/Taken in: .* One undo takes it back/);
    await focused(page).focus();
    await page.keyboard.press("Control+z");
    await eventually(async () => closures(await readPlan())).toEqual(closures(before));
    expect(samePlan(free(await readPlan()), free(before))).toBe(true);
    await page.close();
  },
);

browserTest("a customer moves a date: told on the order's page and taken in without moving anything", async () => {
  const { problem } = first;
  const order = present(
    problem.orders.find(({ due }) => due !== null && due > problem.now + 5 * 1440),
    "an order that is due later",
  );
  const page = await openPage(`/orders/${encodeURIComponent(order.id)}`);
  await page.getByRole("button", { name: "Something went wrong …" }).click();
  const dialog = page.getByRole("dialog");
  const field = dialog.getByLabel("New promised date");
  const sooner = new Date(Date.parse(`${await field.inputValue()}T00:00Z`) - 86_400_000).toISOString().slice(0, 10);
  await field.fill(sooner);
  await dialog.getByRole("button", { name: "See what it breaks" }).click();
  await dialog.getByRole("button", { name: "Take it in, move nothing" }).click({ timeout: SEARCH_MS });
  await dialog.waitFor({ state: "detached" });
  const due = async () => (await readPlan()).problem.orders.find(({ id }) => id === order.id)?.due;
  await eventually(due).toBe((order.due ?? 0) - 1440);
  expect((await fetch(`${app.address}/api/v1/plan/draft/undo`, { method: "POST" })).status).toBe(200);
  expect(await due()).toBe(order.due);
  await page.close();
});
