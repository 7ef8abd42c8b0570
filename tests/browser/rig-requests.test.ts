/**
 * A campaign from the asking to the plan in force, by two people in two browsers: the engineer fills it in by an estimate and asks,
 * the planner offers another slot, which stands on the board as held, the engineer takes it, and the planner publishes.
 */

import ical from "node-ical";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, expect } from "vitest";
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

const PASSWORD = "a sentence to remember";
const PATIENCE = 120_000;

/** The first administrator by the one-time link; others by the API, as the accounts page makes them. */
async function administrator(): Promise<Page> {
  const page = await (await openContext(browser)).newPage();
  page.setDefaultTimeout(PATIENCE);
  await page.goto(`${app.address}${/(\/first-administrator\?token=\S+)/.exec(app.log())?.[1]}`);
  await page.getByLabel("Your name").fill("Ada Brandt");
  await page.getByLabel("E-mail address").fill("ada@larkfield.example");
  await page.getByLabel("Password").fill(PASSWORD);
  await page.getByRole("button", { name: "Become administrator" }).click();
  await page.getByRole("link", { name: /Ada Brandt/ }).waitFor();
  return page;
}

async function engineer(admin: Page): Promise<Page> {
  const made = await admin.request.post(`${app.address}/api/v1/users`, {
    data: { name: "Ove Lind", email: "ove@larkfield.example", password: PASSWORD, role: "requester" },
  });
  expect(made.status()).toBe(201);
  const page = await (await openContext(browser)).newPage();
  page.setDefaultTimeout(PATIENCE);
  await page.goto(`${app.address}/rigs`);
  await page.getByLabel("E-mail address").fill("ove@larkfield.example");
  await page.getByLabel("Password").fill(PASSWORD);
  await page.getByRole("button", { name: "Sign in" }).click();
  await page.getByRole("link", { name: /Ove Lind/ }).waitFor();
  return page;
}

browserTest(
  "a campaign is asked for, another slot is offered, taken and published",
  async () => {
    const planner = await administrator();
    const asker = await engineer(planner);

    await asker.goto(`${app.address}/campaign`);
    await asker.getByLabel("Title").fill("Torque map, sample 7");
    await asker.getByLabel("Speeds").fill("0");
    await asker.getByText("is 0: expected a whole number from 1 to 1000").waitFor();
    await asker.getByLabel("Speeds").fill("12");
    await asker.getByLabel("Points in all").fill("120");
    // 12 x 20 s + 120 x 20 s = 44 min (own arithmetic)
    await asker
      .getByRole("row", { name: /^Likely/ })
      .getByText("44 min", { exact: true })
      .waitFor();
    await asker.getByRole("button", { name: "+ Add ability" }).click();
    await asker.getByRole("combobox", { name: "Ability", exact: true }).selectOption("torque");
    await asker.getByLabel("Up to, N·m").fill("200");
    await asker.getByText("torque limit 80 N·m < 200 N·m needed").waitFor();
    const preview = asker.getByRole("complementary", { name: "What comes of it" });
    await preview.getByRole("rowheader", { name: /Dyno 1/ }).waitFor();
    await asker.getByLabel("Note to the planner").fill("before the design review");
    await asker.getByRole("button", { name: "Ask for this campaign" }).click();
    await asker.getByRole("heading", { level: 1, name: "Request 1: Torque map, sample 7" }).waitFor();
    await asker.getByText("Waits for the planner").waitFor();
    expect(await asker.getByRole("button", { name: "Offer this slot" }).count()).toBe(0);

    await planner.goto(`${app.address}/rigs`);
    await planner.getByRole("link", { name: /Torque map, sample 7/ }).click();
    await planner.getByRole("button", { name: "Offer this slot" }).last().click();
    const dialog = planner.getByRole("dialog");
    await dialog.getByRole("button", { name: "Offer this slot" }).click();
    await dialog.getByText("expected a reason: whoever asked has to read it").waitFor();
    await dialog.getByLabel("Why this slot").fill("The first dyno is wanted on Monday");
    await dialog.getByRole("button", { name: "Offer this slot" }).click();

    // told without loading the page anew
    await asker.getByText("Request 1: Another slot is offered").waitFor();
    await asker.getByText("Another slot is offered", { exact: true }).waitFor();
    await asker.getByText("The first dyno is wanted on Monday").first().waitFor();
    const state = async () => (await (await planner.request.get(`${app.address}/api/v1/plan`)).json()) as PlanSeen;
    const held = await state();
    expect(held.holds).toMatchObject([{ purpose: "request" }]);
    const order = held.holds[0]?.order ?? "";

    await asker.getByRole("button", { name: "Take this slot" }).click();
    await asker.getByText("Accepted").first().waitFor();
    await planner.getByRole("link", { name: "Open order" }).waitFor();
    const agreed = await state();
    expect(agreed.holds).toEqual([]);
    const lots = (plan: PlanSeen["draft"]["plan"]) => plan.operations.find(({ operation }) => operation === `${order}/10`)?.lots;
    expect(lots(agreed.draft.plan)).toEqual(lots(held.draft.plan));

    const check = (await (await planner.request.get(`${app.address}/api/v1/plan/changes`)).json()) as {
      cautions: { id: string }[];
    };
    const published = await planner.request.post(`${app.address}/api/v1/plan/publish`, {
      headers: { "if-match": `"${agreed.draft.revision}"` },
      data: {
        note: "with request 1",
        acknowledgedBy: "Ada Brandt",
        cautions: check.cautions.map(({ id }) => ({ caution: id, by: "Ada Brandt" })),
      },
    });
    expect(published.status(), await published.text()).toBe(201);
    const inForce = lots(((await published.json()) as { plan: PlanSeen["draft"]["plan"] }).plan) ?? [];
    expect(inForce).toHaveLength(1);

    // and in the calendar of whoever follows the order, read by a parser that is not ours
    const made = await planner.request.post(`${app.address}/api/v1/calendar-feeds`, {
      data: { audience: "order", subject: order },
    });
    const { path } = (await made.json()) as { path: string };
    const text = await (await asker.request.get(`${app.address}${path}`)).text();
    const events = Object.values(ical.sync.parseICS(text)).filter(
      (part) => part?.type === "VEVENT",
    ) as unknown as CalendarEvent[];
    const minute = ({ start }: CalendarEvent) => (start.getTime() - Date.parse(agreed.problem.origin)) / 60_000;
    expect(events.map(({ summary, status }) => ({ summary, status }))).toEqual(
      events.map(() => ({ summary: expect.stringContaining(order) as string, status: "CONFIRMED" })),
    );
    expect(Math.min(...events.map(minute))).toBe(inForce[0]?.start);
    await asker.goto(`${app.address}/orders/${order}`);
    await asker.getByRole("heading", { level: 1, name: /Torque map, sample 7/ }).waitFor();
  },
  400_000,
);

type CalendarEvent = { readonly summary: string; readonly status: string; readonly start: Date };
type PlanSeen = {
  readonly problem: { readonly origin: string };
  readonly holds: readonly { readonly order: string }[];
  readonly draft: {
    readonly revision: number;
    readonly plan: {
      readonly operations: readonly { readonly operation: string; readonly lots: readonly { readonly start: number }[] }[];
    };
  };
};
