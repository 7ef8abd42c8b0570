/**
 * The plan board as a planner uses it, on the demo shop: drag an operation onto a closed machine, read the conflict, undo, re-plan,
 * publish, reload; the same by keys alone; the network gone; and what assistive technology is told.
 */
import type { Browser, BrowserContextOptions, Page } from "playwright-core";
import { afterAll, beforeAll, expect } from "vitest";
import type { PlanView } from "../../src/contract/api/plan.ts";
import { present } from "../../src/core/ground/invariant.ts";
import { axe, WCAG } from "./support/axe.ts";
import { find, focused, lookAroundByKeys } from "./support/board-keys.ts";
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

const WEEK = 7 * 1440;
/** From pressing Re-plan to the end of its ten seconds, on a busy machine. */
const RUN_MS = 240_000;

async function openBoard(options: Pick<BrowserContextOptions, "colorScheme" | "serviceWorkers"> = {}): Promise<Page> {
  const page = await (await openContext(present(browser, "browser"), options)).newPage();
  await page.goto(app.address);
  await page.getByRole("grid").waitFor();
  await page.locator(".board-drawing canvas").first().waitFor();
  return page;
}

const readPlan = async (): Promise<PlanView> => (await (await fetch(`${app.address}/api/v1/plan`)).json()) as PlanView;
/**
 * The draft of a reading, to be compared with one of another minute: of what had begun by `as`, the minutes still to work go on with
 * the clock, so its lots count by mode, pieces, start and end; everything else counts whole.
 */
const settled = (of: PlanView, as: PlanView) => {
  const begun = new Set(
    as.problem.operations.filter(({ progress }) => progress.done.length + progress.running.length > 0).map(({ id }) => id),
  );
  return of.draft.plan.operations.map((planned) =>
    begun.has(planned.operation)
      ? { ...planned, lots: planned.lots.map(({ mode, pieces, start, end }) => ({ mode, pieces, start, end })) }
      : planned,
  );
};
async function expectPlanOf(before: PlanView): Promise<void> {
  const now = await readPlan();
  expect(settled(now, now)).toEqual(settled(before, now));
}
const count = async (page: Page, what: "conflicts" | "moved"): Promise<number> =>
  Number.parseInt((await page.getByTestId(`count-${what}`).textContent()) ?? "", 10);
const status = (page: Page) => page.getByTestId("board-status");

type Beside = {
  readonly operation: string;
  readonly machine: string;
  readonly start: number;
  readonly closure: { readonly start: number; readonly end: number };
};

/**
 * A free operation of the next days, later only when a weekend lies before it, and its machine closed for four hours a day later: the shop has
 * just been told.
 */
async function closeBeside({ problem, draft }: PlanView): Promise<Beside> {
  // In the order of the plan: of the very first work after a weekend, other conflicts than the closure are said first.
  const within = (days: number) =>
    draft.plan.operations.filter(({ lots }) => (lots[0]?.start ?? Number.POSITIVE_INFINITY) <= problem.now + days * 1440);
  for (const { operation: id, lots } of [...within(3), ...within(5), ...within(12)]) {
    const operation = problem.operations.find((each) => each.id === id);
    const lot = lots[0];
    if (!operation || !lot || operation.progress.running.length > 0 || operation.progress.done.length > 0 || lots.length > 1)
      continue;
    const machine = operation.modes.find((mode) => mode.id === lot.mode)?.machines[0];
    if (machine === undefined || lot.start <= (problem.freeze ?? problem.now)) continue;
    const closure = { start: lot.start + 1440, end: lot.start + 1680 };
    const address = `${app.address}/api/v1/machines/${machine}`;
    const known = await fetch(address);
    const body = (await known.json()) as { name: string; closures?: unknown[] };
    const changed = await fetch(address, {
      method: "PUT",
      headers: { "Content-Type": "application/json", "If-Match": known.headers.get("ETag") ?? "" },
      body: JSON.stringify({ ...body, closures: [...(body.closures ?? []), { ...closure, reason: "Floor repair" }] }),
    });
    expect(changed.status, await changed.text()).toBeLessThan(300);
    return { operation: id, machine: body.name, start: lot.start, closure };
  }
  throw new Error("The demo shop has no free operation in the next twelve days.");
}

browserTest("drag onto a closed machine, read the conflict, undo, re-plan, publish, reload: state kept", async () => {
  const { operation, machine, start, closure } = await closeBeside(await readPlan());
  const page = await openBoard();
  const trouble: string[] = [];
  page.on("pageerror", (error) => trouble.push(error.message));
  const before = await readPlan();
  const placed = before.check.conflicts.filter(({ kind }) => kind !== "notPlanned").length;
  expect(await count(page, "conflicts")).toBe(placed);

  await page.getByRole("button", { name: "Week", exact: true }).click();
  await find(page, operation);
  const cell = present(await focused(page).boundingBox(), "focused cell");
  const stage = present(await page.locator(".board-drawing").boundingBox(), "drawing");
  const names = 176;
  const perMinute = (stage.width - names) / WEEK;
  const grip = { x: cell.x + Math.min(6, cell.width / 2), y: cell.y + cell.height / 2 };
  const target = grip.x + (closure.start + 20 - start) * perMinute;
  expect(target).toBeGreaterThan(stage.x + names);
  expect(target).toBeLessThan(stage.x + stage.width);
  await page.mouse.move(grip.x, grip.y);
  await page.mouse.down();
  await page.mouse.move(grip.x + 8, grip.y, { steps: 2 });
  await page.mouse.move(target, grip.y, { steps: 12 });
  const slip = page.locator(".board-slip");
  await expect.poll(() => slip.textContent()).toContain(`Does not fit on ${machine}`);
  await expect.poll(() => slip.textContent()).toMatch(/closed/i);
  await page.mouse.up();

  await expect.poll(() => status(page).textContent()).toMatch(/kept there with \d+ new conflict/);
  await expect.poll(() => count(page, "conflicts")).toBeGreaterThan(placed);
  const panel = page.getByRole("complementary");
  await expect.poll(() => panel.textContent()).toContain("Machine closed");
  await expect
    .poll(async () =>
      (await readPlan()).check.conflicts.some(
        ({ kind, operations }) => kind === "machineClosed" && operations.includes(operation),
      ),
    )
    .toBe(true);
  const kept = (await readPlan()).check.conflicts.find(({ kind }) => kind === "machineClosed");
  expect(await panel.textContent()).toContain(present(kept, "conflict").sentence);

  await focused(page).focus();
  await page.keyboard.press("Control+z");
  await expect.poll(() => count(page, "conflicts")).toBe(placed);
  await expectPlanOf(before);

  await page.getByRole("button", { name: "Re-plan" }).click();
  await page.getByRole("button", { name: "Stop and keep" }).waitFor();
  await page.getByRole("button", { name: "Stop and keep" }).waitFor({ state: "detached", timeout: RUN_MS });
  const planned = await readPlan();
  expect(planned.draft.revision).toBeGreaterThan(before.draft.revision);
  expect(planned.check.conflicts.filter(({ kind }) => kind === "notPlanned")).toEqual([]);
  await expect.poll(() => count(page, "moved")).toBeGreaterThan(0);

  await page.getByRole("button", { name: "Publish draft" }).click();
  const dialog = page.getByRole("dialog");
  await expect.poll(() => dialog.textContent()).toMatch(/operations? changes? against the published plan/);
  const reader = dialog.getByLabel("Name of whoever has read the conflicts");
  if (planned.check.conflicts.length > 0) await reader.fill("Planner on duty");
  await goThroughCautions(dialog, "Planner on duty");
  await dialog.getByRole("button", { name: "Publish draft" }).click();
  await dialog.waitFor({ state: "detached" });
  const version = present((await readPlan()).published, "published plan").version;
  expect(version).toBe((before.published?.version ?? 0) + 1);

  await page.reload();
  await page.getByRole("grid").waitFor();
  expect(await count(page, "moved")).toBe(0);
  expect(await page.locator(".board-title").textContent()).toContain(`Version ${version}`);
  await expectPlanOf(planned);
  expect(trouble).toEqual([]);
  await page.context().close();
});

browserTest("by keys alone: look around, find, lift, move, drop, undo, redo, table, keys; Esc puts back", async () => {
  const page = await openBoard();
  const before = await readPlan();
  const { problem, draft } = before;
  await lookAroundByKeys(page, before);
  const free = present(
    draft.plan.operations.find(({ operation, lots }) => {
      const known = problem.operations.find(({ id }) => id === operation);
      const lot = lots[0];
      return (
        known &&
        lot &&
        lots.length === 1 &&
        known.progress.done.length === 0 &&
        known.progress.running.length === 0 &&
        lot.start > (problem.freeze ?? problem.now) + 1440
      );
    }),
    "free operation",
  );
  await find(page, free.operation);
  const home = await focused(page).getAttribute("aria-label");
  await page.keyboard.press("m");
  await expect.poll(() => status(page).textContent()).toContain(`${free.operation} lifted`);
  await page.keyboard.press("Shift+ArrowRight");
  await expect.poll(() => status(page).textContent()).toMatch(/^(Fits|Does not fit)/);
  await page.keyboard.press("Escape");
  await expect.poll(() => status(page).textContent()).toBe(`${free.operation} put back.`);
  expect(await focused(page).getAttribute("aria-label")).toBe(home);
  await expectPlanOf(before);

  await page.keyboard.press("m");
  for (let i = 0; i < 3; i++) await page.keyboard.press("Shift+ArrowRight");
  await page.keyboard.press("Enter");
  const startOf = async (): Promise<number | undefined> =>
    (await readPlan()).draft.plan.operations.find(({ operation }) => operation === free.operation)?.lots[0]?.start;
  await expect.poll(startOf).toBeGreaterThanOrEqual(present(free.lots[0], "lot").start + 175);
  const moved = await startOf();
  await page.keyboard.press("Control+z");
  await expect.poll(startOf).toBe(free.lots[0]?.start);
  await page.keyboard.press("Control+y");
  await expect.poll(startOf).toBe(moved);
  await page.keyboard.press("Control+z");
  await expect.poll(startOf).toBe(free.lots[0]?.start);

  await page.keyboard.press("?");
  await page.getByRole("dialog", { name: "Keys of the plan board" }).waitFor();
  await page.keyboard.press("Escape");
  await expect.poll(() => focused(page).evaluate((cell) => cell === document.activeElement)).toBe(true);
  await page.keyboard.press("v");
  await page.getByRole("table", { name: "All operations of this draft" }).waitFor();
  expect(await page.getByRole("table").getByRole("row").count()).toBeGreaterThan(20);
  await page.context().close();
});

/** The last operations that have not begun and start after the frozen zone, latest first. */
const freeWork = ({ problem, draft }: PlanView) =>
  draft.plan.operations
    .filter(({ operation, lots }) => {
      const known = problem.operations.find(({ id }) => id === operation);
      return (
        known &&
        lots.length === 1 &&
        known.progress.done.length === 0 &&
        known.progress.running.length === 0 &&
        (lots[0]?.start ?? 0) > (problem.freeze ?? problem.now) + 1440
      );
    })
    .sort((a, b) => (b.lots[0]?.start ?? 0) - (a.lots[0]?.start ?? 0));

/** Somebody else, at another screen, has an operation start so many minutes later. */
async function shiftElsewhere(operation: string, minutes: number): Promise<void> {
  const { draft } = await readPlan();
  const later = ([start, end]: readonly [number, number]) => [start + minutes, end + minutes];
  const operations = draft.plan.operations.map((planned) =>
    planned.operation !== operation
      ? planned
      : {
          ...planned,
          lots: planned.lots.map((lot) => ({
            ...lot,
            start: lot.start + minutes,
            end: lot.end + minutes,
            phases: lot.phases.map((phase) => ({ ...phase, work: phase.work.map(later) })),
          })),
        },
  );
  const answer = await fetch(`${app.address}/api/v1/plan/draft`, {
    method: "PUT",
    headers: { "Content-Type": "application/json", "If-Match": `"${draft.revision}"` },
    body: JSON.stringify({ plan: { operations }, note: "From another screen" }),
  });
  expect(answer.status, await answer.text()).toBe(200);
}

browserTest(
  "with the network gone the board goes on, repairs a drop, opens anew with every edit after a crash, and sends them; what somebody else changed is not overwritten",
  async () => {
    const page = await openBoard({ serviceWorkers: "allow" });
    const context = page.context();
    const before = await readPlan();
    const [free, other] = freeWork(before);
    const { operation } = present(free, "free operation");
    const startOf = async (id: string) =>
      (await readPlan()).draft.plan.operations.find((planned) => planned.operation === id)?.lots[0]?.start ?? 0;
    await find(page, operation);
    // Both workers are fetched a moment after the first picture.
    await expect.poll(() => page.workers().length).toBe(2);
    for (const worker of page.workers())
      await expect.poll(() => worker.evaluate(() => typeof Reflect.get(globalThis, "onmessage"))).toBe("function");
    await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
    await context.setOffline(true);
    await page.keyboard.press("m");
    await page.keyboard.press("Shift+ArrowLeft");
    for (let i = 0; i < 60 && !((await status(page).textContent()) ?? "").startsWith("Does not fit"); i++) {
      await page.keyboard.press("Shift+ArrowLeft");
      await page.waitForTimeout(200);
    }
    await expect.poll(() => status(page).textContent()).toMatch(/^Does not fit/);
    await page.keyboard.press("Enter");
    await expect.poll(() => page.locator(".board-title").textContent()).toContain("1 change not sent yet");
    await page.getByText("No connection. You can go on").waitFor();
    const offer = page.getByTestId("drop-offer");
    await offer.locator(".repair-card").first().waitFor();
    await focused(page).focus();
    await page.keyboard.press("c");
    await expect.poll(() => focused(page).getAttribute("aria-label")).toMatch(/\d+ conflicts?: /);
    const first = await focused(page).getAttribute("aria-label");
    await page.keyboard.press("c");
    await page.keyboard.press("Shift+C");
    await expect.poll(() => focused(page).getAttribute("aria-label")).toBe(first);
    await page.keyboard.press("1");
    await expect.poll(() => page.locator(".board-title").textContent()).toContain("2 changes not sent yet");
    expect((await readPlan()).draft.revision).toBe(before.draft.revision);

    // The tab goes down with the network still gone; the board opens again with the edits, and they go out with the network back.
    const crashed = page.waitForEvent("crash");
    void page.goto("chrome://crash").catch(() => undefined);
    await crashed;
    await page.close();
    const again = await context.newPage();
    await again.goto(app.address);
    await again.getByRole("grid").waitFor();
    await expect.poll(() => again.locator(".board-title").textContent()).toContain("2 changes not sent yet");
    expect(await again.locator(".banner-lost").textContent()).toMatch(/was read on .* and kept by this browser/);
    await context.setOffline(false);
    await expect.poll(async () => (await readPlan()).draft.revision).toBe(before.draft.revision + 2);
    await expect.poll(() => again.locator(".board-title").textContent()).not.toContain("not sent yet");
    expect((await readPlan()).draft.note).toContain(operation);

    // Somebody else moves the same work while the network is gone: theirs stands, ours waits aside, also over a reload.
    const { operation: contested } = present(other, "second free operation");
    await find(again, contested);
    const was = await startOf(contested);
    await context.setOffline(true);
    await again.keyboard.press("m");
    for (let i = 0; i < 4; i++) await again.keyboard.press("Shift+ArrowRight");
    await again.keyboard.press("Enter");
    await expect.poll(() => again.locator(".board-title").textContent()).toContain("1 change not sent yet");
    await shiftElsewhere(contested, 15);
    await context.setOffline(false);
    const aside = again.getByTestId("aside-edits");
    await aside.getByText("Somebody else changed the same work meanwhile.").waitFor();
    expect(await startOf(contested)).toBe(was + 15);
    await again.reload();
    await again.getByRole("grid").waitFor();
    await aside.getByRole("button", { name: "Put it in again" }).click();
    await expect.poll(() => startOf(contested)).toBeGreaterThan(was + 15);
    await aside.waitFor({ state: "detached" });
    await context.close();
  },
);

browserTest(
  "frozen work moves only for a reason; a pin is set and lifted; work taken out is listed to place and placed by tapping",
  async () => {
    const page = await openBoard();
    const before = await readPlan();
    const { problem, draft } = before;
    const freeze = problem.freeze ?? problem.now;
    const begun = new Set(
      problem.operations.filter(({ progress }) => progress.done.length > 0 || progress.running.length > 0).map(({ id }) => id),
    );
    const planned = draft.plan.operations.filter(({ operation, lots }) => !begun.has(operation) && lots.length === 1);
    const published = new Map(problem.published?.operations.map(({ operation, lots }) => [operation, lots[0]?.start]));
    const frozen = present(
      planned.find(({ operation, lots }) => (published.get(operation) ?? freeze) < freeze && (lots[0]?.start ?? 0) > problem.now),
      "frozen work",
    );
    await find(page, frozen.operation);
    const lift = async (): Promise<void> => {
      await page.keyboard.press("m");
      await expect.poll(() => status(page).textContent()).toContain("lifted");
      await page.keyboard.press("Shift+ArrowRight");
      await page.keyboard.press("Enter");
      await page.getByRole("dialog", { name: "This work is frozen" }).waitFor();
    };
    await lift();
    const move = page.getByRole("button", { name: "Move it" });
    expect(await move.isDisabled()).toBe(true);
    await page.getByRole("button", { name: "Put it back" }).click();
    await expectPlanOf(before);
    await lift();
    await page.getByLabel("Reason", { exact: true }).fill("Customer fetches it earlier");
    await move.click();
    await expect.poll(async () => (await readPlan()).draft.note).toContain("Reason: Customer fetches it earlier");
    await page.keyboard.press("Control+z");
    await expect.poll(() => expectPlanOf(before).then(() => true)).toBe(true);

    const free = present(
      planned.findLast(({ lots }) => (lots[0]?.start ?? 0) > freeze + 1440),
      "free work",
    );
    await find(page, free.operation);
    const pinOf = async () => (await readPlan()).problem.operations.find(({ id }) => id === free.operation)?.pin ?? null;
    await page.keyboard.press("p");
    await expect.poll(pinOf).toMatchObject({ start: free.lots[0]?.start });
    await expect.poll(() => focused(page).getAttribute("aria-label")).toContain("Pinned.");
    // Undo takes a pin back as it was, set or lifted.
    await page.keyboard.press("Control+z");
    await expect.poll(pinOf).toBeNull();
    await expect.poll(() => focused(page).getAttribute("aria-label")).not.toContain("Pinned.");

    await page.keyboard.press("Delete");
    await page.getByRole("dialog").getByRole("button", { name: "Take out" }).click();
    const start = async () =>
      (await readPlan()).draft.plan.operations.find(({ operation }) => operation === free.operation)?.lots[0]?.start;
    await expect.poll(start).toBeUndefined();
    const toPlace = page.getByRole("region", { name: "Work to place" });
    await toPlace.getByRole("listitem").filter({ hasText: free.operation }).getByRole("button", { name: "Place …" }).click();
    const dialog = page.getByRole("dialog");
    await dialog.getByRole("button", { name: "Take" }).and(page.locator(":enabled")).first().click();
    await dialog.getByRole("button", { name: /^Start / }).click();
    await expect.poll(start).toBeGreaterThan(problem.now);
    await page.context().close();
  },
);

browserTest("a run under way is found on opening and can be stopped; the best so far becomes the draft", async () => {
  const { draft } = await readPlan();
  const started = await fetch(`${app.address}/api/v1/runs`, {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify({ seconds: 300 }),
  });
  expect(started.status).toBe(202);
  const page = await openBoard();
  const stop = page.getByRole("button", { name: "Stop and keep" });
  await stop.waitFor();
  await expect.poll(() => page.locator(".board-run").textContent(), { timeout: 30_000 }).toContain("Engine is working");
  await stop.click();
  await stop.waitFor({ state: "detached", timeout: 30_000 });
  await expect.poll(async () => (await readPlan()).draft.revision).toBeGreaterThan(draft.revision);
  await page.context().close();
});

browserTest("with text at 200 % the drawing grows along, nothing scrolls sideways, and a click still meets its bar", async () => {
  const page = await openBoard();
  const { draft, problem } = await readPlan();
  const ahead = present(
    draft.plan.operations.find(({ lots }) => (lots[0]?.start ?? 0) > problem.now + 2880),
    "work ahead",
  );
  await page.addStyleTag({ content: "html { font-size: 200% }" });
  await page.getByRole("button", { name: "Details", exact: true }).click();
  await find(page, ahead.operation);
  const cell = present(await focused(page).boundingBox(), "focused cell");
  expect(cell.height).toBeGreaterThan(40);
  expect(cell.y + cell.height).toBeLessThanOrEqual(page.viewportSize()?.height ?? 0);
  const order = problem.operations.find(({ id }) => id === ahead.operation)?.order;
  await page.keyboard.press("Escape");
  await expect.poll(() => page.getByTestId("chosen-order").count()).toBe(0);
  await page.mouse.click(cell.x + Math.min(30, cell.width / 2), cell.y + cell.height / 2);
  await page.getByTestId("chosen-order").waitFor({ state: "attached", timeout: 5_000 });
  expect(await page.getByTestId("chosen-order").textContent()).toBe(order);
  expect(await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth)).toBeLessThanOrEqual(0);
  await page.context().close();
});

for (const colorScheme of ["light", "dark"] as const) {
  browserTest(
    `axe finds nothing on board and table, ${colorScheme}; one stop of the tab key; no scroll sideways at 1024 pixels`,
    async () => {
      const page = await openBoard({ colorScheme });
      await focused(page).focus();
      const faults = async () =>
        (await axe(page).withTags(WCAG).analyze()).violations.map(
          ({ id, nodes }) => `${id}: ${nodes.map(({ target }) => target.join(" ")).join(", ")}`,
        );
      expect(await faults()).toEqual([]);
      expect(await page.getByRole("grid").locator("[tabindex='0']").count()).toBe(1);
      await page.getByRole("button", { name: "Table", exact: true }).click();
      expect(await faults()).toEqual([]);
      await page.setViewportSize({ width: 1024, height: 768 });
      expect(await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth)).toBeLessThanOrEqual(0);
      await page.context().close();
    },
  );
}
