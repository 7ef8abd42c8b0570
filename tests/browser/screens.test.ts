/**
 * Every screen on the demo shop in a real browser: it opens, axe-core finds nothing in either theme (WCAG 2.2 A and AA rules),
 * changes are kept over a reload, refusals name the field, two people never overwrite each other unseen, the keyboard suffices.
 */
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect } from "vitest";
import { axe, WCAG } from "./support/axe.ts";
import { browserTest, launchChromium, openContext } from "./support/chromium.ts";
import { madeScreens } from "./support/made-screens.ts";
import { type RunningApp, startApp } from "./support/running-app.ts";
import { SCREENS } from "./support/screens.ts";

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

async function open(path: string, theme: "light" | "dark" = "light"): Promise<Page> {
  const context = await openContext(browser, { colorScheme: theme, reducedMotion: "reduce" });
  const page = await context.newPage();
  await page.goto(app.address + path);
  return page;
}

/** To another screen as a link would, keeping what was read: loading each page anew is for the tests of single screens. */
const walk = (page: Page, path: string): Promise<void> =>
  page.evaluate((to) => {
    history.pushState({}, "", to);
    dispatchEvent(new PopStateEvent("popstate"));
  }, path);

const FULL = { width: 1440, height: 900 };
const HALF = { width: 720, height: 450 };

/** Long lists repeat themselves: what is further down is made by the same code as what is at the top. */
const FURTHER_ROWS = "tbody tr:nth-child(n + 9), li:nth-child(n + 9), details.operation:nth-of-type(n + 3)";

const heading = (page: Page, name: string | RegExp) => page.getByRole("heading", { level: 1, name });

describe("every screen", () => {
  browserTest(
    "opens without trouble, and axe-core finds nothing, in either theme",
    async () => {
      const page = await open("/setup");
      const trouble: string[] = [];
      page.on("pageerror", (error) => trouble.push(error.message));
      const note = (screen: string, { violations }: Awaited<ReturnType<ReturnType<typeof axe>["analyze"]>>): void => {
        for (const { id, nodes } of violations)
          trouble.push(`${screen}: ${id}: ${nodes.map(({ html }) => html.slice(0, 160)).join(" | ")}`);
      };
      for (const screen of [...SCREENS, ...(await madeScreens(app.address))]) {
        await page.emulateMedia({ colorScheme: "light" });
        await walk(page, screen.path);
        if (screen.heading === null) await page.getByRole("grid").first().waitFor();
        else await heading(page, screen.heading).waitFor();
        await page.getByText("Reading the shop's data").first().waitFor({ state: "detached" });
        note(screen.name, await axe(page).withTags(WCAG).exclude(FURTHER_ROWS).analyze());
        // The same screen in the other theme: only what depends on colours can differ.
        await page.emulateMedia({ colorScheme: "dark" });
        const inColours = axe(page).withRules(["color-contrast", "link-in-text-block"]).exclude(FURTHER_ROWS);
        note(`${screen.name}, dark`, await inColours.analyze());
        // At 200 % the page is half as wide, and nothing but tables in their frames may need scrolling sideways (WCAG 1.4.10).
        await page.setViewportSize(HALF);
        const width = await page.evaluate(() => document.documentElement.scrollWidth);
        if (width > HALF.width && screen.heading !== null) trouble.push(`${screen.name}: ${width} px wide in ${HALF.width} px`);
        await page.setViewportSize(FULL);
      }
      expect(trouble).toEqual([]);
      await page.context().close();
    },
    900_000,
  );
});

describe("orders", () => {
  browserTest("are found, changed and kept over a reload", async () => {
    const page = await open("/orders");
    await page.getByLabel("Find").fill("2108");
    await page.getByRole("link", { name: "2108" }).click();
    await heading(page, /2108/).waitFor();
    await page.getByLabel("Name", { exact: true }).first().fill("Merlin 60 housing, blue");
    await page.getByLabel("Due, date").fill("2031-01-15");
    await page.getByLabel("Due, time").fill("12:30");
    await page.getByRole("button", { name: "Save order" }).click();
    await page.getByText("Order 2108 saved").waitFor();
    await page.reload();
    await heading(page, "2108 Merlin 60 housing, blue").waitFor();
    expect(await page.getByLabel("Due, date").inputValue()).toBe("2031-01-15");
    expect(await page.getByLabel("Due, time").inputValue()).toBe("12:30");
    expect(await page.getByRole("button", { name: "Save order" }).count()).toBe(0);
    await page.context().close();
  });

  browserTest("say at the field what cannot be saved, and put the cursor there", async () => {
    const page = await open("/orders/2109");
    const pieces = page.getByLabel("Good pieces");
    await pieces.fill("a dozen");
    await page.getByRole("button", { name: "Save order" }).click();
    await page.getByText("expected a whole number").first().waitFor();
    expect(await pieces.getAttribute("aria-invalid")).toBe("true");
    expect(await pieces.evaluate((element) => element === document.activeElement)).toBe(true);
    await pieces.fill("0");
    await page.getByText("expected at least 1, found 0").first().waitFor();
    await page.getByRole("button", { name: "Discard changes" }).click();
    expect(await pieces.inputValue()).toBe("28");
    await page.context().close();
  });

  browserTest("are added from a route template and deleted after a question", async () => {
    const page = await open("/add/order");
    await page.getByLabel("Number").first().fill("2999");
    await page.getByLabel("Name", { exact: true }).first().fill("Test of the form");
    await page.getByRole("button", { name: "Copy in" }).click();
    expect(await page.locator("details.operation").count()).toBeGreaterThan(0);
    await page.getByRole("button", { name: "Add order", exact: true }).click();
    await heading(page, "2999 Test of the form").waitFor();
    await page
      .getByText(/not in the draft plan yet/)
      .first()
      .waitFor();
    await page.getByRole("button", { name: "Delete order" }).click();
    await page.getByRole("dialog").getByRole("button", { name: "Keep it" }).click();
    await page.getByRole("button", { name: "Delete order" }).click();
    await page.getByRole("dialog").getByRole("button", { name: "Delete order" }).click();
    await heading(page, "Orders").waitFor();
    await page.getByLabel("Find").fill("2999");
    await page.getByText("No order fits").waitFor();
    await page.context().close();
  });

  browserTest("come in from a spreadsheet, faults first", async () => {
    const page = await open("/add/orders");
    const rows = page.getByLabel("Rows");
    await rows.fill(
      "Number\tName\tPieces\tDue\tRoute\n5001\tPasted one\tsix\t2031-02-01\thousing\n5002\tPasted two\t8\t2031-02-02\thousing",
    );
    await page.getByRole("row", { name: /2 Pieces expected a whole number/ }).waitFor();
    expect(await page.getByRole("button", { name: "Add 1 order" }).isDisabled()).toBe(true);
    await rows.fill((await rows.inputValue()).replace("six", "6"));
    await page.getByRole("button", { name: "Add 2 orders" }).click();
    await heading(page, "Orders").waitFor();
    await page.getByLabel("Find").fill("Pasted");
    await page.getByRole("row", { name: /5001 Pasted one/ }).waitFor();
    await page.getByRole("row", { name: /5002 Pasted two/ }).waitFor();
    await page.context().close();
  });

  browserTest("of two people are never overwritten unseen", async () => {
    const first = await open("/orders/2107");
    const second = await open("/orders/2107");
    await first.getByLabel("Requester").fill("First");
    await second.getByLabel("Requester").fill("Second");
    await first.getByRole("button", { name: "Save order" }).click();
    await first.getByText("Order 2107 saved").waitFor();
    await second.getByRole("button", { name: "Save order" }).click();
    await second.getByText("Somebody else saved this meanwhile").waitFor();
    await second.getByRole("button", { name: "Save mine on top" }).click();
    await second.getByText("Order 2107 saved").waitFor();
    await second.reload();
    expect(await second.getByLabel("Requester").inputValue()).toBe("Second");
    await first.context().close();
    await second.context().close();
  });
});

describe("set-up", () => {
  browserTest("keeps a new machine with an unattended rule, and says the caution", async () => {
    const page = await open("/add/machines");
    await page.getByLabel("Name", { exact: true }).first().fill("Engraver");
    await page.getByLabel("Unattended running", { exact: true }).selectOption({ label: "Allowed" });
    await page.getByText(/this program judges no safety/).waitFor();
    await page.getByLabel("At most after the site emptied").fill("3h40");
    await page.getByRole("button", { name: "Add machine", exact: true }).click();
    await heading(page, "Engraver").waitFor();
    await page.reload();
    expect(await page.getByLabel("At most after the site emptied").inputValue()).toBe("3 h 40");
    await page.context().close();
  });

  browserTest("shows a calendar's next weeks as the rules come out, while they are edited", async () => {
    const page = await open("/setup/calendars/early-shift");
    const week = page.locator(".preview tbody tr").nth(1);
    await week.waitFor();
    const before = await week.locator("td").last().textContent();
    await page.getByRole("group", { name: "On" }).getByLabel("Sat").check();
    const after = await week.locator("td").last().textContent();
    expect([before, after]).toEqual(["37.5 h", "45 h"]);
    await page.context().close();
  });

  browserTest("edits a setup table as a matrix and keeps it", async () => {
    const page = await open("/setup/setup-tables/fixtures");
    const cell = page.getByLabel("Setup minutes from vice to rotary");
    await cell.fill("1 h 25");
    await page.keyboard.press("Control+S");
    await page.getByText("Fixtures of the machining centres saved").waitFor();
    await page.reload();
    expect(await cell.inputValue()).toBe("1 h 25");
    await page.context().close();
  });
});

describe("files", () => {
  browserTest("with faults are refused with each fault's entry and field", async () => {
    const page = await open("/setup/file");
    const faulty = {
      format: "slotwright-problem",
      version: 1,
      name: "Faulty",
      origin: "2026-01-05",
      horizon: "2026-02-05",
      machines: [{ id: "saw", calendar: "nowhere" }],
      orders: [{ id: "1", quantity: 0, operations: [{ id: "1/10", modes: [{ id: "saw", machines: ["saw"], phases: [] }] }] }],
    };
    await page
      .getByLabel("Problem file (JSON)")
      .setInputFiles({ name: "faulty.json", mimeType: "application/json", buffer: Buffer.from(JSON.stringify(faulty)) });
    const row = page.getByRole("row", { name: /orders 1 \(1\)/ });
    await row.waitFor();
    expect(await row.textContent()).toMatch(/quantity/);
    expect(await page.getByRole("button", { name: /^Bring in/ }).count()).toBe(0);
    await page.context().close();
  });
});

describe("by keyboard alone", () => {
  browserTest("an order is found, opened, changed and saved", async () => {
    const page = await open("/orders");
    await heading(page, "Orders").waitFor();
    await page.keyboard.press("/");
    await page.keyboard.type("2110");
    await page.getByText(/^1 of \d+ orders$/).waitFor();
    const link = page.getByRole("link", { name: "2110" });
    for (let i = 0; i < 30 && !(await link.evaluate((element) => element === document.activeElement)); i += 1)
      await page.keyboard.press("Tab");
    await page.keyboard.press("Enter");
    await heading(page, /2110/).waitFor();
    const requester = page.getByLabel("Requester");
    for (let i = 0; i < 60 && !(await requester.evaluate((element) => element === document.activeElement)); i += 1)
      await page.keyboard.press("Tab");
    await page.keyboard.type("Sales");
    await page.keyboard.press("Control+S");
    await page.getByText("Order 2110 saved").waitFor();
    await page.reload();
    expect(await requester.inputValue()).toBe("Sales");
    await page.context().close();
  });

  browserTest("the skip link leads past the navigation, and ? opens help that Esc closes", async () => {
    const page = await open("/load");
    await heading(page, "Load").waitFor();
    await page.keyboard.press("Tab");
    expect(await page.locator(":focus").textContent()).toBe("Skip to the sheet");
    await page.keyboard.press("Enter");
    expect(await page.locator(":focus").getAttribute("id")).toBe("sheet");
    await page.keyboard.press("?");
    await page.getByRole("dialog", { name: "Keys and words" }).waitFor();
    await page.keyboard.press("Escape");
    await page.getByRole("dialog").waitFor({ state: "detached" });
    await page.context().close();
  });
});

describe("without the network", () => {
  browserTest("the screen keeps what it read, says so, and comes back", async () => {
    const page = await open("/orders");
    await page.getByRole("link", { name: "2104" }).waitFor();
    // Every screen's program is fetched shortly after the first page.
    await page.waitForFunction(() =>
      ["load-screen", "order-page"].every((part) =>
        performance.getEntriesByType("resource").some(({ name }) => name.includes(part)),
      ),
    );
    await page.context().setOffline(true);
    await page.getByRole("link", { name: "Load" }).click();
    await page.getByText("The server cannot be reached").waitFor();
    await page.getByRole("link", { name: "Orders" }).click();
    await page.getByRole("link", { name: "2104" }).waitFor();
    await page.context().setOffline(false);
    // It finds its way back without a press; "Try again" is only for the impatient.
    await page.getByText("The server cannot be reached").waitFor({ state: "detached" });
    await page.getByRole("link", { name: "2104" }).click();
    await heading(page, /2104/).waitFor();
    await page.context().close();
  });
});

describe("theme", () => {
  browserTest("follows the system until one is chosen, and keeps the choice", async () => {
    const page = await open("/setup", "dark");
    await heading(page, "Set-up").waitFor();
    const ground = () => page.evaluate(() => getComputedStyle(document.documentElement).backgroundColor);
    expect(await ground()).toBe("rgb(14, 27, 42)");
    await page.getByRole("button", { name: /^Theme/ }).click();
    expect(await ground()).toBe("rgb(250, 251, 249)");
    await page.reload();
    await heading(page, "Set-up").waitFor();
    expect(await ground()).toBe("rgb(250, 251, 249)");
    await page.context().close();
  });
});
