/**
 * The board inside the running application: how long its first view takes beside an empty page of the same application, and how long
 * from an input to the next paint, for choosing, dragging, scrolling, zooming and finding - with a generated shop of so many
 * operations, planned by the engine. Inputs are those of a real mouse and keyboard; the clock is the page's own.
 */
import type { Browser, Page } from "playwright-core";
import { generateShop, SHOP_FAMILIES, type ShopSize } from "../../../seed/shop-generator.ts";
import type { PlanView } from "../../../src/contract/api/plan.ts";
import { present } from "../../../src/core/ground/invariant.ts";
import { makePlan } from "../../../src/core/plan/make-plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";

export type Spread = { readonly p50: number; readonly p95: number; readonly count: number };
export type AppPace = {
  readonly operations: number;
  readonly bars: number;
  readonly conflicts: number;
  readonly emptyMs: number;
  readonly boardMs: number;
  /** First view of the board : the empty page. */
  readonly firstRatio: number;
  readonly toPaint: Readonly<Record<"select" | "drag" | "scroll" | "zoom" | "find", Spread>>;
};

const OPENINGS = 7;
const VIEW = { width: 1600, height: 1000 };
/** The first plan is the engine's own; a few rounds are enough for a board to look at. */
const ITERATIONS: Readonly<Record<ShopSize, number>> = { "60": 500, "300": 500, "1500": 200, "10000": 1 };

const rank = (values: readonly number[], share: number): number =>
  [...values].sort((a, b) => a - b)[Math.min(values.length - 1, Math.floor(values.length * share))] ?? Number.NaN;
const spread = (values: readonly number[]): Spread => ({
  p50: rank(values, 0.5),
  p95: rank(values, 0.95),
  count: values.length,
});

async function send(address: string, method: string, path: string, body: unknown, etag?: string): Promise<void> {
  const answer = await fetch(`${address}/api/v1${path}`, {
    method,
    headers: { "Content-Type": "application/json", ...(etag === undefined ? {} : { "If-Match": etag }) },
    body: JSON.stringify(body),
  });
  if (!answer.ok) throw new Error(`${method} ${path}: ${answer.status} ${await answer.text()}`);
}

/** Puts a generated shop in place of everything there, with a plan of the engine as draft; unless that is what is there. */
async function loadShop(address: string, size: ShopSize): Promise<PlanView> {
  const read = async (): Promise<PlanView> => (await (await fetch(`${address}/api/v1/plan`)).json()) as PlanView;
  const shop = generateShop(size, SHOP_FAMILIES[size][0] ?? 1);
  const there = await read();
  if (there.problem.name === shop.name && there.draft.plan.operations.length === there.problem.operations.length) return there;
  await send(address, "PUT", "/shop?replace=true&clock=file", shop);
  const empty = await read();
  const { plan } = makePlan(empty.problem as unknown as Problem, { seed: 1, iterations: ITERATIONS[size] });
  await send(address, "PUT", "/plan/draft", { plan, note: "" }, `"${empty.draft.revision}"`);
  return read();
}

/** The runner that compiles this file marks functions with a helper, which the page does not have. */
const HELPER = "globalThis.__name = (made) => made;";

/** From the start of the navigation to the frame after the one in which the wanted thing stands. */
async function opening(browser: Browser, address: string, wanted: string): Promise<number> {
  const page = await browser.newPage({ viewport: VIEW });
  try {
    await page.addInitScript(HELPER);
    await page.addInitScript((selector: string) => {
      // A canvas that was never painted has the size that HTML gives it.
      const there = (found: Element | null): boolean =>
        found !== null && !(found instanceof HTMLCanvasElement && found.width === 300);
      const look = (): void => {
        if (there(document.querySelector(selector)))
          requestAnimationFrame(() => Object.assign(window, { firstView: performance.now() }));
        else requestAnimationFrame(look);
      };
      requestAnimationFrame(look);
    }, wanted);
    await page.goto(address);
    await page.waitForFunction(() => "firstView" in window, undefined, { timeout: 120_000 });
    return await page.evaluate(() => (window as unknown as { firstView: number }).firstView);
  } finally {
    await page.close();
  }
}

/** Times each input of a kind, by the page's clock, until the frame that follows it has been painted. */
async function listen(page: Page): Promise<void> {
  await page.evaluate(() => {
    const times: Record<string, number[]> = {};
    for (const kind of ["pointerdown", "pointermove", "wheel", "input"])
      window.addEventListener(
        kind,
        (event) => {
          const began = event.timeStamp;
          requestAnimationFrame(() => {
            const painted = new MessageChannel();
            painted.port1.onmessage = () => {
              const list = times[kind] ?? [];
              times[kind] = list;
              list.push(performance.now() - began);
            };
            painted.port2.postMessage(0);
          });
        },
        { capture: true, passive: true },
      );
    Object.assign(window, { takeTimes: (kind: string) => (times[kind] ?? []).splice(0) });
  });
}

const take = (page: Page, kind: string): Promise<number[]> =>
  page.evaluate((of) => (window as unknown as { takeTimes(kind: string): number[] }).takeTimes(of), kind);

async function interactions(page: Page, { problem, draft }: PlanView): Promise<AppPace["toPaint"]> {
  await listen(page);
  const stage = present(await page.locator(".board-drawing").boundingBox(), "drawing");
  const at = (i: number): { x: number; y: number } => ({
    x: stage.x + 200 + ((i * 137) % (stage.width - 260)),
    y: stage.y + 90 + ((i * 61) % (stage.height - 240)),
  });
  const rest = (): Promise<void> => page.waitForTimeout(150);
  for (let i = 0; i < 20; i++) {
    const { x, y } = at(i);
    await page.mouse.click(x, y);
    await rest();
  }
  const select = spread(await take(page, "pointerdown"));
  await page.keyboard.press("Escape");

  // The first work after now that nobody has begun, carried over its machine and back.
  const planned = draft.plan.operations
    .map(({ operation, lots }) => ({ operation, start: lots[0]?.start ?? 0 }))
    .filter(({ start }) => start > (problem.freeze ?? problem.now) + 60)
    .sort((a, b) => a.start - b.start)[0];
  const cell = page.getByRole("gridcell");
  await cell.focus();
  await page.keyboard.press("/");
  await page.keyboard.type(present(planned, "planned work").operation, { delay: 60 });
  await rest();
  const find = spread(await take(page, "input"));
  await page.keyboard.press("Enter");
  await page.waitForTimeout(800);
  const box = present(await cell.boundingBox(), "focused bar");
  const grip = { x: box.x + Math.min(8, box.width / 2), y: box.y + box.height / 2 };
  await page.mouse.move(grip.x, grip.y);
  await page.mouse.down();
  await take(page, "pointermove");
  for (let i = 1; i <= 60; i++) {
    const way = i <= 30 ? i : 60 - i;
    await page.mouse.move(Math.min(grip.x + way * 9, stage.x + stage.width - 60), grip.y + ((i * 7) % 60));
    await page.waitForTimeout(16);
  }
  await rest();
  const drag = spread(await take(page, "pointermove"));
  await page.keyboard.press("Escape");
  await page.mouse.up();
  await page.mouse.move(stage.x + stage.width / 2, stage.y + stage.height / 2);
  await take(page, "wheel");
  for (let i = 0; i < 40; i++) {
    await page.mouse.wheel(i < 20 ? 90 : -90, i % 4 === 0 ? 33 : 0);
    await page.waitForTimeout(16);
  }
  await rest();
  const scroll = spread(await take(page, "wheel"));
  await page.keyboard.down("Control");
  for (let i = 0; i < 40; i++) {
    await page.mouse.wheel(0, i < 20 ? 120 : -120);
    await page.waitForTimeout(16);
  }
  await page.keyboard.up("Control");
  await rest();
  return { select, drag, scroll, zoom: spread(await take(page, "wheel")), find };
}

export async function appPace(browser: Browser, address: string, size: ShopSize): Promise<AppPace> {
  const view = await loadShop(address, size);
  const drawn = ".board-drawing canvas";
  const headed = "h1";
  const empty: number[] = [];
  const board: number[] = [];
  await opening(browser, `${address}/nothing-here`, headed);
  await opening(browser, `${address}/`, drawn);
  for (let i = 0; i < OPENINGS; i++) {
    empty.push(await opening(browser, `${address}/nothing-here`, headed));
    board.push(await opening(browser, `${address}/`, drawn));
  }
  const page = await browser.newPage({ viewport: VIEW });
  await page.addInitScript(HELPER);
  await page.goto(address);
  await page.getByRole("grid").waitFor({ timeout: 120_000 });
  await page.waitForTimeout(3000);
  const toPaint = await interactions(page, view);
  await page.close();
  const emptyMs = rank(empty, 0.5);
  const boardMs = rank(board, 0.5);
  return {
    operations: view.problem.operations.length,
    bars: view.draft.plan.operations.reduce((sum, { lots }) => sum + lots.length, 0),
    conflicts: view.check.conflicts.length,
    ...{ emptyMs, boardMs, firstRatio: boardMs / emptyMs, toPaint },
  };
}
