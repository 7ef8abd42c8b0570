/** Two orders pinned to one machine at one time: the board names the two pins, one click lifts one of them, one undo pins it again. */
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect } from "vitest";
import type { OrderBody } from "../../src/contract/api/order.ts";
import { present } from "../../src/core/ground/invariant.ts";
import { jobOrder, smallWorkshop } from "../server/support/small-workshop.ts";
import { browserTest, findChromium, launchChromium, openContext } from "./support/chromium.ts";
import { type RunningApp, startApp } from "./support/running-app.ts";

let app: RunningApp;
let browser: Browser | undefined;
const api = (path: string, method: string, body?: object, headers: Record<string, string> = {}) =>
  fetch(`${app.address}/api/v1${path}`, {
    method,
    headers: { "Content-Type": "application/json", ...headers },
    ...(body ? { body: JSON.stringify(body) } : {}),
  });

beforeAll(async () => {
  app = await startApp({ shop: "empty" });
  if (findChromium() !== undefined) browser = await launchChromium();
  const pinned = (id: string) => ({
    ...jobOrder(id),
    operations: present(jobOrder(id).operations, "operations").map((operation) => ({
      ...operation,
      pin: { machines: ["mill-a"], start: 480 },
    })),
  });
  const answer = await api("/shop", "PUT", { ...smallWorkshop(), orders: [pinned("R"), pinned("S")], links: [] });
  expect(answer.status, await answer.text()).toBe(200);
});
afterAll(async () => {
  await browser?.close();
  await app.stop();
});

const pinsLeft = async (): Promise<string[]> => {
  const orders = await Promise.all(["R", "S"].map(async (id) => (await (await api(`/orders/${id}`, "GET")).json()) as OrderBody));
  return orders.filter(({ operations }) => operations[0]?.pin !== null).map(({ id }) => id);
};

browserTest("what cannot hold is named and lifted", async () => {
  const page = await (await openContext(present(browser, "browser"))).newPage();
  await page.goto(app.address);
  await page.getByRole("button", { name: "What cannot hold?" }).click();
  const dialog = page.getByRole("dialog");
  await dialog.getByText("No plan can keep all of these:").waitFor();
  const lifts = dialog.getByRole("button", { name: "Lift the pin" });
  expect(await lifts.count()).toBe(2);
  await lifts.first().click();
  await dialog.getByText("Done: Lift the pin. Plan again to use it.").waitFor();
  expect(await pinsLeft()).toEqual(["S"]);

  await dialog.getByRole("button", { name: "Look again" }).click();
  await dialog.getByText("Everything that was asked for can hold together").waitFor();
  await dialog.getByRole("button", { name: "Close", exact: true }).click();
  await page.getByRole("button", { name: "Undo" }).click();
  await expect.poll(pinsLeft).toEqual(["R", "S"]);
});
