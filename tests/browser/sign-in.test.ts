/**
 * From demo mode to accounts, in a real browser: the one-time link makes the first administrator, demo mode ends, a viewer
 * can look and not change, a stranger has to sign in. An app of its own, because there is no way back to demo mode.
 */
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

const fresh = async (): Promise<Page> => (await openContext(browser)).newPage();

async function signIn(page: Page, email: string, password: string): Promise<void> {
  await page.goto(`${app.address}/orders`);
  await page.getByRole("heading", { level: 1, name: "Sign in" }).waitFor();
  await page.getByLabel("E-mail address").fill(email);
  await page.getByLabel("Password").fill(password);
  await page.getByRole("button", { name: "Sign in" }).click();
}

browserTest("the first administrator ends demo mode, makes an account, and its role is kept to", async () => {
  const link = /(\/first-administrator\?token=\S+)/.exec(app.log())?.[1];
  expect(link).toBeDefined();
  const admin = await fresh();
  await admin.goto(`${app.address}/orders`);
  await admin.getByText(/^Demo mode/).waitFor();

  await admin.goto(`${app.address}${link}`);
  await admin.getByLabel("Your name").fill("Ada Brandt");
  await admin.getByLabel("E-mail address").fill("ada@larkfield.example");
  await admin.getByLabel("Password").fill("short");
  await admin.getByRole("button", { name: "Become administrator" }).click();
  await admin
    .getByText(/at least 10 characters/)
    .first()
    .waitFor();
  await admin.getByLabel("Password").fill("a sentence to remember");
  await admin.getByRole("button", { name: "Become administrator" }).click();
  await admin.getByRole("link", { name: /administrator\s*Ada Brandt/i }).waitFor();
  expect(await admin.getByText(/^Demo mode/).count()).toBe(0);

  await admin.goto(`${app.address}/setup/accounts`);
  await admin.getByRole("button", { name: "Add account" }).click();
  const dialog = admin.getByRole("dialog");
  await dialog.getByLabel("Name").fill("Vera Lund");
  await dialog.getByLabel("E-mail address").fill("vera@larkfield.example");
  await dialog.getByLabel("Password").fill("another long sentence");
  await dialog.getByLabel("Role").selectOption({ label: "viewer: looks" });
  await dialog.getByRole("button", { name: "Add account" }).click();
  await admin.getByRole("cell", { name: "vera@larkfield.example" }).waitFor();

  const viewer = await fresh();
  await signIn(viewer, "vera@larkfield.example", "not this one at all");
  await viewer.getByText("Address or password is not right.").waitFor();
  await viewer.getByLabel("Password").fill("another long sentence");
  await viewer.getByRole("button", { name: "Sign in" }).click();
  await viewer.getByRole("link", { name: /viewer\s*Vera Lund/i }).waitFor();
  await viewer.goto(`${app.address}/orders/2110`);
  await viewer.getByText("You can look at this, but only planners and administrators can change it.").waitFor();
  expect(await viewer.getByLabel("Good pieces").isDisabled()).toBe(true);
  expect(await viewer.getByRole("button", { name: "Delete order" }).count()).toBe(0);
  await viewer.goto(`${app.address}/setup/accounts`);
  await viewer.getByText(/open to administrators/).waitFor();

  await viewer.getByRole("link", { name: /Vera Lund/ }).click();
  await viewer.getByRole("heading", { level: 1, name: "Your account" }).waitFor();
  const change = async (current: string): Promise<void> => {
    await viewer.getByLabel("Password so far").fill(current);
    await viewer.getByLabel("New password", { exact: true }).fill("a third long sentence");
    await viewer.getByLabel("New password again").fill("a third long sentence");
    await viewer.getByRole("button", { name: "Change password" }).click();
  };
  await change("not this one at all");
  await viewer.getByRole("alert").waitFor();
  await change("another long sentence");
  await viewer.getByText("Password changed.").waitFor();
  await viewer.getByRole("button", { name: "Sign out" }).click();
  await viewer.getByRole("heading", { level: 1, name: "Sign in" }).waitFor();
  await signIn(viewer, "vera@larkfield.example", "another long sentence");
  await viewer.getByText("Address or password is not right.").waitFor();
  await viewer.getByLabel("Password").fill("a third long sentence");
  await viewer.getByRole("button", { name: "Sign in" }).click();
  await viewer.getByRole("link", { name: /Vera Lund/ }).click();
  await viewer.getByRole("button", { name: "Sign out" }).click();
  await viewer.getByRole("heading", { level: 1, name: "Sign in" }).waitFor();

  // The link is spent.
  const late = await fresh();
  await late.goto(`${app.address}${link}`);
  await late.getByLabel("Your name").fill("Somebody");
  await late.getByLabel("E-mail address").fill("somebody@larkfield.example");
  await late.getByLabel("Password").fill("a sentence to remember");
  await late.getByRole("button", { name: "Become administrator" }).click();
  await late.getByText(/There is an administrator already/).waitFor();
});
