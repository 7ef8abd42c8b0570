/** The plan board by keys: where its focus is, finding work, and a walk over every key that moves focus or view. */
import type { Page } from "playwright-core";
import { expect } from "vitest";
import type { PlanView } from "../../../src/contract/api/plan.ts";
import { present } from "../../../src/core/ground/invariant.ts";

/** The one cell of the board that exists and has the focus. */
export const focused = (page: Page) => page.getByRole("gridcell");

/** Brings an operation into view by the find box and gives the board the focus on it. */
export async function find(page: Page, operation: string): Promise<void> {
  await focused(page).focus();
  await page.keyboard.press("/");
  await page.keyboard.type(operation);
  await page.keyboard.press("Enter");
  await expect.poll(() => focused(page).getAttribute("aria-label")).toContain(`${operation} `);
  await expect.poll(() => focused(page).evaluate((cell) => cell === document.activeElement)).toBe(true);
}

/** Every key of the map that moves focus or view; each is seen by where the focus is, or by where it lies on the screen. */
export async function lookAroundByKeys(page: Page, { problem, draft }: PlanView): Promise<void> {
  const label = async (): Promise<string> => (await focused(page).getAttribute("aria-label")) ?? "";
  const box = async () => present(await focused(page).boundingBox(), "focused cell");
  const press = async (key: string, shown: (now: string) => boolean): Promise<void> => {
    await page.keyboard.press(key);
    await expect.poll(async () => shown(await label()), { message: `after ${key}` }).toBe(true);
  };
  const lots = new Map(draft.plan.operations.flatMap(({ operation, lots }) => (lots.length === 1 ? [[operation, lots[0]]] : [])));
  const length = (id: string): number => (lots.get(id)?.end ?? 0) - (lots.get(id)?.start ?? 0);
  const ahead = problem.operations.filter(({ id }) => (lots.get(id)?.start ?? 0) > problem.now);
  const hasNext = ({ order }: { readonly order: string }) => ahead.filter((other) => other.order === order).length > 1;
  // Long enough to be wider than the least width of a cell at every zoom that is tried.
  const long = present(
    ahead.filter((each) => hasNext(each) && length(each.id) < 2880).sort((a, b) => length(b.id) - length(a.id))[0],
    "long work of an order with more of it",
  );
  await find(page, long.id);
  const another = (now: string): boolean => !now.startsWith(`${long.id} `);
  const ofOrder = (now: string): boolean => another(now) && now.startsWith(`${long.order}/`);
  const inOrder = ahead.filter(({ order }) => order === long.order).map(({ id }) => id);
  const last = inOrder.every((id) => (lots.get(id)?.start ?? 0) <= (lots.get(long.id)?.start ?? 0));
  await press(last ? "[" : "]", ofOrder);
  await press(last ? "]" : "[", (now) => !another(now));
  // Back through a list that goes round ends where the steps forward began.
  for (const [key, shown] of [
    ["l", /Order late /],
    ["r", /Rush/],
  ] as const) {
    await press(key, (now) => shown.test(now));
    const first = await label();
    await page.keyboard.press(key);
    await press(`Shift+${key.toUpperCase()}`, (now) => now === first);
  }
  await find(page, long.id);
  for (const key of ["ArrowUp", "ArrowDown"]) {
    const from = await label();
    await press(key, (now) => now !== from);
  }
  await find(page, long.id);

  const wide = (await box()).width;
  await page.keyboard.press("+");
  await expect.poll(async () => (await box()).width).toBeGreaterThan(wide);
  await page.keyboard.press("-");
  await expect.poll(async () => Math.abs((await box()).width - wide)).toBeLessThan(2);
  await page.keyboard.press("-");
  await expect.poll(async () => (await box()).width).toBeLessThan(wide);
  await page.keyboard.press("0");
  await expect.poll(async () => (await box()).width).toBeLessThan(wide / 2);
  // Everything ahead is in view now.
  const inRow = /, (\d+) of (\d+)\./;
  await press("End", (now) => inRow.exec(now)?.[1] === inRow.exec(now)?.[2]);
  const end = await label();
  await press("Home", (now) => now !== end || inRow.exec(now)?.[2] === "1");
  const index = (now: string): number => Number(inRow.exec(now)?.[1]);
  const home = index(await label());
  if (Number(inRow.exec(end)?.[1]) > home) {
    await press("ArrowRight", (now) => index(now) === home + 1);
    await press("ArrowLeft", (now) => index(now) === home);
  }
  await find(page, long.id);
  await page.keyboard.press("t");
  let place = Number.NaN;
  const rests = async (): Promise<boolean> => {
    const { x } = await box();
    const same = x === place;
    place = x;
    return same;
  };
  await expect.poll(rests).toBe(true);
  await page.keyboard.press("PageDown");
  await expect.poll(async () => Math.abs((await box()).x - place)).toBeGreaterThan(20);
  await page.keyboard.press("PageUp");
  await expect.poll(async () => Math.abs((await box()).x - place)).toBeLessThan(3);
  await page.keyboard.press("PageDown");
  await expect.poll(async () => Math.abs((await box()).x - place)).toBeGreaterThan(20);
  await page.keyboard.press("t");
  await expect.poll(async () => Math.abs((await box()).x - place)).toBeLessThan(3);
  await page.keyboard.press("w");
  await page.getByRole("dialog", { name: "What went wrong?" }).waitFor();
  await page.keyboard.press("Escape");
  await expect.poll(() => focused(page).evaluate((cell) => cell === document.activeElement)).toBe(true);
  await page.keyboard.press("g");
  await page.getByRole("dialog", { name: "Go to date" }).waitFor();
  await page.keyboard.press("Escape");
  await expect.poll(() => focused(page).evaluate((cell) => cell === document.activeElement)).toBe(true);
}
