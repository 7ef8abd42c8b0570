/**
 * Rigs, nights and upkeep in the browser, on the demo shop: a cell of Load that opens the board at its machine, a supply's peak, upkeep
 * orders made from the due list, a calendar feed made, read and revoked; on one rig: a night proposal, and what is reported at a station.
 */
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, expect } from "vitest";
import { goThroughCautions } from "./support/cautions.ts";
import { browserTest, launchChromium, openContext } from "./support/chromium.ts";
import { type RunningApp, startApp } from "./support/running-app.ts";

let app: RunningApp;
let browser: Browser;
let page: Page;
beforeAll(async () => {
  app = await startApp();
  browser = await launchChromium();
  page = await (await openContext(browser)).newPage();
});
afterAll(async () => {
  await browser?.close();
  await app?.stop();
});

type Draft = { revision: number; note: string };
const draft = async (): Promise<Draft> => ((await (await fetch(`${app.address}/api/v1/plan`)).json()) as { draft: Draft }).draft;
const open = async (path: string, heading: string): Promise<void> => {
  await page.goto(app.address + path);
  await page.getByRole("heading", { level: 1, name: heading, exact: true }).waitFor();
};

browserTest("a cell of Load opens the board at that machine and week", async () => {
  await open("/load", "Load");
  await page
    .getByRole("row", { name: /Thermal fatigue rig/ })
    .getByRole("link")
    .nth(2)
    .click();
  await page.waitForURL(/machine=thermal/);
  const search = new URL(page.url()).searchParams;
  expect(Number(search.get("until")) - Number(search.get("from"))).toBeGreaterThanOrEqual(7 * 1440 - 60);
  await page.getByRole("grid").waitFor();
});

browserTest("a supply shows who makes its peak, and leads to the board at that moment", async () => {
  await open("/supplies", "Supplies");
  await page.getByRole("button", { name: "DC supply of the test field" }).click();
  const row = page.getByRole("row").filter({ hasText: "kW" }).first();
  await row.waitFor();
  expect(await row.textContent()).toMatch(/\d+ kW \(\d+\s%\)/);
  await row.getByRole("link", { name: /Show on the board/ }).click();
  await page.waitForURL(/from=\d+/);
});

browserTest("upkeep asked for becomes an order in the book, once", async () => {
  await open("/due", "Due list");
  const row = page.getByRole("row", { name: /Press, force trace/ });
  await page.getByRole("button", { name: /^Make \d+ order/ }).click();
  await row.getByRole("link", { name: /^press-force-/ }).waitFor();
  expect(await page.getByRole("button", { name: /^Make \d+ order/ }).count()).toBe(0);
  await row.getByRole("link", { name: /^press-force-/ }).click();
  await page.getByRole("heading", { level: 1, name: /press-force-/ }).waitFor();
});

browserTest("a calendar feed is made, read without signing in, and revoked", async () => {
  await open("/calendar-feeds", "Calendar feeds");
  await page.getByRole("combobox").nth(1).selectOption({ label: "Dyno 1, 300 Nm" });
  await page.getByRole("button", { name: "Make a feed" }).click();
  const address = await page.getByLabel("Address").inputValue();
  const text = await (await fetch(address)).text();
  expect(text).toMatch(/^BEGIN:VCALENDAR\r\n/);
  expect(text).toContain("TZID=Europe/Berlin");
  expect(text.match(/BEGIN:VEVENT/g)?.length ?? 0).toBeGreaterThan(0);
  await page.getByRole("button", { name: /^Revoke/ }).click();
  await page.getByRole("dialog").getByRole("button", { name: "Revoke" }).click();
  await page.getByText("You have no feeds yet.").waitFor();
  expect((await fetch(address)).status).toBe(404);
});

/** Clock at Monday 07:00; a test of an hour's setup and eight hours alone stands on Wednesday morning. */
const oneRig = {
  format: "slotwright-problem",
  version: 1,
  name: "One rig",
  zone: "Europe/Berlin",
  origin: "2026-06-08",
  now: 420,
  horizon: 20_160,
  calendars: [{ id: "days", weekly: [{ days: [1, 2, 3, 4, 5], from: "07:00", until: "15:00" }] }],
  machines: [{ id: "rig", name: "Rig", kind: "rig", unattended: { kind: "allowed" } }],
  crews: [{ id: "testers", skills: ["test"], calendar: "days" }],
  orders: [
    {
      id: "T",
      due: 9000,
      operations: [
        {
          id: "T/1",
          name: "Endurance",
          modes: [
            {
              id: "m",
              machines: ["rig"],
              phases: [
                { kind: "prepare", flow: "solid", work: { kind: "fixed", minutes: 60 }, needs: [{ skill: "test" }] },
                { kind: "run", flow: "solid", work: { kind: "fixed", minutes: 480 } },
              ],
            },
          ],
        },
      ],
    },
  ],
  published: {
    operations: [
      {
        operation: "T/1",
        lots: [
          {
            mode: "m",
            pieces: 1,
            start: 3300,
            end: 3840,
            phases: [
              { phase: 0, work: [[3300, 3360]], crews: ["testers"] },
              { phase: 1, work: [[3360, 3840]], crews: [] },
            ],
          },
        ],
      },
    ],
  },
};

browserTest("a night proposal is found on the server, taken as an edit of the draft, and taken back", async () => {
  const put = await fetch(`${app.address}/api/v1/shop?replace=true`, {
    method: "PUT",
    headers: { "content-type": "application/json" },
    body: JSON.stringify(oneRig),
  });
  expect(put.status).toBe(200);
  await open("/nights", "Nights");
  expect(await page.getByRole("row", { name: /Rig/ }).textContent()).toMatch(/1 of \d+ h/); // one hour of Wednesday's run
  const before = await draft();
  await page.getByRole("button", { name: /Look for work/ }).click();
  const row = page.getByRole("row", { name: /T\/1/ });
  await row.waitFor();
  expect(await row.textContent()).toContain("8 h alone that night");
  await page.getByRole("button", { name: "Take T/1" }).click();
  await page.getByText(/T\/1 starts before people leave/).waitFor();
  const after = await draft();
  expect(after).toMatchObject({ note: "T/1 into the night" });
  expect(after.revision).toBeGreaterThan(before.revision);
  expect((await fetch(`${app.address}/api/v1/plan/draft/undo`, { method: "POST" })).status).toBe(200);
  expect((await draft()).revision).toBe(before.revision);
});

browserTest("at its station a start is signed by name, an end reported with its bad pieces, and each is taken back", async () => {
  type Lots = { readonly running: readonly object[]; readonly done: readonly object[] };
  const progress = async (): Promise<Lots | undefined> => {
    const answer = await fetch(`${app.address}/api/v1/plan`);
    return ((await answer.json()) as { problem: { operations: { progress: Lots }[] } }).problem.operations[0]?.progress;
  };
  const dialog = page.getByRole("dialog");
  await open("/stations/rig", "Rig");
  await page.getByRole("button", { name: "Start T/1 Endurance" }).press("Enter");
  const act = dialog.getByRole("button", { name: "Report the start" });
  await dialog.getByRole("group", { name: "Machines running with nobody on site" }).waitFor();
  expect(await act.isDisabled()).toBe(true);
  expect(await goThroughCautions(dialog, "Mara Holt")).toBe(1);
  await act.press("Enter");
  await page.getByRole("button", { name: "Finished T/1 Endurance" }).click();
  await dialog.getByRole("button", { name: "one more" }).click();
  await dialog.getByRole("button", { name: "Report it finished" }).click();
  await page.getByRole("cell", { name: "0 of 1 piece good" }).waitFor();
  expect(await progress()).toMatchObject({ running: [], done: [{ scrap: 1 }] });
  const takeBack = async (): Promise<void> => {
    await page.getByRole("button", { name: "Take back T/1 Endurance" }).click();
    await dialog.getByRole("button", { name: "Take back" }).click();
  };
  await takeBack();
  await page.getByRole("button", { name: "Finished T/1 Endurance" }).waitFor();
  expect(await progress()).toMatchObject({ running: [{ mode: "m" }], done: [] });
  await takeBack();
  await page.getByRole("button", { name: "Start T/1 Endurance" }).waitFor();
  expect(await progress()).toEqual({ running: [], done: [] });
});
