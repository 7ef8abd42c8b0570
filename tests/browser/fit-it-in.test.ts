/** Two of the main flows in a real browser: a rush order adopted and taken back; a date promised, its slot held, and free again by itself. */
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, expect } from "vitest";
import type { PlanView } from "../../src/contract/api/plan.ts";
import { browserTest, launchChromium, openContext } from "./support/chromium.ts";
import { type RunningApp, startApp } from "./support/running-app.ts";

let app: RunningApp;
let browser: Browser;

beforeAll(async () => {
  app = await startApp();
  browser = await launchChromium();
});
afterAll(async () => {
  await browser?.close();
  await app?.stop();
});

const SEARCH_MS = 240_000;
const api = async <T>(path: string, init?: RequestInit): Promise<{ body: T; etag: string }> => {
  const response = await fetch(`${app.address}/api/v1${path}`, init);
  if (!response.ok) throw new Error(`${path}: ${response.status} ${await response.text()}`);
  return { body: (await response.json().catch(() => null)) as T, etag: response.headers.get("etag") ?? "" };
};
const plan = async (): Promise<PlanView> => (await api<PlanView>("/plan")).body;
/** What a plan says of everything that no clock moves on: running work goes on from now each time it is read. */
const settled = ({ draft, problem }: PlanView, without = "") => {
  const free = new Set(
    problem.operations.filter(({ order, progress }) => order !== without && progress.running.length === 0).map(({ id }) => id),
  );
  return draft.plan.operations.filter(({ operation }) => free.has(operation));
};

/** From the board, or carried along from the form of a new order that nobody has saved. */
async function asking(order: { route: string; pieces: string; written?: string }): Promise<{ page: Page; id: string }> {
  const context = await openContext(browser, { reducedMotion: "reduce" });
  const page = await context.newPage();
  await page.goto(`${app.address}/${order.written === undefined ? "" : "add/order"}`);
  if (order.written === undefined) await page.getByRole("link", { name: "Fit it in" }).click();
  else {
    await page.getByLabel("Name", { exact: true }).first().fill(order.written);
    await page.getByRole("button", { name: "Fit it in" }).click();
  }
  await page.getByRole("heading", { level: 1, name: "Fit it in" }).waitFor();
  if (order.written !== undefined)
    expect(await page.getByLabel("Name", { exact: true }).first().inputValue()).toBe(order.written);
  await page.getByLabel("Route", { exact: true }).selectOption({ label: order.route });
  await page.getByLabel("Good pieces").fill(order.pieces);
  return { page, id: await page.getByLabel("Number", { exact: true }).inputValue() };
}

browserTest("a rush order: answers side by side, one adopted in one click, taken back by one undo", async () => {
  const before = await plan();
  const { page, id } = await asking({ route: "Housing", pieces: "10", written: "Carried along" });
  await page.getByRole("button", { name: "Find ways to fit it in" }).click();
  const adopt = page.getByRole("button", { name: /^Adopt: / });
  await adopt.first().waitFor({ timeout: SEARCH_MS });
  expect(await adopt.count()).toBeGreaterThanOrEqual(2);
  const columns = await page.locator(".fit-table thead th").allInnerTexts();
  expect(columns.join()).toContain("Nothing moves");
  expect(await page.locator(".fit-table tbody th").allInnerTexts()).toContain("Finishes");
  // What an answer changes is drawn before anything is changed, and said in a table.
  await page.getByRole("radio", { name: /Nothing moves/ }).check();
  expect(await page.locator(".fit-drawing svg").count()).toBe(1);
  await page.getByText("The same as a table").click();
  await page.locator(".fit-changes").getByText(`${id}/10`).waitFor();
  expect((await plan()).problem.orders.map((order) => order.id)).not.toContain(id);

  // The same answers over the board, one at a time as phantoms, and back without asking again.
  await page.getByRole("link", { name: "Show on the board" }).click();
  const strip = page.getByTestId("fit-strip");
  await strip.getByText(`Order ${id}: `).waitFor();
  // One answer may be several at once: "Earliest, Nothing moves".
  const still = strip.locator("[aria-pressed]").filter({ hasText: "Nothing moves" });
  expect(await still.getAttribute("aria-pressed")).toBe("true");
  const other = strip.locator("[aria-pressed=false]").first();
  await other.click();
  expect(await strip.locator("[aria-pressed=true]").count()).toBe(1);
  expect(await still.getAttribute("aria-pressed")).toBe("false");
  await strip.getByRole("button", { name: /^Adopt: / }).waitFor();
  await still.click();
  await strip.getByRole("link", { name: "Back to the answers" }).click();
  await page.getByRole("radio", { name: /Nothing moves/ }).waitFor();
  expect(await page.getByRole("radio", { name: /Nothing moves/ }).isChecked()).toBe(true);
  expect((await plan()).problem.orders.map((order) => order.id)).not.toContain(id);

  await page.getByRole("button", { name: /^Adopt: .*Nothing moves/ }).click();
  await page.getByText(`Order ${id} is fitted into the draft: `).waitFor();
  const after = await plan();
  expect(after.problem.orders.map((order) => order.id)).toContain(id);
  expect(settled(after, id)).toEqual(settled(before));
  expect(after.draft.plan.operations.filter(({ operation }) => operation.startsWith(`${id}/`)).length).toBeGreaterThan(0);
  expect(after.check.conflicts.length).toBeLessThanOrEqual(before.check.conflicts.length);

  await page.getByRole("button", { name: "Undo" }).click();
  await page.getByText(`Order ${id} is out of the draft again`).waitFor();
  const back = await plan();
  expect(back.problem.orders).toEqual(before.problem.orders);
  expect(settled(back)).toEqual(settled(before));
  await page.context().close();
});

browserTest("a promise: quoted with its assumptions, its slot held and shown as such, and free again by itself", async () => {
  const { page, id } = await asking({ route: "Rotor shaft", pieces: "12" });
  await page.getByRole("button", { name: "Find a date to promise" }).click();
  const quote = page.getByLabel("To quote");
  await quote.waitFor({ timeout: SEARCH_MS });
  const text = await quote.inputValue();
  expect(text).toMatch(new RegExp(`^Order ${id} .*12 pieces: ready by .* \\(80 % sure\\)\\.`));
  expect(text).toMatch(/This assumes:\n(- .+\n?){4,}/);
  await page.getByRole("radio", { name: /95 % sure/ }).check();
  expect(await quote.inputValue()).toContain("(95 % sure)");

  await page.getByRole("button", { name: /^Hold this slot until / }).click();
  const row = page.locator(".fit-holds tbody tr", { hasText: id });
  await row.getByText("Held", { exact: true }).waitFor();
  const held = await plan();
  const [hold] = held.holds;
  expect(hold).toMatchObject({ order: id, purpose: "promise" });
  expect(held.problem.orders.find((order) => order.id === id)?.due).not.toBeNull();

  // The board says of its bars that they are only held.
  const board = await page.context().newPage();
  await board.goto(app.address);
  await board.getByRole("grid").first().waitFor();
  await board.locator("[role=gridcell]").first().focus();
  await board.keyboard.press("/");
  await board.keyboard.type(id);
  await board.keyboard.press("Enter");
  await board
    .locator(".board-panel")
    .getByText(/^Held until .* by /)
    .waitFor();
  await board.close();

  // The shop's clock moves to the minute: nobody confirmed, so the slot frees itself, on the open page too.
  const { body: site, etag } = await api<Record<string, unknown>>("/site");
  const { now: _now, origin: _origin, ...rest } = site;
  await api("/site", {
    method: "PUT",
    headers: { "content-type": "application/json", "if-match": etag },
    body: JSON.stringify({ ...rest, clock: hold?.until }),
  });
  await row.getByText("Ran out").waitFor({ timeout: 90_000 });
  const after = await plan();
  expect(after.holds).toEqual([]);
  expect(after.problem.orders.map((order) => order.id)).not.toContain(id);
  expect(after.draft.plan.operations.filter(({ operation }) => operation.startsWith(`${id}/`))).toEqual([]);
  await page.context().close();
});
